//! Triads: the component returns the same as its source, which is read and resolved like a file written by hand.

use velatura_document::SourceText;
use velatura_optics::calibrate::PaintBox;
use velatura_optics::coat::colour_over_grey;
use velatura_optics::colour::{Encoded, Lab};
use velatura_pipeline::scheme::{Proposed, Scheme, read_schemes_file, resolve, schemes_text};
use velatura_pipeline::stage::{AttachPoint, SchemeRequest, StageInfo};
use velatura_pipeline::{AnyStage, Job};
use velatura_tests::{built_in_session, demo_job, number, table};

use crate::triads_source::hue::a_b;
use crate::triads_source::{GIVES, NAME, PARAMETERS, Paint, TAKES, VERSION, triads};
use crate::{attached, parameters};

/// The colours that a component receives: over a card of #f0f0f0, luminance 0.8714.
fn over_white(paints: &PaintBox) -> Vec<[u8; 3]> {
    let drawdowns = paints.paints.iter().map(|paint| paint.optics.film(1.0));
    drawdowns
        .map(|drawdown| {
            colour_over_grey(&drawdown, 0.8714, paints.cards.specular)
                .encoded()
                .0
        })
        .collect()
}

/// The result of the source for the demo.
fn by_source(job: &Job, json: &str) -> Result<String, String> {
    let colours = over_white(&job.paints);
    let paints: Vec<Paint<'_>> = job
        .paints
        .paints
        .iter()
        .zip(&colours)
        .map(|(paint, over_white)| Paint {
            name: &paint.name,
            owned: paint.owned,
            over_white: *over_white,
        })
        .collect();
    let regions: Vec<&str> = regions(job);
    triads(&regions, &paints, json)
}

fn regions(job: &Job) -> Vec<&str> {
    let regions = &job.underpainting.subject.regions;
    regions.iter().map(String::as_str).collect()
}

/// The result of the component for the demo: schemes, or its whole message.
fn by_component(job: &Job, json: &str) -> Result<Vec<Scheme>, String> {
    let AnyStage::SchemeSource(stage) = attached("triads").stage else {
        panic!("no scheme source");
    };
    let request = SchemeRequest {
        source: None,
        regions: &job.underpainting.subject.regions,
        figure_name: "figure.toml",
        paints: &job.paints,
        paints_name: "paints.toml",
    };
    match stage.schemes(&request, &parameters(json)) {
        Ok(schemes) => {
            assert!(schemes.warnings.is_empty(), "{:?}", schemes.warnings);
            Ok(schemes.value)
        }
        Err(problems) => Err(problems.iter().map(ToString::to_string).collect()),
    }
}

/// The content of a schemes text, written again.
fn written(schemes: Vec<Scheme>, paints: &PaintBox) -> String {
    let proposed: Vec<Proposed> = schemes
        .into_iter()
        .map(|scheme| Proposed {
            scheme,
            remarks: Vec::new(),
            order: Vec::new(),
        })
        .collect();
    schemes_text(&proposed, paints, &[])
}

fn read(text: String, job: &Job) -> Vec<Scheme> {
    let source = SourceText::new("triads", text);
    let file = read_schemes_file(&source).unwrap();
    assert!(file.warnings.is_empty(), "{:?}", file.warnings);
    let regions = &job.underpainting.subject.regions;
    resolve(&file.value, regions, "figure", &job.paints, "paints").unwrap()
}

#[test]
fn it_says_of_itself_what_its_source_says() {
    let found = attached("triads").info;
    let expected = StageInfo {
        file: found.file.clone(),
        ..StageInfo::new(AttachPoint::SchemeSource, NAME, VERSION)
            .with_words(TAKES, GIVES)
            .with_parameters(serde_json::from_str(PARAMETERS).unwrap())
    };
    assert_eq!(
        serde_json::to_value(&found).unwrap(),
        serde_json::to_value(&expected).unwrap()
    );
}

#[test]
fn the_component_gives_the_schemes_of_its_source() {
    let job = demo_job(&built_in_session());
    let mut seen = 0;
    for paint in ["Oil Amber", "Deep Eel", "Tar Violet"] {
        for count in 1..=6 {
            let json = format!(r#"{{"paint": "{paint}", "count": {count}}}"#);
            let found = by_component(&job, &json).unwrap();
            assert_eq!(found.len(), count);
            assert_eq!(found[0].name, format!("Triad from {paint} 1"));
            assert_eq!(found[0].regions.len(), 8);
            assert!(
                found
                    .iter()
                    .all(|s| s.regions.iter().all(|r| r.coats.len() == 1))
            );
            let found = written(found, &job.paints);
            let expected = written(read(by_source(&job, &json).unwrap(), &job), &job.paints);
            assert_eq!(found, expected);
            // Must fail: another first paint.
            let other = by_source(&job, r#"{"paint": "Reed Green", "count": 1}"#).unwrap();
            assert_ne!(found, written(read(other, &job), &job.paints));
            seen += 1;
        }
    }
    assert_eq!(seen, 18);
}

#[test]
fn a_paint_that_is_not_there_is_answered_with_near_names() {
    let job = demo_job(&built_in_session());
    let json = r#"{"paint": "Oil Ambre", "count": 3}"#;
    let sentence = by_source(&job, json).unwrap_err();
    assert!(
        sentence
            .starts_with(r#"no paint is called "Oil Ambre"; the nearest names are "Oil Amber","#),
        "{sentence}"
    );
    let message = by_component(&job, json).unwrap_err();
    assert!(message.contains(&sentence), "{message}");
}

#[test]
fn a_grey_has_no_hue_to_begin_with() {
    let job = demo_job(&built_in_session());
    let json = r#"{"paint": "Fog Grey", "count": 3}"#;
    let sentence = by_source(&job, json).unwrap_err();
    assert_eq!(
        sentence,
        r#""Fog Grey" is a grey: it has no hue to begin with"#
    );
    assert!(by_component(&job, json).unwrap_err().contains(&sentence));
}

/// Degrees from 0 to 360.
fn hue([a, b]: [f64; 2]) -> f64 {
    b.atan2(a).to_degrees().rem_euclid(360.0)
}

#[test]
fn the_three_paints_stand_about_a_third_of_the_circle_apart() {
    let paint = |name, over_white| Paint {
        name,
        owned: true,
        over_white,
    };
    // Six hues at about 40°, 103°, 136°, 306°, 328° and 197°; the first one's thirds are 160° and 280°.
    let codes = [
        [255, 0, 0],
        [255, 255, 0],
        [0, 255, 0],
        [0, 0, 255],
        [255, 0, 255],
        [0, 255, 255],
    ];
    let names = ["Red", "Yellow", "Green", "Blue", "Magenta", "Cyan"];
    let paints: Vec<Paint<'_>> = names
        .into_iter()
        .zip(codes)
        .map(|(n, c)| paint(n, c))
        .collect();
    let text = triads(
        &["coat", "hood", "face"],
        &paints,
        r#"{"paint": "Red", "count": 1}"#,
    );
    let text = text.unwrap();
    let mixed: Vec<&str> = text
        .lines()
        .filter(|line| line.starts_with("mix"))
        .collect();
    let nearest = |target: f64| {
        let apart = |codes: [u8; 3]| {
            let Lab([_, a, b]) = Encoded(codes).lab();
            let apart = (hue([a, b]) - target).rem_euclid(360.0);
            apart.min(360.0 - apart)
        };
        let best = codes
            .iter()
            .zip(names)
            .min_by(|a, b| apart(*a.0).total_cmp(&apart(*b.0)));
        best.unwrap().1
    };
    let Lab([_, a, b]) = Encoded(codes[0]).lab();
    let red = hue([a, b]);
    let expected = ["Red", nearest(red + 120.0), nearest(red + 240.0)];
    assert_eq!(expected, ["Red", "Green", "Blue"]);
    for (line, name) in mixed.iter().zip(expected) {
        assert_eq!(*line, format!("mix = {{ \"{name}\" = 2, medium = 1 }}"));
    }
    assert_eq!(mixed.len(), 3);
    // Paints that are not owned do not count.
    let mut fewer = paints.clone();
    fewer[2].owned = false;
    let text = triads(&["coat", "hood"], &fewer, r#"{"paint": "Red", "count": 1}"#).unwrap();
    assert!(text.contains("Yellow") || text.contains("Cyan"), "{text}");
}

/// Source: `tests/data/srgb_xyz_lab.csv`, whose own first line names its source.
#[test]
fn its_hues_are_the_published_ones() {
    let mut seen = 0;
    for row in table("srgb_xyz_lab.csv") {
        let codes: Encoded = row["srgb"].parse().unwrap();
        let published = [number(&row, "lab_a"), number(&row, "lab_b")];
        let found = a_b(codes.0);
        for (found, published) in found.iter().zip(published) {
            // The matrix as printed has four decimals: up to 2e-4 in Z, so 0.03 in b*.
            assert!(
                (found - published).abs() < 0.05,
                "{codes:?}: {found} {published}"
            );
        }
        seen += 1;
    }
    assert!(seen >= 50, "{seen}");
    // Must fail: red and blue swapped.
    assert!((a_b([200, 60, 20])[1] - a_b([20, 60, 200])[1]).abs() > 0.05);
}

#[test]
fn names_of_any_kind_make_a_file_that_is_read() {
    let paints = [
        ("Wick \"Red\" \\ 1", [255, 0, 0]),
        ("Grün", [0, 255, 0]),
        ("Blue = 'n' #2", [0, 0, 255]),
    ]
    .map(|(name, over_white)| Paint {
        name,
        owned: true,
        over_white,
    });
    let text = triads(
        &["a = b", "[c]"],
        &paints,
        r#"{"paint": "Wick \"Red\" \\ 1", "count": 6}"#,
    );
    let source = SourceText::new("triads", text.unwrap());
    let file = read_schemes_file(&source).unwrap();
    assert!(file.warnings.is_empty(), "{:?}", file.warnings);
    let file = file.value;
    assert_eq!(file.schemes.len(), 6);
    assert_eq!(file.schemes[0].name.value, "Triad from Wick \"Red\" \\ 1 1");
    assert_eq!(file.schemes[0].coats[1].region.value, "[c]");
}
