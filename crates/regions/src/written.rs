//! The mask as the bytes of a PNG, 8-bit RGB without alpha.

use velatura_photo::picture_png;

use crate::Labels;

/// The mask: flat colours, black for the background. `width` is the photo's.
///
/// # Panics
/// If `width` is not the photo's.
#[must_use]
pub fn mask_png(regions: &Labels, width: u32) -> Vec<u8> {
    let palette = regions.palette();
    let pixels: Vec<[u8; 3]> = regions
        .labels
        .iter()
        .map(|label| palette[usize::from(*label)].0)
        .collect();
    picture_png(&pixels, width)
}
