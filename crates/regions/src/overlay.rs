//! A preview: the photo in grey, tinted by region, a line along every border.
//!
//! In: photo and regions. Out: 8-bit sRGB of the photo's size.

use rayon::prelude::*;
use velatura_optics::colour::Encoded;

use crate::Labels;
use velatura_photo::Photo;

/// Share of the region's colour where the photo is white.
const TINT: f32 = 0.45;
/// The background is dimmed to this share, so that the figure stands out.
const DIMMED: f32 = 0.55;
/// A line's width as a share of the longer side.
const LINE: f32 = 1.0 / 900.0;

/// The photo with its regions on it.
#[must_use]
pub fn overlay(photo: &Photo, regions: &Labels) -> Vec<[u8; 3]> {
    let (width, height) = (photo.width as usize, photo.height as usize);
    let palette = regions.palette();
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "a few pixels"
    )]
    let line = ((LINE * width.max(height) as f32).round() as usize).max(1);
    let mut out = vec![[0_u8; 3]; photo.photo.len()];
    out.par_chunks_mut(width).enumerate().for_each(|(y, row)| {
        for (x, out) in row.iter_mut().enumerate() {
            let at = y * width + x;
            let label = regions.labels[at];
            let right = y * width + (x + line).min(width - 1);
            let below = (y + line).min(height - 1) * width + x;
            let border = regions.labels[right] != label || regions.labels[below] != label;
            *out = if border {
                // The line has the colour of the region on its figure side, so neighbours stay distinct.
                let other = [regions.labels[right], regions.labels[below]]
                    .into_iter()
                    .find(|other| *other != label)
                    .unwrap_or(label);
                palette[usize::from(if label == 0 { other } else { label })].0
            } else {
                tinted(photo.photo[at], palette[usize::from(label)], label)
            };
        }
    });
    out
}

fn tinted(pixel: [u8; 3], colour: Encoded, label: u8) -> [u8; 3] {
    let [red, green, blue] = pixel.map(f32::from);
    // Codes are mixed directly: this is a tint for viewing, not light.
    let grey = 0.3 * red + 0.6 * green + 0.1 * blue;
    std::array::from_fn(|i| {
        let mixed = if label == 0 {
            DIMMED * grey
        } else {
            let under = 40.0 + 0.84 * grey;
            under * (1.0 - TINT) + TINT * f32::from(colour.0[i]) * (0.35 + 0.65 * under / 255.0)
        };
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to 0…255"
        )]
        let code = mixed.round().clamp(0.0, 255.0) as u8;
        code
    })
}
