//! Components as stages of the pipeline: values pass through the traits and return.

use velatura_document::SourceText;
use velatura_pipeline::figure::{FigureFile, Plate, SimulatedUndercoat, Subject, read_figure_file};
use velatura_pipeline::optics::calibrate::{PaintBox, calibrate};
use velatura_pipeline::optics::paints_file::read_paints_file;
use velatura_pipeline::scheme::{Scheme, Varnish};
use velatura_pipeline::shaders::Planes;
use velatura_pipeline::stage::{AttachPoint, FrameBand, SchemeRequest, TextKind};
use velatura_pipeline::{AnyStage, Parameters, Session};

use super::cores::{Core, SAME_PIXELS};
use super::{Painted, WIDTH};
use crate::{Attached, Limits, attach};

const FIGURE: &str = r##"format = "velatura-figure/1"
name = "Test figure"
photo = "photo.png"
mask = "mask.png"
[undercoat]
kind = "black-to-white"
[[region]]
name = "coat"
mask_colour = "#e6194b"
[[region]]
name = "hood"
mask_colour = "#4363d8"
"##;

const PAINTS: &str = r##"format = "velatura-paints/1"
[cards]
black = "#1c1c1c"
white = "#f0f0f0"
[[paint]]
name = "Oil Amber"
over_black = "#4d3718"
over_white = "#f4a520"
"##;

const FOGLIGHT: &str = r#"format = "velatura-schemes/1"
[[scheme]]
name = "Foglight"
team = "Lamplighters"
finish = "satin"
[[scheme.coat]]
region = "hood"
mix = { "Oil Amber" = 3, medium = 7.25 }
film = 0.7
where = "raised"
[[scheme.coat]]
region = "coat"
mix = { "Oil Amber" = 1 }
film = 1.0
pooling = 0.3
"#;

fn source(text: &str) -> SourceText {
    SourceText::new("test.toml", text)
}

fn paints() -> PaintBox {
    let file = read_paints_file(&source(PAINTS)).unwrap().value;
    calibrate(&file).value
}

fn figure() -> FigureFile {
    read_figure_file(&source(FIGURE)).unwrap().value
}

fn with_request<T>(work: impl FnOnce(&SchemeRequest<'_>) -> T) -> T {
    work(&SchemeRequest {
        source: None,
        regions: &["coat".to_owned(), "hood".to_owned()],
        figure_name: "figure.toml",
        paints: &paints(),
        paints_name: "paints.toml",
    })
}

fn staged(core: &Core) -> Attached {
    attach(&core.bytes(), "stages/x.wasm", &Limits::default()).unwrap()
}

/// The schemes of a source that returns `text`, or its whole messages.
fn schemes_of(text: &str) -> Result<Vec<Scheme>, String> {
    let AnyStage::SchemeSource(stage) = staged(&Core::scheme_source(text)).stage else {
        panic!("no scheme source");
    };
    with_request(|request| stage.schemes(request, &Parameters::default()))
        .map(|schemes| schemes.value)
        .map_err(|problems| {
            let texts: Vec<String> = problems.iter().map(ToString::to_string).collect();
            texts.join("\n\n")
        })
}

fn transformed(core: &Core, scheme: &Scheme) -> Result<Scheme, String> {
    let AnyStage::SchemeTransform(stage) = staged(core).stage else {
        panic!("no scheme transform");
    };
    with_request(|request| stage.transform(scheme, request, &Parameters::default()))
        .map_err(|problem| problem.to_string())
}

#[test]
fn a_stage_says_which_file_it_came_from() {
    let core = Core {
        reach_px: Some(7),
        ..Core::finish(SAME_PIXELS)
    };
    let Attached {
        stage,
        info,
        sha256,
    } = staged(&core);
    assert_eq!(stage.info(), info);
    assert_eq!(info.attach_point, AttachPoint::Finish);
    assert_eq!((info.name.as_str(), info.reach_px), ("dust", Some(7)));
    let file = info.file.unwrap();
    assert_eq!(
        (file.path.as_str(), &file.sha256),
        ("stages/x.wasm", &sha256)
    );
    assert_eq!(sha256.len(), 64);
    let other = Core {
        reach_px: Some(8),
        ..core
    };
    assert_ne!(staged(&other).sha256, sha256, "one byte differs");
}

#[test]
fn the_digest_is_sha_256() {
    // FIPS 180-4, example of the one-block message "abc" (from memory of NIST's example file).
    use sha2::{Digest, Sha256};
    let digest = crate::stages::hexadecimal(&Sha256::digest(b"abc"));
    assert_eq!(
        digest,
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    );
}

#[test]
fn stages_of_every_attach_point_are_registered() {
    let mut session = Session::builder().built_in_stages();
    let cores = [
        Core::finish(SAME_PIXELS),
        Core::ground("(unreachable)"),
        Core::scheme_source(FOGLIGHT),
        Core::scheme_transform(),
        Core::sheet_text(0, ""),
    ];
    for core in &cores {
        session.register(staged(core).stage).unwrap();
    }
    let from_files: Vec<(AttachPoint, Option<u32>)> = session
        .stages()
        .into_iter()
        .filter(|info| info.file.is_some())
        .map(|info| (info.attach_point, info.reach_px))
        .collect();
    assert_eq!(
        from_files,
        [
            (AttachPoint::Ground, None),
            (AttachPoint::SchemeSource, None),
            (AttachPoint::SchemeTransform, None),
            (AttachPoint::Finish, Some(0)),
            (AttachPoint::SheetText, None),
        ]
    );
}

#[test]
fn a_finish_changes_its_pixels_in_place() {
    // Writes the position of the band, and the size of its picture, into the first pixel.
    let core = Core::finish(&format!(
        "(local.set $i (i32.load offset=80 (local.get $in)))
        (f32.store (local.get $i) (f32.convert_i32_u (i32.load offset=32 (local.get $in))))
        (f32.store offset=4 (local.get $i) (f32.convert_i32_u (i32.load offset=36 (local.get $in))))
        (f32.store offset=8 (local.get $i) (f32.load offset=40 (local.get $in)))
        {SAME_PIXELS}"
    ));
    let AnyStage::Finish(stage) = staged(&core).stage else {
        panic!("no finish");
    };
    let painted = Painted::new();
    let mut pixels: Vec<[f32; 4]> = painted
        .pixels
        .chunks_exact(4)
        .map(|four| four.try_into().unwrap())
        .collect();
    let before = pixels.clone();
    let scheme = schemes_of(FOGLIGHT).unwrap().remove(0);
    let mut band = FrameBand {
        width: WIDTH as usize,
        first_row: 1,
        picture_rows: 9,
        px_per_mm: 20.5,
        planes: Planes {
            substrate: &painted.plane,
            relief: &painted.plane,
            light: &painted.plane,
            region: &painted.region,
            light_unit: 0.5,
        },
        pixels: &mut pixels,
    };
    stage
        .finish(&scheme, &mut band, &Parameters::default())
        .unwrap();
    let bits = |pixel: [f32; 4]| pixel.map(f32::to_bits);
    assert_eq!(bits(pixels[0]), bits([1.0, 9.0, 20.5, before[0][3]]));
    assert_eq!(pixels[1..], before[1..]);
}

#[test]
fn a_ground_starts_from_our_own_split() {
    let plate = || Plate {
        subject: Subject {
            width: 4,
            height: 2,
            photo: vec![[90, 90, 90]; 8],
            region: vec![1, 1, 1, 1, 2, 2, 2, 0],
            regions: vec!["coat".to_owned(), "hood".to_owned()],
            lamp: [1.0; 3],
        },
        luminance: (1..9u16).map(|pixel| 6000 * pixel).collect(),
    };
    let ours = velatura_pipeline::figure::underpainting(plate(), &figure(), None)
        .unwrap()
        .value;
    // Returns substrate in place of relief, and the rest unchanged.
    let core = Core::ground(
        "(memory.copy (i32.const 100) (i32.add (local.get $in) (i32.const 48)) (i32.const 28))
        (i32.store (i32.const 120) (i32.load offset=48 (local.get $in)))
        (i32.store8 (i32.const 96) (i32.const 0))
        (i32.const 96)",
    );
    let AnyStage::Ground(stage) = staged(&core).stage else {
        panic!("no ground");
    };
    let theirs = stage
        .underpainting(plate(), &figure(), None, &Parameters::default())
        .unwrap()
        .value;
    assert_ne!(ours.relief, ours.substrate);
    assert_eq!(theirs.relief, ours.substrate);
    assert_eq!(
        (&theirs.substrate, &theirs.light),
        (&ours.substrate, &ours.light)
    );
    assert_eq!(
        (&theirs.subject.photo, theirs.points),
        (&ours.subject.photo, ours.points)
    );
}

#[test]
fn schemes_of_a_source_are_read_like_written_ones() {
    let schemes = schemes_of(FOGLIGHT).unwrap();
    assert_eq!(schemes.len(), 1);
    assert_eq!(
        (schemes[0].name.as_str(), schemes[0].finish),
        ("Foglight", Varnish::Satin)
    );
    assert_eq!(schemes[0].regions[1].coats.len(), 1);
}

#[test]
fn what_is_wrong_with_a_source_s_text_is_reported_with_its_line() {
    assert_eq!(
        schemes_of(&FOGLIGHT.replace("region = \"hood\"", "region = \"hod\\u001b[2J\""))
            .unwrap_err(),
        "error: stages/x.wasm:7:10: `region` is \"hod\\u001b[2J\"\n   | region = \"hod\\u001b[2J\"\n   |          ^^^^^^^^^^^^^^\n  in: coat 1 of scheme \"Foglight\", the text returned by scheme source \"tides\" 1.0.0\n  expected: a text without control characters, line breaks and marks that turn the writing direction\n  help: write \"hod[2J\""
    );
}

#[test]
fn a_message_stays_short_whatever_the_text() {
    let long = FOGLIGHT.replace("\"hood\"", &format!("\"{}\"", "h".repeat(1_000_000)));
    let message = schemes_of(&long).unwrap_err();
    assert!(message.len() < 4_000, "{} bytes", message.len());
    assert!(
        message.contains("the text returned by scheme source \"tides\" 1.0.0"),
        "{message}"
    );
}

#[test]
fn schemes_end_at_their_last_and_not_one_later() {
    let of = |count: usize| {
        let schemes: String = (0..count)
            .map(|k| format!("[[scheme]]\nname = \"Foglight {k}\"\n"))
            .collect();
        schemes_of(&format!("format = \"velatura-schemes/1\"\n{schemes}")).map(|given| given.len())
    };
    assert_eq!(of(200), Ok(200));
    assert_eq!(
        of(201),
        Err("error: stages/x.wasm: it returned 201 schemes\n  in: scheme source \"tides\" 1.0.0\n  expected: at most 200\n  help: remove the plugin, or ask its author to fix it".to_owned())
    );
}

#[test]
fn a_name_with_an_escape_is_refused() {
    assert_eq!(
        schemes_of(&FOGLIGHT.replace("Foglight", "Fog\\u001b[2Jlight")).unwrap_err(),
        "error: stages/x.wasm:3:8: `name` is \"Fog\\u001b[2Jlight\"\n   | name = \"Fog\\u001b[2Jlight\"\n   |        ^^^^^^^^^^^^^^^^^^^\n  in: scheme \"Fog[2Jlight\", the text returned by scheme source \"tides\" 1.0.0\n  expected: a text without control characters, line breaks and marks that turn the writing direction\n  help: write \"Fog[2Jlight\""
    );
}

#[test]
fn a_scheme_goes_through_a_transform_and_comes_back_whole() {
    let scheme = schemes_of(FOGLIGHT).unwrap().remove(0);
    let back = transformed(&Core::scheme_transform(), &scheme).unwrap();
    assert_eq!((&back.name, &back.team), (&scheme.name, &scheme.team));
    assert_eq!(
        (back.finish, back.undercoat),
        (Varnish::Satin, SimulatedUndercoat::AsPhotographed)
    );
    for (back, stack) in back.regions.iter().zip(&scheme.regions) {
        assert_eq!(format!("{:?}", back.coats), format!("{:?}", stack.coats));
        assert_eq!(format!("{:?}", back.mixes), format!("{:?}", stack.mixes));
    }
    let thinner = FOGLIGHT.replace("film = 0.7", "film = 0.35");
    let changed = transformed(&Core::scheme_transform_saying(&thinner), &scheme).unwrap();
    assert_eq!(
        changed.regions[1].coats[0].film.to_bits(),
        0.35f64.to_bits()
    );
}

#[test]
fn a_transform_keeps_to_its_scheme() {
    let scheme = schemes_of(FOGLIGHT).unwrap().remove(0);
    let of = |text: &str| transformed(&Core::scheme_transform_saying(text), &scheme).unwrap_err();
    let reported = |found: &str| {
        format!(
            "error: stages/x.wasm: {found}\n  in: scheme transform \"thinner\" 1.0.0\n  expected: one scheme called \"Foglight\"\n  help: remove the plugin, or ask its author to fix it"
        )
    };
    assert_eq!(
        of(&FOGLIGHT.replace("Foglight", "Marshlight")),
        reported("it returned a scheme called \"Marshlight\"")
    );
    assert_eq!(
        of(&format!("{FOGLIGHT}[[scheme]]\nname = \"Marshlight\"\n")),
        reported("it returned 2 schemes")
    );
}

#[test]
fn a_sheet_text_is_of_its_kind() {
    let AnyStage::SheetText(stage) = staged(&Core::sheet_text(1, "paint,ml\nOil Amber,2\n")).stage
    else {
        panic!("no sheet text");
    };
    assert_eq!(stage.kind(), TextKind::Csv);
    assert_eq!(
        stage.text("{}", &Parameters::default()).unwrap(),
        "paint,ml\nOil Amber,2\n"
    );
}

/// Returns the parameters: they are the last of its four texts.
#[test]
fn parameters_arrive_as_json() {
    let mut core = Core::sheet_text(2, "");
    core.functions =
        r#"(func (export "velatura:stage/sheet-text@0.1.0#written-as") (result i32) (i32.const 2))
        (func (export "velatura:stage/sheet-text@0.1.0#text")
            (param i32 i32) (param $text i32) (param $length i32) (result i32)
            (i32.store8 (i32.const 96) (i32.const 0))
            (i32.store (i32.const 100) (local.get $text))
            (i32.store (i32.const 104) (local.get $length))
            (i32.const 96))"#
            .to_owned();
    let AnyStage::SheetText(stage) = staged(&core).stage else {
        panic!("no sheet text");
    };
    let serde_json::Value::Object(map) = serde_json::json!({"per": "table", "grain": 0.5}) else {
        panic!("no object");
    };
    assert_eq!(
        stage.text("{}", &Parameters(map)).unwrap(),
        r#"{"grain":0.5,"per":"table"}"#
    );
}
