//! Small pictures and figure files for the tests, made in memory. All values are invented.

#![allow(dead_code, reason = "each test file uses some of these")]

use image::{ExtendedColorType, ImageEncoder};
use velatura_document::SourceText;
use velatura_figure::{FigureFile, Plate, plate, read_figure_file};
use velatura_photo::DecodeLimits;

pub const RED: [u8; 3] = [0xe6, 0x19, 0x4b];
pub const BLUE: [u8; 3] = [0x43, 0x63, 0xd8];

/// A whole figure file with two regions; `undercoat` is what is under `[undercoat]`.
pub fn figure_text(undercoat: &str) -> String {
    format!(
        r##"format = "velatura-figure/1"
name = "Lamplighter with a pole"
photo = "photo.png"
mask = "mask.png"

[undercoat]
{undercoat}

[[region]]
name = "coat"
mask_colour = "#e6194b"

[[region]]
name = "hood"
mask_colour = "#4363d8"
"##
    )
}

pub fn source(text: &str) -> SourceText {
    SourceText::new("figure.toml", text)
}

pub fn figure(undercoat: &str) -> FigureFile {
    read_figure_file(&source(&figure_text(undercoat)))
        .unwrap_or_else(|problems| panic!("the test's figure file is right: {problems:?}"))
        .value
}

/// Row-major pixels from a rule.
pub fn pixels<T>(width: u32, height: u32, of: impl Fn(u32, u32) -> T) -> Vec<T> {
    (0..height)
        .flat_map(|y| (0..width).map(move |x| (x, y)))
        .map(|(x, y)| of(x, y))
        .collect()
}

pub fn png(width: u32, height: u32, bytes: &[u8], kind: ExtendedColorType) -> Vec<u8> {
    png_with_profile(width, height, bytes, kind, None)
}

pub fn png_with_profile(
    width: u32,
    height: u32,
    bytes: &[u8],
    kind: ExtendedColorType,
    profile: Option<Vec<u8>>,
) -> Vec<u8> {
    let mut out = Vec::new();
    let mut encoder = image::codecs::png::PngEncoder::new(&mut out);
    if let Some(profile) = profile {
        encoder
            .set_icc_profile(profile)
            .expect("PNG carries profiles");
    }
    encoder
        .write_image(bytes, width, height, kind)
        .expect("it fits in memory");
    out
}

pub fn png_rgb(width: u32, height: u32, of: impl Fn(u32, u32) -> [u8; 3]) -> Vec<u8> {
    png(
        width,
        height,
        pixels(width, height, of).as_flattened(),
        ExtendedColorType::Rgb8,
    )
}

pub fn jpeg(width: u32, height: u32, of: impl Fn(u32, u32) -> [u8; 3]) -> Vec<u8> {
    let mut out = Vec::new();
    image::codecs::jpeg::JpegEncoder::new_with_quality(&mut out, 95)
        .write_image(
            pixels(width, height, of).as_flattened(),
            width,
            height,
            ExtendedColorType::Rgb8,
        )
        .expect("it fits in memory");
    out
}

/// A JPEG with an Exif block that contains only the orientation, in either byte order.
pub fn with_exif(jpeg: &[u8], orientation: u8, order: ByteOrder) -> Vec<u8> {
    let two = |number: u16| match order {
        ByteOrder::Big => number.to_be_bytes(),
        ByteOrder::Little => number.to_le_bytes(),
    };
    let four = |number: u32| match order {
        ByteOrder::Big => number.to_be_bytes(),
        ByteOrder::Little => number.to_le_bytes(),
    };
    let mut exif = b"Exif\0\0".to_vec();
    exif.extend(if order == ByteOrder::Big {
        b"MM"
    } else {
        b"II"
    });
    exif.extend(two(42));
    exif.extend(four(8));
    exif.extend(two(1));
    exif.extend([two(0x0112), two(3)].concat());
    exif.extend(four(1));
    exif.extend([two(u16::from(orientation)), two(0)].concat());
    exif.extend(four(0));
    let length = u16::try_from(exif.len() + 2)
        .expect("a short block")
        .to_be_bytes();
    [&jpeg[..2], &[0xff, 0xe1], &length[..], &exif, &jpeg[2..]].concat()
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum ByteOrder {
    Big,
    Little,
}

/// A plate of a grey photo whose mask is red on the left and blue on the right, with a black frame of `frame` pixels.
pub fn grey_plate(
    figure: &FigureFile,
    width: u32,
    height: u32,
    frame: u32,
    of: impl Fn(u32, u32) -> u8,
) -> Plate {
    let photo = png_rgb(width, height, |x, y| [of(x, y); 3]);
    let mask = png_rgb(width, height, |x, y| {
        let inside = x >= frame && y >= frame && x + frame < width && y + frame < height;
        match (inside, x < width / 2) {
            (false, _) => [0; 3],
            (true, true) => RED,
            (true, false) => BLUE,
        }
    });
    let read = plate(figure, &photo, &mask, &DecodeLimits::default());
    read.unwrap_or_else(|problems| panic!("the test's pictures are right: {problems:?}"))
        .value
}

pub fn tiff(width: u32, height: u32, bytes: &[u8], kind: ExtendedColorType) -> Vec<u8> {
    let mut out = std::io::Cursor::new(Vec::new());
    image::codecs::tiff::TiffEncoder::new(&mut out)
        .write_image(bytes, width, height, kind)
        .expect("it fits");
    out.into_inner()
}

pub fn webp(width: u32, height: u32, of: impl Fn(u32, u32) -> [u8; 3]) -> Vec<u8> {
    let mut out = Vec::new();
    let pixels = pixels(width, height, of);
    image::codecs::webp::WebPEncoder::new_lossless(&mut out)
        .write_image(
            pixels.as_flattened(),
            width,
            height,
            ExtendedColorType::Rgb8,
        )
        .expect("it fits");
    out
}

/// Every code of every channel occurs.
pub fn colourful(x: u32, y: u32) -> [u8; 3] {
    [x, y, x ^ y].map(|code| u8::try_from(code & 255).expect("below 256"))
}
