//! `--picture`: the colours that an answer gives as codes are large chips on a picture.

use std::collections::BTreeSet;

use image::RgbImage;
use serde_json::Value;
use velatura_tests::root;

use super::{PAINTS, desk};
use crate::desk::Desk;

/// A chip holds a square of this side; no letter and no line does.
const SIDE: u32 = 80;

fn code([red, green, blue]: [u8; 3]) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// The colours of the chips.
fn chips(picture: &RgbImage) -> BTreeSet<String> {
    let ground = picture.get_pixel(0, 0).0;
    let (right, bottom) = (picture.width() - SIDE, picture.height() - SIDE);
    let corners = (0..bottom).flat_map(|y| (0..right).map(move |x| (x, y)));
    corners
        .filter_map(|(x, y)| {
            let at = |x: u32, y: u32| picture.get_pixel(x, y).0;
            let colour = at(x, y);
            let others = [at(x + SIDE, y), at(x, y + SIDE), at(x + SIDE, y + SIDE)];
            (colour != ground && others == [colour; 3]).then(|| code(colour))
        })
        .collect()
}

/// All codes below the key `srgb`.
fn codes(value: &Value) -> BTreeSet<String> {
    match value {
        Value::Object(fields) => fields
            .iter()
            .flat_map(|(key, value)| match (key.as_str(), value) {
                ("srgb", Value::String(code)) => BTreeSet::from([code.clone()]),
                _ => codes(value),
            })
            .collect(),
        Value::Array(values) => values.iter().flat_map(codes).collect(),
        _ => BTreeSet::new(),
    }
}

/// The picture of a call, and the codes of its JSON form.
fn pictured(desk: &Desk, call: &[&str]) -> (BTreeSet<String>, BTreeSet<String>) {
    let with_picture = [call, &["--picture", "chips.png", "--format", "json"]].concat();
    let output = desk.run(&with_picture);
    let reported = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(0), "{call:?}: {reported}");
    let picture = image::open(desk.path("chips.png")).unwrap().into_rgb8();
    let value: Value = serde_json::from_slice(&output.stdout).unwrap();
    (chips(&picture), codes(&value))
}

#[test]
fn the_chips_are_the_codes() {
    let desk = desk();
    let predict: &[&str] = &[
        "predict",
        "--coat",
        "Oil Amber:1,medium:1",
        "--over",
        "#808080",
        "--over",
        "#e0e0e0",
    ];
    let (shown, mut said) = pictured(&desk, predict);
    // The undercoats are shown as well, and JSON repeats them as `over`.
    said.extend(["#808080".to_owned(), "#e0e0e0".to_owned()]);
    assert_eq!(shown, said);

    let (shown, said) = pictured(
        &desk,
        &["match", "--target", "#5fa8a0", "--over", "#e0e0e0"],
    );
    assert!(
        shown.len() >= 3 && shown.is_subset(&said),
        "{shown:?} {said:?}"
    );

    let (shown, said) = pictured(&desk, &["check", "--paints", "paints.toml"]);
    // Two colours for each of five paints.
    assert!(shown.len() >= 9, "{shown:?}");
    assert_eq!(shown, said);
}

#[test]
fn proposals_are_shown_part_by_part() {
    let desk = Desk::with_job();
    desk.write("paints.toml", PAINTS);
    let call = &["explore", "figure.toml", "--count", "3"];
    let (shown, said) = pictured(&desk, call);
    assert!(said.len() >= 4, "{said:?}");
    assert_eq!(shown, said);

    // On a pipe the text gives the codes.
    let output = desk.run(&[call.as_slice(), &["--out", "tried.toml"]].concat());
    let text = String::from_utf8(output.stdout).unwrap();
    for code in said {
        assert!(text.contains(&code), "{code} is not in {text}");
    }
}

#[test]
fn drawdowns_are_shown_as_read_and_the_overlay_has_a_legend() {
    let desk = Desk::empty();
    let card = |name: &str| root().join("demo_images/card").join(name);
    let (photo, layout) = (card("card.jpg"), card("layout.toml"));
    let call = &[
        "swatch",
        photo.to_str().unwrap(),
        "--layout",
        layout.to_str().unwrap(),
        "--overlay",
        "look.png",
    ];
    let (shown, said) = pictured(&desk, call);
    assert!(shown.len() >= 20 && shown.is_subset(&said), "{shown:?}");
    // The photo, and below it the names in as many lines as they need.
    let look = image::open(desk.path("look.png")).unwrap();
    assert!(look.width() == 1125 && look.height() > 1550 + 60);
}

#[test]
fn a_file_that_is_no_picture_stays() {
    let desk = desk();
    desk.write("notes.txt", "keep me");
    let call = |picture: &str| {
        let output = desk.run(&[
            "predict",
            "--coat",
            "Oil Amber:1",
            "--over",
            "#808080",
            "--picture",
            picture,
        ]);
        let reported = String::from_utf8(output.stderr).unwrap();
        (output.status.code(), reported)
    };
    for file in ["notes.txt", "paints.toml"] {
        let before = std::fs::read(desk.path(file)).unwrap();
        let (status, reported) = call(file);
        assert_eq!(status, Some(2), "{reported}");
        assert!(reported.contains(file), "{reported}");
        assert_eq!(std::fs::read(desk.path(file)).unwrap(), before);
    }
    let (status, _) = call("a.png");
    assert_eq!(status, Some(0));
    // A picture is made again and again.
    assert_eq!(call("a.png").0, Some(0));

    let desk = Desk::with_job();
    let output = desk.run(&[
        "explore",
        "figure.toml",
        "--out",
        "same.png",
        "--picture",
        "same.png",
    ]);
    let reported = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{reported}");
    assert!(reported.contains("two results would be written to this file"));
    assert!(!desk.path("same.png").exists());
}
