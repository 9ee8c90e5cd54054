//! From a card's photo to paints with the command: the demo's card returns the demo's paints, bad photos write nothing, and the
//! printed card is available for both papers.

mod names;

use std::process::{Command, Output};

use velatura_document::SourceText;
use velatura_pipeline::optics::colour::{Encoded, delta_e};
use velatura_pipeline::optics::paints_file::{Given, PaintsFile, read_paints_file};
use velatura_tests::root;

const PHOTO: &str = "demo_images/card/card.jpg";
const LAYOUT: &str = "demo_images/card/layout.toml";
const PAINTS: &str = "demo_images/lamplighter/paints.toml";

/// ΔE of the demo's colours, median and worst; stated before they were measured.
const MEDIAN: f64 = 1.5;
const WORST: f64 = 3.0;
/// Colours on the demo's card: ten paints and nine tints, each over black and white.
const COLOURS: usize = 38;

fn velatura(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_velatura"))
        .args(arguments)
        .current_dir(root())
        .output()
        .unwrap()
}

fn succeeded(output: &Output) -> String {
    let reported = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success() && reported.is_empty(), "{reported}");
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn paints(text: String) -> PaintsFile {
    let source = SourceText::new("paints.toml", text);
    let file = read_paints_file(&source).unwrap_or_else(|problems| panic!("{problems:?}"));
    file.value
}

/// Every colour with its name.
fn colours(file: &PaintsFile) -> Vec<(String, Encoded)> {
    let mut all = Vec::new();
    let mut pair = |of: String, given: &Given| {
        if let Given::Drawdown(pair) = given {
            all.push((format!("{of} over black"), pair.over_black));
            all.push((format!("{of} over white"), pair.over_white));
        }
    };
    for paint in &file.paints {
        pair(paint.name.value.clone(), &paint.given);
        for tint in &paint.tints {
            let [this, other] = tint.parts;
            let of = format!("{} + {} {this}:{other}", paint.name.value, tint.with.value);
            pair(of, &tint.given);
        }
    }
    all
}

#[test]
fn the_demo_card_gives_the_demo_paints_back_and_check_trusts_them() {
    let scratch = tempfile::tempdir().unwrap();
    let [made, look] = ["paints.toml", "look.png"]
        .map(|name| scratch.path().join(name).to_str().unwrap().to_owned());
    let reported = succeeded(&velatura(&[
        "swatch",
        PHOTO,
        "--layout",
        LAYOUT,
        "--out",
        &made,
        "--overlay",
        &look,
    ]));
    assert!(
        reported.contains("10 paints, 9 tints") && reported.contains("Oil Amber + Gull White 1:4"),
        "{reported}"
    );

    let truth = colours(&paints(
        std::fs::read_to_string(root().join(PAINTS)).unwrap(),
    ));
    let found = colours(&paints(std::fs::read_to_string(&made).unwrap()));
    assert_eq!((truth.len(), found.len()), (COLOURS, COLOURS));
    let mut errors: Vec<f64> = truth
        .iter()
        .zip(&found)
        .map(|((name, truth), (found_name, found))| {
            assert_eq!(name, found_name);
            delta_e(truth.lab(), found.lab())
        })
        .collect();
    errors.sort_by(f64::total_cmp);
    let (median, worst) = (errors[COLOURS / 2], errors[COLOURS - 1]);
    println!("demo card: median ΔE {median:.2}, worst {worst:.2}");
    assert!(median <= MEDIAN && worst <= WORST, "{errors:?}");
    // Must fail: every colour against its neighbour's.
    let shifted = delta_e(truth[0].1.lab(), found[2].1.lab());
    assert!(shifted > WORST, "{shifted}");

    let checked = succeeded(&velatura(&["check", &made]));
    assert!(
        checked.contains("OK") && checked.contains("drawdown+tint"),
        "{checked}"
    );
    let overlay = image::open(&look).unwrap();
    assert_eq!(
        overlay.width(),
        1125,
        "as wide as the photo, which is small"
    );

    // An existing paints.toml stays, unless the call says otherwise.
    let again = velatura(&["swatch", PHOTO, "--layout", LAYOUT, "--out", &made]);
    assert_eq!(again.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&again.stderr).contains("--force"));
    succeeded(&velatura(&[
        "swatch", PHOTO, "--layout", LAYOUT, "--out", &made, "--force",
    ]));
}

#[test]
fn without_out_the_paints_go_to_standard_output_and_json_says_how_good_they_are() {
    let text = succeeded(&velatura(&["swatch", PHOTO, "--layout", LAYOUT]));
    assert_eq!(colours(&paints(text)).len(), COLOURS);
    let json = succeeded(&velatura(&[
        "swatch", PHOTO, "--layout", LAYOUT, "--format", "json",
    ]));
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["format"], "velatura-swatch/1");
    assert_eq!(json["marks"], "found");
    assert_eq!(json["fields"].as_array().unwrap().len(), COLOURS / 2);
    assert_eq!(json["fields"][1]["with"], "Gull White");
    let evenness = json["light"]["evenness"].as_f64().unwrap();
    assert!(
        (0.4..0.9).contains(&evenness),
        "the demo's light falls off: {evenness}"
    );
    for key in [
        "srgb", "lab", "in_gamut", "spread", "left_out", "glare", "clipped", "drowned",
    ] {
        assert!(json["fields"][0]["over_black"].get(key).is_some(), "{key}");
    }
}

#[test]
fn a_photo_without_a_card_stops_the_work_and_writes_nothing() {
    let scratch = tempfile::tempdir().unwrap();
    let made = scratch.path().join("paints.toml");
    let output = velatura(&[
        "swatch",
        "demo_images/lamplighter/primed.jpg",
        "--layout",
        LAYOUT,
        "--out",
        made.to_str().unwrap(),
    ]);
    let reported = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1), "{reported}");
    assert_eq!(
        reported.trim_end(),
        "error: demo_images/lamplighter/primed.jpg: no corner mark of a card is visible\n  expected: one card with all four corner marks, sharp, complete and without glare\n  help: photograph the whole card from above so that it fills most of the picture, or write the pixels of the marks into the layout: corners = [[x, y], …], clockwise from the upper left of the card"
    );
    assert_eq!(std::fs::read_dir(scratch.path()).unwrap().count(), 0);
}

#[test]
fn calls_that_are_wrong_end_with_two() {
    for wrong in [
        &["swatch"][..],
        &["swatch", PHOTO],
        &["swatch", "--names", "A", "--overlay", "look.png"],
        &["swatch", "--template", "card.svg", "--tints", "A 1:4"],
        &["swatch", PHOTO, "--layout", LAYOUT, "--names", "A"],
        &["swatch", PHOTO, "--layout", LAYOUT, "--out", LAYOUT],
        &["swatch", PHOTO, "--template", "card.svg"],
        &["swatch", "--template", "card.doc"],
        &["swatch", PHOTO, "--layout", LAYOUT, "--paper", "a4"],
    ] {
        let output = velatura(wrong);
        assert_eq!(output.status.code(), Some(2), "{wrong:?}: {output:?}");
    }
    assert!(!root().join("card.svg").exists() && !root().join("card.doc").exists());
}

#[test]
fn the_card_is_printed_with_the_names_of_a_layout() {
    let scratch = tempfile::tempdir().unwrap();
    for (file, paper, start) in [
        ("card.svg", "a4", &b"<?xml"[..]),
        ("card.pdf", "letter", b"%PDF-"),
    ] {
        let path = scratch.path().join(file);
        let reported = succeeded(&velatura(&[
            "swatch",
            "--template",
            path.to_str().unwrap(),
            "--paper",
            paper,
            "--layout",
            LAYOUT,
        ]));
        assert!(
            reported.contains("printer black is not black enough"),
            "{reported}"
        );
        assert!(std::fs::read(&path).unwrap().starts_with(start));
    }
    let svg = std::fs::read_to_string(scratch.path().join("card.svg")).unwrap();
    assert!(succeeded(&velatura(&["check", LAYOUT])).contains("layout.toml: OK"));
    assert!(svg.contains("Lantern Red") && svg.contains("width=\"210mm\""));
}
