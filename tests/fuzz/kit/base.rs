//! Real files of the project that cases start from; pictures are made small, so that a case takes milliseconds.

use std::io::Cursor;
use std::sync::LazyLock;

use image::imageops::FilterType;
use image::{DynamicImage, ImageFormat};
use rand::RngExt;
use velatura_tests::root;

use super::Chance;
use super::case::Case;

/// Names of the demo figure's files.
pub(crate) const FIGURE: &str = "figure.toml";
pub(crate) const PAINTS: &str = "paints.toml";
pub(crate) const SCHEMES: &str = "schemes.toml";
pub(crate) const PHOTO: &str = "lamplighter.jpg";
pub(crate) const MASK: &str = "lamplighter-mask.png";
pub(crate) const LIGHT: &str = "primed.jpg";

/// Size of the small pictures, in the shape of the demo's photo.
pub(crate) const SIZE: [u32; 2] = [36, 54];

/// A text file by its path from the root.
pub(crate) fn text(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap_or_else(|why| panic!("{path}: {why}"))
}

/// A picture file by its path from the root, scaled.
fn scaled(path: &str, size: [u32; 2], filter: FilterType) -> DynamicImage {
    let picture = image::open(root().join(path)).unwrap_or_else(|why| panic!("{path}: {why}"));
    picture.resize_exact(size[0], size[1], filter)
}

fn encoded(picture: &DynamicImage, kind: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    picture
        .write_to(&mut bytes, kind)
        .expect("it fits in memory");
    bytes.into_inner()
}

/// The demo figure with small pictures and its first three schemes.
pub(crate) static DEMO: LazyLock<Case> = LazyLock::new(|| {
    let folder = "demo_images/lamplighter";
    let of = |name: &str, filter, kind| {
        encoded(&scaled(&format!("{folder}/{name}"), SIZE, filter), kind)
    };
    let schemes = text(&format!("{folder}/{SCHEMES}"));
    let few: Vec<&str> = schemes.split_inclusive("[[scheme]]").take(4).collect();
    let few = few.concat();
    let few = few.strip_suffix("[[scheme]]").unwrap_or(&few).to_owned();
    Case::of("")
        .file(FIGURE, text(&format!("{folder}/{FIGURE}")))
        .file(PAINTS, text(&format!("{folder}/{PAINTS}")))
        .file(SCHEMES, few)
        .file(PHOTO, of(PHOTO, FilterType::Triangle, ImageFormat::Png))
        .file(MASK, of(MASK, FilterType::Nearest, ImageFormat::Png))
        .file(LIGHT, of(LIGHT, FilterType::Triangle, ImageFormat::Jpeg))
});

/// The tiny figure of the conformance kit: a case of it takes a tenth of the time.
pub(crate) static TINY: LazyLock<Case> = LazyLock::new(|| {
    let names = [FIGURE, PAINTS, SCHEMES, "photo.png", "mask.png"];
    let file = |name: &str| velatura_conformance::small_file(name).expect("it is there");
    names
        .into_iter()
        .fold(Case::of(""), |case, name| case.file(name, file(name)))
});

/// The demo now and then, else the tiny figure.
pub(crate) fn figure(chance: &mut Chance) -> Case {
    match chance.random_ratio(1, 8) {
        true => DEMO.clone(),
        false => TINY.clone(),
    }
}

/// The demo's strokes, as small as its photo.
pub(crate) static STROKES: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let path = "demo_images/lamplighter/strokes.png";
    encoded(&scaled(path, SIZE, FilterType::Nearest), ImageFormat::Png)
});

/// The demo's card, on a quarter of its pixels.
pub(crate) static CARD: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let path = root().join("demo_images/card/card.jpg");
    let card = image::open(path).expect("the demo has a card");
    let small = card.resize_exact(card.width() / 2, card.height() / 2, FilterType::Triangle);
    encoded(&small, ImageFormat::Jpeg)
});

/// Examples with every key, by the kind of file.
pub(crate) fn example(kind: &str) -> String {
    let of = match kind {
        "figure" => "figure",
        "layout" => "swatch",
        "schemes" => "scheme",
        _ => "optics",
    };
    text(&format!("crates/{of}/data/{kind}.toml"))
}

/// A file of the case as text.
pub(crate) fn text_of(case: &Case, name: &str) -> String {
    String::from_utf8_lossy(case.bytes(name)).into_owned()
}
