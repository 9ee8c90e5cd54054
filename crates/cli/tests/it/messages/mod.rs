//! Wrong files get a message that a painter can act on: exit status, the whole of standard error, nothing written.

use std::process::Output;

use crate::desk::{Desk, PAINTS};

const RENDER: [&str; 4] = ["render", "figure.toml", "--out", "out"];

impl Desk {
    fn render(&self) -> Output {
        self.run(&RENDER)
    }

    /// A render that must stop with this status and this standard error, without new files.
    fn render_stops(&self, status: i32, expected: &str) {
        self.stops(&RENDER, status, expected);
    }
}

#[test]
fn the_untouched_desk_renders() {
    let desk = Desk::with_job();
    let output = desk.render();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    assert!(
        desk.path("out/sheet.png").is_file() && desk.path("out/previews/foglight.png").is_file()
    );
}

#[test]
fn an_unknown_key_is_named_with_the_one_that_was_meant() {
    let desk = Desk::with_job();
    desk.replace("schemes.toml", "film = 1.0", "film_thickness = 1.0");
    desk.render_stops(
        1,
        "error: schemes.toml:9:1: unknown key `film_thickness`
   | film_thickness = 1.0
   | ^^^^^^^^^^^^^^
  in: coat 1 of scheme \"Foglight\"
  expected: region, mix, film, where, pooling or width_mm
  help: did you mean `film`?",
    );
}

#[test]
fn unknown_paints_and_regions_are_reported_together() {
    let desk = Desk::with_job();
    desk.replace("schemes.toml", "\"Oil Amber\"", "\"Oil Ambre\"");
    desk.replace("schemes.toml", "\"coat\"", "\"cota\"");
    desk.render_stops(
        1,
        "error: schemes.toml:7:10: no region is called \"cota\"
   | region = \"cota\"
   |          ^^^^^^
  in: coat 1 (region \"cota\") of scheme \"Foglight\"
  expected: a region in figure.toml: coat, hood
  help: did you mean \"coat\"?

error: schemes.toml:8:9: no paint is called \"Oil Ambre\"
   | mix = { \"Oil Ambre\" = 3, medium = 7 }
   |         ^^^^^^^^^^^
  in: coat 1 (region \"cota\") of scheme \"Foglight\"
  expected: a paint in paints.toml (1 paint), or medium
  help: did you mean \"Oil Amber\"?",
    );
}

#[test]
fn a_file_that_cannot_be_read_hides_no_unknown_name_of_another() {
    let unknown_region = "error: schemes.toml:7:10: no region is called \"cota\"";
    let unknown_paint = "error: schemes.toml:8:9: no paint is called \"Oil Ambre\"";
    for (broken, shown, hidden) in [
        ("figure.toml", unknown_paint, unknown_region),
        ("paints.toml", unknown_region, unknown_paint),
    ] {
        let desk = Desk::with_job();
        desk.replace("schemes.toml", "\"Oil Amber\"", "\"Oil Ambre\"");
        desk.replace("schemes.toml", "\"coat\"", "\"cota\"");
        desk.replace(broken, "name = ", "nam = ");
        for call in [
            &RENDER[..],
            &["check", "figure.toml", "paints.toml", "schemes.toml"],
        ] {
            let output = desk.run(call);
            let reported = [output.stdout, output.stderr].concat();
            let reported = String::from_utf8(reported).unwrap();
            assert_eq!(output.status.code(), Some(1), "{call:?}: {reported}");
            let of_broken = format!("error: {broken}:");
            for part in [&of_broken, shown] {
                assert!(reported.contains(part), "{call:?}, {part}: {reported}");
            }
            // Nothing is said about names that could not be read.
            assert!(!reported.contains(hidden), "{call:?}: {reported}");
        }
    }
}

#[test]
fn a_mask_of_another_size_names_both_sizes() {
    let desk = Desk::with_job();
    desk.mask(30, 40, |_, _| [0xe6, 0x19, 0x4b]);
    let output = desk.render();
    let reported = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(reported.starts_with("error: mask.png: the mask is 30 × 40 pixels, the photo 40 × 30\n  in: figure.toml:4:8, `mask`\n"), "{reported}");
    assert!(
        reported.contains("expected: 40 × 30") && reported.contains("help: "),
        "{reported}"
    );
    assert!(!desk.path("out").exists());
}

#[test]
fn a_region_without_a_pixel_is_a_warning_with_the_colour_that_was_near() {
    let desk = Desk::with_job();
    desk.replace("figure.toml", "#4363d8", "#4f63d8");
    let output = desk.render();
    let reported = String::from_utf8(output.stderr).unwrap();
    assert!(output.status.success(), "{reported}");
    assert!(
        reported.contains("warning: figure.toml:15:15: region \"hood\" has no pixel in mask.png"),
        "{reported}"
    );
    assert!(
        reported.contains("#4363d8") && reported.contains("600 pixels"),
        "{reported}"
    );
    let report: serde_json::Value =
        serde_json::from_slice(&std::fs::read(desk.path("out/report.json")).unwrap()).unwrap();
    assert_eq!(report["warnings"][0]["severity"], "warning");
}

#[test]
fn spectra_of_unequal_length_are_an_error_that_says_how_many_are_needed() {
    let desk = Desk::with_job();
    let list = |count: usize| format!("[{}]", vec!["20"; count].join(", "));
    desk.write(
        "paints.toml",
        &format!(
            "{}\n[[paint]]\nname = \"Deep Eel\"\n[paint.spectrum]\nstart_nm = 400\nstep_nm = 10\nspecular = \"included\"\n\
             over_white = {}\nover_black = {}\n",
            PAINTS,
            list(30),
            list(31)
        ),
    );
    let output = desk.render();
    let reported = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(
        reported.starts_with(
            "error: paints.toml:18:1: `over_white` has 30 values, `over_black` has 31\n"
        ),
        "{reported}"
    );
    assert!(
        reported.contains("  in: paint \"Deep Eel\", [paint.spectrum]\n"),
        "{reported}"
    );
    assert!(
        reported.contains(
            "  expected: the same number in each: from 400 nm in steps of 10 nm, 31 values end at 700 nm\n"
        ),
        "{reported}"
    );
    assert!(
        reported.contains(
            "  help: add the missing value, or shorten every array to 30 (it then ends at 690 nm)"
        ),
        "{reported}"
    );
}

#[test]
fn a_film_lighter_over_black_than_over_white_is_an_error_that_names_the_paint() {
    let desk = Desk::with_job();
    desk.replace("paints.toml", "#4d3718", "#fafafa");
    let output = desk.render();
    let reported = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(
        reported.contains("in: paint \"Oil Amber\"") && reported.contains("are the two swapped?"),
        "{reported}"
    );
}

#[test]
fn a_tint_lighter_over_black_than_over_white_is_an_error_that_names_the_paint() {
    let desk = Desk::with_job();
    let tint = |over_black: &str, over_white: &str| {
        format!(
            "{PAINTS}\n[[paint.tint]]\nwith = \"Deep Eel\"\nparts = [1, 4]\nover_black = \"{over_black}\"\n\
             over_white = \"{over_white}\"\n\
             [[paint]]\nname = \"Deep Eel\"\nover_black = \"#1a3436\"\nover_white = \"#3fafc3\"\n"
        )
    };
    desk.write("paints.toml", &tint("#f0f0f0", "#808080"));
    let output = desk.render();
    let reported = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(
        reported.contains("the film is lighter over black (#f0f0f0) than over white (#808080)")
            && reported.contains("Oil Amber"),
        "{reported}"
    );
    // Must pass: the same tint the right way round.
    desk.write("paints.toml", &tint("#808080", "#f0f0f0"));
    assert_eq!(desk.render().status.code(), Some(0));
}

#[test]
fn missing_and_broken_pictures_are_named_where_they_stand() {
    let desk = Desk::with_job();
    desk.replace("figure.toml", "photo.png", "foto.png");
    desk.render_stops(
        1,
        "error: foto.png: there is no such file
  in: figure.toml:3:9, `photo`
  help: check the path; paths in a file are relative to that file",
    );
    let desk = Desk::with_job();
    let whole = std::fs::read(desk.path("photo.png")).unwrap();
    std::fs::write(desk.path("photo.png"), &whole[..whole.len() / 2]).unwrap();
    let output = desk.render();
    let reported = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1), "{reported}");
    assert!(
        reported.starts_with("error: photo.png: ") && reported.contains("help: "),
        "{reported}"
    );
    assert!(!desk.path("out").exists());
}

#[test]
fn a_wrong_call_ends_with_two_and_says_what_was_meant() {
    let desk = Desk::with_job();
    let output = desk.run(&[
        "render",
        "figure.toml",
        "--out",
        "out",
        "--only",
        "Foglihgt",
    ]);
    let reported = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(
        reported,
        "error: no scheme is called \"Foglihgt\"\n  in: --only\n  expected: \"Foglight\"\n  help: did you mean \"Foglight\"?\n"
    );
    assert!(!desk.path("out").exists());
    assert_eq!(desk.run(&["render"]).status.code(), Some(2));
    assert_eq!(desk.run(&["paint"]).status.code(), Some(2));
}

#[test]
fn an_output_that_is_an_input_is_refused_and_foreign_files_stay() {
    let desk = Desk::with_job();
    std::fs::create_dir(desk.path("out")).unwrap();
    desk.write("out/notes.txt", "mine");
    assert!(desk.render().status.success());
    assert_eq!(
        std::fs::read_to_string(desk.path("out/notes.txt")).unwrap(),
        "mine"
    );

    // The photo is where the sheet would be written.
    std::fs::copy(desk.path("photo.png"), desk.path("sheet.png")).unwrap();
    desk.replace("figure.toml", "photo.png", "sheet.png");
    let before = std::fs::read(desk.path("sheet.png")).unwrap();
    let output = desk.run(&["render", "figure.toml", "--out", "."]);
    assert_eq!(
        output.status.code(),
        Some(2),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    assert_eq!(std::fs::read(desk.path("sheet.png")).unwrap(), before);
}

#[test]
fn check_tells_all_problems_of_all_files_and_json_has_the_same_parts() {
    let desk = Desk::with_job();
    desk.replace(
        "schemes.toml",
        "film = 1.0",
        "film = -1\nwhere = \"deep\"\nshine = 2",
    );
    desk.replace("paints.toml", "#4d3718", "4d3718");
    let output = desk.run(&[
        "check",
        "schemes.toml",
        "paints.toml",
        "figure.toml",
        "--format",
        "json",
    ]);
    assert_eq!(output.status.code(), Some(1));
    let problems: Vec<serde_json::Value> = serde_json::from_slice(&output.stdout).unwrap();
    let found: Vec<&str> = problems
        .iter()
        .map(|one| one["found"].as_str().unwrap())
        .collect();
    assert_eq!(
        found,
        [
            "`film` is -1",
            "`where` is \"deep\"",
            "unknown key `shine`",
            "`over_black` is \"4d3718\"",
            "the figure is 30 pixels tall",
            "there is no `light_photo`, so light and paint are estimated from the photo alone"
        ]
    );
    for key in ["severity", "place", "in", "expected", "help"] {
        assert!(
            problems[3].get(key).is_some_and(|part| !part.is_null()),
            "{key}: {}",
            problems[3]
        );
    }
    let right = Desk::with_job().run(&["check", "figure.toml", "paints.toml", "schemes.toml"]);
    assert!(right.status.success());
    let reported = String::from_utf8(right.stdout).unwrap();
    assert!(
        reported.contains("figure.toml: OK, 2 warnings")
            && reported.contains("\"Oil Amber\" has no tint"),
        "{reported}"
    );
}
