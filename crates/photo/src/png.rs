//! A picture as the bytes of a PNG, 8-bit RGB without alpha.

use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{ExtendedColorType, ImageEncoder};

/// A picture, `pixels` row-major.
///
/// # Panics
/// If the pixels are not whole rows of `width`.
#[must_use]
pub fn picture_png(pixels: &[[u8; 3]], width: u32) -> Vec<u8> {
    let height = u32::try_from(pixels.len() / width as usize).expect("a picture's side");
    let mut bytes = Vec::new();
    // Rows of a mask are much like the row above.
    PngEncoder::new_with_quality(&mut bytes, CompressionType::Fast, FilterType::Up)
        .write_image(
            pixels.as_flattened(),
            width,
            height,
            ExtendedColorType::Rgb8,
        )
        .expect("whole rows, written to memory");
    bytes
}
