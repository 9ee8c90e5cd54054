//! Photo checks: the demo's photo gets no warning; the same photo with one fault gets the warning about it.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "numbers in tests are small"
)]

use std::path::Path;

use image::RgbImage;
use velatura_document::Diagnostic;
use velatura_document::SourceText;
use velatura_figure::{
    FigureFile, Plate, detail_checks, plate, read_figure_file, same_light_photo, tone_checks,
};
use velatura_optics::colour::{decode, encode};
use velatura_photo::{DecodeLimits, decode_photo};

fn demo(file: &str) -> Vec<u8> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo_images/lamplighter");
    std::fs::read(folder.join(file)).unwrap()
}

fn figure() -> FigureFile {
    let source = SourceText::from_bytes("figure.toml", demo("figure.toml")).unwrap();
    read_figure_file(&source).unwrap().value
}

/// The demo's photo, upright, as a picture to spoil.
fn photo() -> RgbImage {
    let photo = decode_photo(
        "lamplighter.jpg",
        &demo("lamplighter.jpg"),
        &DecodeLimits::default(),
    )
    .unwrap()
    .value;
    RgbImage::from_raw(photo.width, photo.height, photo.photo.concat()).unwrap()
}

fn png(picture: &RgbImage) -> Vec<u8> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    picture
        .write_to(&mut bytes, image::ImageFormat::Png)
        .unwrap();
    bytes.into_inner()
}

fn plate_of(picture: &RgbImage, mask: &[u8]) -> Plate {
    plate(&figure(), &png(picture), mask, &DecodeLimits::default())
        .unwrap()
        .value
}

/// All warnings about a picture in place of the demo's photo.
fn reported(picture: &RgbImage) -> Vec<Diagnostic> {
    let plate = plate_of(picture, &demo("lamplighter-mask.png"));
    let mut found = tone_checks(&plate, &figure());
    found.extend(detail_checks(&plate, &figure()));
    found
}

/// Changes the linear light of each channel by a rule that knows the pixel's place.
fn relit(picture: &RgbImage, rule: impl Fn(u32, u32, [f64; 3]) -> [f64; 3]) -> RgbImage {
    let table: Vec<f64> = (0..=255)
        .map(|code| decode(f64::from(code) / 255.0))
        .collect();
    RgbImage::from_fn(picture.width(), picture.height(), |x, y| {
        let light = picture
            .get_pixel(x, y)
            .0
            .map(|code| table[usize::from(code)]);
        image::Rgb(rule(x, y, light).map(|one| (encode(one.clamp(0.0, 1.0)) * 255.0).round() as u8))
    })
}

fn only(found: &[Diagnostic]) -> &Diagnostic {
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(!found[0].is_error());
    &found[0]
}

#[test]
fn the_demo_gives_no_message() {
    assert_eq!(reported(&photo()), Vec::new());
}

#[test]
fn more_exposure_clips_and_less_drowns() {
    let bright = relit(&photo(), |_, _, light| light.map(|one| one * 1.35));
    let found = reported(&bright);
    let problem = only(&found).to_string();
    assert!(
        problem.starts_with("warning: lamplighter.jpg: ")
            && problem.contains(" % of the figure is clipped\n  in: figure.toml:"),
        "{problem}"
    );
    assert!(
        problem.ends_with("so that the brightest drybrushing is light grey"),
        "{problem}"
    );

    let dark = relit(&photo(), |_, _, light| light.map(|one| one - 0.004));
    let found = reported(&dark);
    assert!(
        only(&found).found.ends_with("of the figure is at code 0"),
        "{found:?}"
    );
}

#[test]
fn a_warm_lamp_and_a_second_lamp_are_recognised() {
    let warm = relit(&photo(), |_, _, [r, g, b]| [r, g * 0.85, b * 0.60]);
    let found = reported(&warm);
    assert!(
        only(&found)
            .found
            .starts_with("the grey figure has a colour cast: it looks yellow (C* "),
        "{found:?}"
    );
    // A small error of a phone's white balance is accepted.
    let nearly = relit(&photo(), |_, _, [r, g, b]| [r, g * 0.98, b * 0.92]);
    assert_eq!(reported(&nearly), Vec::new());

    // Warm from the left, cold from the right, neutral overall.
    let two = relit(&photo(), |x, _, [r, g, b]| {
        let right = f64::from(x) / 2000.0 - 0.46;
        [r * (1.0 - 1.0 * right), g, b * (1.0 + 1.0 * right)].map(|one| one * 0.85)
    });
    let found = reported(&two);
    assert!(only(&found).found.starts_with("the light has two colours: the left half of the figure looks yellow compared with the right half"), "{found:?}");
}

#[test]
fn blur_is_reported_from_a_deviation_of_about_two_and_a_half_pixels_and_shake_in_one_direction_as_well()
 {
    let sharp = photo();
    for (deviation, blurred) in [(1.0, false), (1.6, false), (3.5, true), (6.0, true)] {
        let found = reported(&image::imageops::blur(&sharp, deviation));
        println!(
            "blurred by {deviation}: {:?}",
            found.iter().map(|one| &one.found).collect::<Vec<_>>()
        );
        assert_eq!(
            found
                .iter()
                .any(|one| one.found.starts_with("the photo is blurred")),
            blurred,
            "{found:?}"
        );
    }
    // Shaken: each pixel is the mean of fifteen in its row.
    let shaken = RgbImage::from_fn(sharp.width(), sharp.height(), |x, y| {
        let mut sum = [0_u32; 3];
        for step in 0..15 {
            let code = sharp
                .get_pixel((x + step).saturating_sub(7).min(sharp.width() - 1), y)
                .0;
            sum = std::array::from_fn(|i| sum[i] + u32::from(code[i]));
        }
        image::Rgb(sum.map(|sum| (sum / 15) as u8))
    });
    let found = reported(&shaken);
    println!(
        "shaken: {:?}",
        found.iter().map(|one| &one.found).collect::<Vec<_>>()
    );
    assert!(
        only(&found).found.starts_with("the photo is blurred"),
        "{found:?}"
    );
}

#[test]
fn a_small_figure_is_reported() {
    let small = image::imageops::thumbnail(&photo(), 200, 300);
    let mask = image::load_from_memory(&demo("lamplighter-mask.png"))
        .unwrap()
        .into_rgb8();
    let mask = image::imageops::resize(&mask, 200, 300, image::imageops::FilterType::Nearest);
    let plate = plate_of(&small, &png(&mask));
    let found = detail_checks(&plate, &figure());
    let problem = only(&found);
    assert!(
        problem.found.starts_with("the figure is 24") && problem.found.ends_with(" pixels tall"),
        "{problem}"
    );
    assert_eq!(tone_checks(&plate, &figure()), Vec::new());
}

/// A figure file of the demo with something replaced.
fn figure_with(from: &str, to: &str) -> FigureFile {
    let text = String::from_utf8(demo("figure.toml")).unwrap();
    assert!(text.contains(from));
    let source = SourceText::new("figure.toml", text.replace(from, to));
    read_figure_file(&source).unwrap().value
}

#[test]
fn a_photo_two_stops_too_dark_is_reported() {
    let dark = relit(&photo(), |_, _, light| light.map(|one| one * 0.15));
    let found: Vec<String> = reported(&dark)
        .iter()
        .map(|one| one.found.clone())
        .collect();
    assert!(
        found
            .iter()
            .any(|one| one
                .starts_with("the photo is dark: the brightest undercoat has luminance 0.1")),
        "{found:?}"
    );
}

#[test]
fn a_light_photo_that_is_missing_or_the_photo_itself_is_reported() {
    let plate = plate_of(&photo(), &demo("lamplighter-mask.png"));
    let without = figure_with("light_photo = \"primed.jpg\"\n", "");
    let found = detail_checks(&plate, &without);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].found.starts_with("there is no `light_photo`"));

    let read = |name: &str, bytes: &[u8]| {
        let photo = decode_photo(name, bytes, &DecodeLimits::default());
        photo.unwrap().value
    };
    let same = read("copy.png", &png(&photo()));
    let warning = same_light_photo(&plate, &same, &figure()).unwrap();
    assert_eq!(warning.found, "the light photo is the photo itself");
    // Must pass: the real one.
    let primed = read("primed.jpg", &demo("primed.jpg"));
    assert_eq!(same_light_photo(&plate, &primed, &figure()), None);
}

#[test]
fn strokes_in_place_of_the_mask_are_reported() {
    let strokes = plate_of(&photo(), &demo("strokes.png"));
    let found = detail_checks(&strokes, &figure());
    assert!(
        found.iter().any(|one| one.found.contains("as strokes do")),
        "{found:?}"
    );
}

#[test]
fn a_mask_colour_without_a_region_is_reported() {
    let without_belt = figure_with(
        "[[region]]\nname = \"belt\"\nmask_colour = \"#911eb4\"\n\n",
        "",
    );
    let limits = DecodeLimits::default();
    let mask = demo("lamplighter-mask.png");
    let read = plate(&without_belt, &demo("lamplighter.jpg"), &mask, &limits).unwrap();
    let found: Vec<&String> = read.warnings.iter().map(|one| &one.found).collect();
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(
        found[0].starts_with("no region has the colour #911eb4 ("),
        "{found:?}"
    );
    // Must pass: with all its regions.
    let whole = plate(&figure(), &demo("lamplighter.jpg"), &mask, &limits).unwrap();
    assert_eq!(whole.warnings, []);
}
