//! Pictures by chance: odd sizes, all formats and layouts, damaged bytes.

use std::io::Cursor;

use image::{
    DynamicImage, GrayAlphaImage, GrayImage, ImageBuffer, ImageFormat, Rgb, RgbImage, Rgba,
    RgbaImage,
};
use rand::RngExt;
use rand::seq::IndexedRandom;

use super::Chance;
use super::texts::flip;

/// Sides of odd pictures.
const SIDES: [u32; 10] = [1, 2, 3, 7, 16, 31, 54, 64, 300, 1000];
/// The most pixels of a picture that a case makes, so that a case takes milliseconds.
const MOST_PIXELS: u32 = 9000;

/// A size by chance: often the usual one.
pub(crate) fn size(usual: [u32; 2], chance: &mut Chance) -> [u32; 2] {
    if chance.random_bool(0.6) {
        return usual;
    }
    loop {
        let size = [0; 2].map(|_: u32| *SIDES.choose(chance).unwrap_or(&1));
        if size[0] * size[1] <= MOST_PIXELS {
            return size;
        }
    }
}

/// A picture of these colours, in flat pieces, noise or a ramp.
pub(crate) fn picture(
    [width, height]: [u32; 2],
    colours: &[[u8; 3]],
    chance: &mut Chance,
) -> DynamicImage {
    let any = |chance: &mut Chance| -> [u8; 3] {
        match colours.choose(chance) {
            Some(colour) if chance.random_bool(0.9) => *colour,
            _ => std::array::from_fn(|_| chance.random()),
        }
    };
    let few: Vec<[u8; 3]> = (0..chance.random_range(1..6))
        .map(|_| any(chance))
        .collect();
    let kind = chance.random_range(0..4);
    let step = chance.random_range(1..=width.max(height));
    let plain = RgbImage::from_fn(width, height, |x, y| {
        Rgb(match kind {
            0 => few[0],
            1 => few[usize::try_from((x / step + y / step) % 1000).unwrap_or(0) % few.len()],
            2 => [u8::try_from((x * 255 / width.max(1)).min(255)).unwrap_or(0); 3],
            _ => *few.choose(chance).unwrap_or(&[0; 3]),
        })
    });
    other_layout(plain, chance)
}

fn other_layout(plain: RgbImage, chance: &mut Chance) -> DynamicImage {
    let (width, height) = plain.dimensions();
    match chance.random_range(0..9) {
        0 => DynamicImage::ImageLuma8(GrayImage::from_fn(width, height, |x, y| {
            image::Luma([plain.get_pixel(x, y).0[0]])
        })),
        1 => DynamicImage::ImageLumaA8(GrayAlphaImage::from_fn(width, height, |x, y| {
            image::LumaA([
                plain.get_pixel(x, y).0[1],
                *[0, 1, 127, 128, 255].choose(chance).unwrap_or(&0),
            ])
        })),
        2 => {
            let alpha = *[0, 128, 255].choose(chance).unwrap_or(&255);
            DynamicImage::ImageRgba8(RgbaImage::from_fn(width, height, |x, y| {
                let [red, green, blue] = plain.get_pixel(x, y).0;
                Rgba([red, green, blue, alpha])
            }))
        }
        3 => DynamicImage::ImageRgb16(ImageBuffer::from_fn(width, height, |x, y| {
            Rgb(plain.get_pixel(x, y).0.map(|code| u16::from(code) * 257))
        })),
        4 => DynamicImage::ImageRgb32F(ImageBuffer::from_fn(width, height, |x, y| {
            Rgb(plain
                .get_pixel(x, y)
                .0
                .map(|code| f32::from(code) * f32::MAX / 255.0))
        })),
        _ => DynamicImage::ImageRgb8(plain),
    }
}

/// The bytes of a picture, in a format by chance.
pub(crate) fn encoded(picture: &DynamicImage, chance: &mut Chance) -> Vec<u8> {
    let formats = [
        ImageFormat::Png,
        ImageFormat::Png,
        ImageFormat::Jpeg,
        ImageFormat::Tiff,
        ImageFormat::WebP,
    ];
    let format = *formats.choose(chance).unwrap_or(&ImageFormat::Png);
    let mut bytes = Cursor::new(Vec::new());
    // Not every format has every layout.
    if picture.write_to(&mut bytes, format).is_err() {
        bytes = Cursor::new(Vec::new());
        let plain = DynamicImage::ImageRgb8(picture.to_rgb8());
        plain
            .write_to(&mut bytes, ImageFormat::Png)
            .expect("it fits in memory");
    }
    bytes.into_inner()
}

/// Damages the bytes of a picture file.
pub(crate) fn damaged(mut bytes: Vec<u8>, chance: &mut Chance) -> Vec<u8> {
    match chance.random_range(0..5) {
        0 => bytes.truncate(chance.random_range(0..=bytes.len())),
        1 => other_header(&mut bytes, chance),
        2 => {
            let at = chance.random_range(0..=bytes.len());
            let junk: Vec<u8> = (0..chance.random_range(1..64))
                .map(|_| chance.random())
                .collect();
            bytes.splice(at..at, junk);
        }
        // Near the start are the numbers that matter.
        3 => {
            let end = bytes.len().min(64);
            flip(&mut bytes[..end], chance);
        }
        _ => (0..chance.random_range(1..9)).for_each(|_| flip(&mut bytes, chance)),
    }
    bytes
}

/// Another size, depth or colour type in the header of a PNG, with the checksum to match.
fn other_header(png: &mut [u8], chance: &mut Chance) {
    const HEADER: std::ops::Range<usize> = 12..29;
    if !png.starts_with(b"\x89PNG") || png.len() < 33 {
        return flip(png, chance);
    }
    let at = chance.random_range(16..29_usize);
    png[at] = *[0, 1, 2, 3, 4, 6, 8, 16, 255].choose(chance).unwrap_or(&0);
    let sum = checksum(&png[HEADER]).to_be_bytes();
    png[HEADER.end..HEADER.end + 4].copy_from_slice(&sum);
}

/// The checksum of PNG's parts: CRC-32 of ISO 3309, bit by bit.
fn checksum(bytes: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    for byte in bytes {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            sum = if sum & 1 == 1 {
                sum >> 1 ^ 0xedb8_8320
            } else {
                sum >> 1
            };
        }
    }
    !sum
}
