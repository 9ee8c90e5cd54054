//! Strokes on a copy of the photo, saved by a lossy encoder, against the same strokes as a transparent layer.
//!
//! The photos are rendered demo figures and photographs of things (sources in `real_photos/README.md`), at three qualities of
//! JPEG: what the limits in `markup.rs` must stand.

use std::path::Path;

use crate::real_photos::case::Case;
use image::{ExtendedColorType, RgbImage};
use velatura_document::Diagnostic;
use velatura_optics::colour::Encoded;
use velatura_photo::flat::{PhotoFrame, distance};
use velatura_photo::{DecodeLimits, Photo, decode_photo};
use velatura_regions::{Marked, Marks, read_marks, read_strokes};
use velatura_testkit::pictures::png;

const DEMO: (&str, &str) = (
    "../../demo_images/lamplighter/lamplighter.jpg",
    "../../demo_images/lamplighter/strokes.png",
);

/// Pixels per side that a pixel of a photograph becomes.
const LARGER: usize = 3;

/// The `at`-th of 24 colours that differ clearly and are not grey; background strokes are black.
fn pen(at: usize) -> Encoded {
    const LEVELS: [u8; 3] = [30, 140, 250];
    let mut colours = (0..27)
        .map(|cube| [cube / 9, cube / 3 % 3, cube % 3].map(|level: usize| LEVELS[level]))
        .filter(|[r, g, b]| r != g || g != b);
    Encoded(colours.nth(at).expect("at most 24 parts"))
}

fn bytes(path: &str) -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    std::fs::read(&path).unwrap_or_else(|why| panic!("{}: {why}", path.display()))
}

fn photo(bytes: &[u8]) -> Photo {
    decode_photo("photo", bytes, &DecodeLimits::default())
        .unwrap()
        .value
}

fn frame(photo: &Photo) -> PhotoFrame<'static> {
    PhotoFrame {
        width: photo.width,
        height: photo.height,
        photo: "photo.jpg",
        orientation: photo.orientation,
    }
}

fn read(bytes: &[u8], photo: &Photo) -> Result<Marks, Diagnostic> {
    let limits = DecodeLimits::default();
    read_strokes("copy.jpg", bytes, &limits, photo, &frame(photo)).map(|read| read.value)
}

fn demo() -> (String, Photo, Marks) {
    let photo = photo(&bytes(DEMO.0));
    let limits = DecodeLimits::default();
    let layer = read_marks(
        "s.png",
        &bytes(DEMO.1),
        &limits,
        &frame(&photo),
        Marked::Strokes,
    );
    (DEMO.0.to_owned(), photo, layer.unwrap().value)
}

/// The demo, and photographs as large as a phone's strokes need.
fn cases() -> Vec<(String, Photo, Marks)> {
    let mut cases = vec![demo()];
    for name in ["coffee", "coins", "tulips"] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("tests/real_photos")
            .join(name);
        let case = Case::read(&folder);
        let strokes = case.strokes(&folder, "full");
        let (wide, high) = (case.photo.width as usize, case.photo.height as usize);
        let from = |at: usize| at / (wide * LARGER) / LARGER * wide + at % (wide * LARGER) / LARGER;
        let places = 0..wide * high * LARGER * LARGER;
        let larger = png(
            case.photo.width * 3,
            case.photo.height * 3,
            places
                .clone()
                .flat_map(|at| case.photo.photo[from(at)])
                .collect::<Vec<u8>>()
                .as_slice(),
            ExtendedColorType::Rgb8,
        );
        let marks = Marks {
            colours: (0..strokes.colours.len()).map(pen).collect(),
            marks: places.map(|at| strokes.marks[from(at)]).collect(),
        };
        cases.push((name.to_owned(), photo(&larger), marks));
    }
    cases
}

fn colour_of(marks: &Marks, at: usize) -> Option<[u8; 3]> {
    match marks.marks[at] {
        255 => None,
        0 => Some([0; 3]),
        mark => Some(marks.colours[usize::from(mark) - 1].0),
    }
}

fn as_jpeg(photo: &Photo, pixels: &[[u8; 3]], quality: u8) -> Vec<u8> {
    let picture = RgbImage::from_raw(photo.width, photo.height, pixels.as_flattened().to_vec());
    let mut out = Vec::new();
    image::codecs::jpeg::JpegEncoder::new_with_quality(&mut out, quality)
        .encode_image(&picture.unwrap())
        .unwrap();
    out
}

#[test]
fn a_copy_with_strokes_says_what_the_layer_says() {
    for (path, photo, layer) in cases() {
        let painted: Vec<[u8; 3]> = (0..photo.photo.len())
            .map(|at| colour_of(&layer, at).unwrap_or(photo.photo[at]))
            .collect();
        for quality in [60, 80, 95] {
            let copy = read(&as_jpeg(&photo, &painted, quality), &photo).unwrap();
            let case = format!("{path} at quality {quality}");
            assert_eq!(
                copy.colours.len(),
                layer.colours.len(),
                "{case}: {:?}",
                copy.colours
            );
            let (mut both, mut right, mut of_layer, mut stray) = (0, 0, 0, 0);
            for at in 0..photo.photo.len() {
                match (colour_of(&layer, at), colour_of(&copy, at)) {
                    (Some(wanted), Some(found)) => {
                        both += 1;
                        let off = distance(Encoded(wanted), Encoded(found));
                        right += usize::from(off <= 20);
                    }
                    (None, Some(_)) => stray += 1,
                    _ => {}
                }
                of_layer += usize::from(layer.marks[at] != 255);
            }
            println!("{case}: {both} of {of_layer} found, {right} right, {stray} strays");
            assert!(
                right * 1000 >= both * 999,
                "{case}: {right} of {both} right"
            );
            assert!(both * 3 > of_layer, "{case}: {both} of {of_layer} found");
            assert!(stray * 200 < both, "{case}: {stray} strays");
        }
    }
}

#[test]
fn a_transparent_layer_is_read_by_the_same_call() {
    let (_, photo, layer) = demo();
    assert_eq!(read(&bytes(DEMO.1), &photo).unwrap().marks, layer.marks);
}

#[test]
fn a_copy_without_strokes_and_another_picture_are_refused() {
    let (_, photo, _) = demo();
    let same = read(&as_jpeg(&photo, &photo.photo, 75), &photo)
        .map(|_| ())
        .unwrap_err();
    let text = same.to_string();
    assert!(
        text.contains("there is no stroke: this picture is the same as photo.jpg"),
        "{text}"
    );
    let other_tones: Vec<[u8; 3]> = photo
        .photo
        .iter()
        .map(|pixel| pixel.map(|code| code ^ 0x80))
        .collect();
    let other = png(
        photo.width,
        photo.height,
        other_tones.as_flattened(),
        ExtendedColorType::Rgb8,
    );
    let text = read(&other, &photo).map(|_| ()).unwrap_err().to_string();
    assert!(
        text.contains("has no transparency, and differs from photo.jpg in "),
        "{text}"
    );
    let small = png(1, 1, &[0, 0, 0], ExtendedColorType::Rgb8);
    let text = read(&small, &photo).map(|_| ()).unwrap_err().to_string();
    assert!(text.contains("1 × 1"), "{text}");
}
