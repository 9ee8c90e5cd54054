//! A small picture of the painted figure with the number of each part in it.

use image::{GrayImage, Luma, Rgb, RgbImage, imageops};
use imageproc::distance_transform::{Norm, distance_transform};
use imageproc::drawing::draw_filled_circle_mut;
use velatura_document::Error;
use velatura_pipeline::scheme::Scheme;
use velatura_pipeline::{Cancel, Job, Run};
use velatura_sheet::text::{Face, fitted_line};
use velatura_sheet::write_picture;

/// Pixels of the longer edge: about 60 mm in print at 220 per inch.
const LONG_EDGE: u32 = 520;
/// Height of the digits in pixels, about 1.6 mm in print.
const DIGIT_PX: u32 = 14;
const DISC_PX: i32 = 14;

/// The picture, and the same as PNG.
///
/// # Errors
/// As rendering.
pub(crate) fn thumbnail(
    job: &Job,
    scheme: &Scheme,
    cancel: &Cancel,
) -> Result<(RgbImage, Vec<u8>), Error> {
    let crop = job.underpainting.crop_box();
    let (width, height) = fitted(crop.width, crop.height);
    let run = Run::new(job, cancel);
    let planned = run.plan(std::slice::from_ref(scheme))?;
    let drawn_at = (width.min(crop.width), height.min(crop.height));
    let (mut pictures, _) = run.without_failing(|| run.sheet_pictures(&planned, drawn_at))?;
    let picture = pictures.remove(0);
    let samples = picture.pixels.into_flattened();
    let picture = RgbImage::from_raw(picture.width, picture.height, samples)
        .expect("a picture has as many pixels as its sides say");
    // A photo may be smaller than the digits need.
    let mut picture = imageops::resize(&picture, width, height, imageops::FilterType::Triangle);
    let labels = job
        .underpainting
        .reduced(crop, drawn_at.0, drawn_at.1)
        .subject
        .region;
    for number in 1..=scheme.regions.len() {
        if let Some((x, y)) = middle(&labels, drawn_at.0, number) {
            let scaled = |at: u32, from: u32, to: u32| (2 * at + 1) * to / (2 * from);
            let at = (scaled(x, drawn_at.0, width), scaled(y, drawn_at.1, height));
            mark(&mut picture, number, at);
        }
    }
    let png =
        write_picture(Vec::new(), &picture).map_err(|error| error.at("the card's picture"))?;
    Ok((picture, png))
}

/// The size of a picture with these sides and our longer edge.
fn fitted(width: u32, height: u32) -> (u32, u32) {
    let long = width.max(height).max(1);
    let side = |side: u32| {
        let scaled = u64::from(side) * u64::from(LONG_EDGE) / u64::from(long);
        u32::try_from(scaled).unwrap_or(LONG_EDGE).max(1)
    };
    (side(width), side(height))
}

/// The pixel of a region that is farthest from everything else; `None` if it has no pixel.
fn middle(labels: &[u8], width: u32, number: usize) -> Option<(u32, u32)> {
    let label = u8::try_from(number).ok()?;
    let height = u32::try_from(labels.len()).ok()? / width.max(1);
    // A frame of one pixel: what touches the picture's edge ends there.
    let outside = GrayImage::from_fn(width + 2, height + 2, |x, y| {
        let inside = (1..=width).contains(&x) && (1..=height).contains(&y);
        let own = inside && labels[((y - 1) * width + x - 1) as usize] == label;
        Luma([if own { 0 } else { 255 }])
    });
    let distance = distance_transform(&outside, Norm::LInf);
    let farthest = distance.pixels().map(|pixel| pixel.0[0]).max()?;
    let (x, y, _) = distance
        .enumerate_pixels()
        .find(|(_, _, pixel)| pixel.0[0] == farthest)?;
    (farthest > 0).then(|| (x - 1, y - 1))
}

/// A number in a white disc with a dark edge, whole inside the picture.
fn mark(picture: &mut RgbImage, number: usize, (x, y): (u32, u32)) {
    let side = |side: u32| i32::try_from(side).unwrap_or(i32::MAX);
    let inside = |at: u32, length: u32| {
        let last = (side(length) - 1 - DISC_PX).max(DISC_PX);
        side(at).clamp(DISC_PX, last)
    };
    let (x, y) = (inside(x, picture.width()), inside(y, picture.height()));
    draw_filled_circle_mut(picture, (x, y), DISC_PX, Rgb([0x10; 3]));
    draw_filled_circle_mut(picture, (x, y), DISC_PX - 2, Rgb([0xff; 3]));
    let line = fitted_line(
        &number.to_string(),
        Face::Bold,
        DIGIT_PX,
        DIGIT_PX / 2,
        2 * (DISC_PX.unsigned_abs() - 3),
    );
    let left = x.unsigned_abs().saturating_sub(line.width() / 2);
    let baseline = y.unsigned_abs() + line.cap_px / 2;
    line.draw(picture, left, baseline, [0x10; 3]);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_in_the_widest_place_of_its_part() {
        // Seven columns of region 1 with a block of region 2 at the right.
        let labels: Vec<u8> = (0..10 * 7)
            .map(|at| if at % 10 < 7 { 1 } else { 2 })
            .collect();
        assert_eq!(middle(&labels, 10, 1), Some((3, 3)));
        let (x, _) = middle(&labels, 10, 2).unwrap();
        assert_eq!(x, 8);
        assert_eq!(middle(&labels, 10, 3), None);
    }
}
