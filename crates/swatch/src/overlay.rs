//! A preview: the photo, smaller, with what was found on it. Green: the card's edge from mark to mark and every
//! measured middle; inside each, a patch of the colour that came out of it. Not here: numbers and names (they need a font).

use image::{Rgb, RgbImage, imageops};
use imageproc::drawing::{draw_line_segment_mut, draw_polygon_mut};
use imageproc::point::Point;

use super::card_reading::CardReading;
use super::geometry::Strip;
use super::layout_file::LayoutFile;
use super::plane::Plane;
use velatura_photo::Photo;

/// Longer edge of the picture, in pixels.
const LONG_EDGE: f64 = 1600.0;
const FOUND: Rgb<u8> = Rgb([0x20, 0xe0, 0x40]);
/// Share of a measured middle that its patch leaves free on each side.
const PATCH_INSET: [f64; 2] = [0.25, 0.25];

/// A picture of what was found.
#[derive(Debug, Clone)]
pub struct Overlay {
    /// The picture, its longer edge at most 1600 pixels.
    pub picture: RgbImage,
    /// A place for a number below each field of the reading, in its order: x and y in pixels of the picture, the middle of the
    /// field's lower edge. It may lie outside the picture.
    pub below_fields: Vec<[f32; 2]>,
}

/// Draws what a reading found.
///
/// # Panics
/// If the reading is not of this photo and layout.
#[must_use]
pub fn overlay(photo: &Photo, layout: &LayoutFile, reading: &CardReading) -> Overlay {
    let whole = RgbImage::from_raw(
        photo.width,
        photo.height,
        photo.photo.as_flattened().to_vec(),
    )
    .expect("a photo has three codes per pixel");
    let scale = (LONG_EDGE / f64::from(photo.width.max(photo.height))).min(1.0);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "smaller than before"
    )]
    let size =
        [photo.width, photo.height].map(|size| ((f64::from(size) * scale).round() as u32).max(1));
    let mut picture = imageops::thumbnail(&whole, size[0], size[1]);
    drop(whole);

    let card = layout.geometry.outline();
    let plane = Plane::through(card.corners(), reading.corners_px)
        .expect("a reading's corners lie around its card");
    #[allow(clippy::cast_possible_truncation, reason = "pixels of a picture")]
    let px = |mm: [f64; 2]| plane.px(mm).map(|at| (at * scale) as f32);
    outline(&mut picture, card.corners().map(px));
    let mut below_fields = Vec::new();
    for field in &reading.fields {
        for (strip, colour) in [
            (Strip::Black, field.over_black.srgb),
            (Strip::White, field.over_white.srgb),
        ] {
            let rect = layout.geometry.measured(field.entry.place, strip);
            outline(&mut picture, rect.corners().map(px));
            fill(
                &mut picture,
                rect.inset(PATCH_INSET).corners().map(px),
                Rgb(colour.0),
            );
        }
        let [_, _, right, left] = layout
            .geometry
            .measured(field.entry.place, Strip::White)
            .corners()
            .map(px);
        below_fields.push([0, 1].map(|axis| f32::midpoint(left[axis], right[axis])));
    }
    Overlay {
        picture,
        below_fields,
    }
}

fn outline(picture: &mut RgbImage, corners: [[f32; 2]; 4]) {
    for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
        for shift in [0.0, 1.0] {
            let (from, to) = ((a[0] + shift, a[1]), (b[0] + shift, b[1]));
            draw_line_segment_mut(picture, from, to, FOUND);
        }
    }
}

fn fill(picture: &mut RgbImage, corners: [[f32; 2]; 4], colour: Rgb<u8>) {
    #[allow(clippy::cast_possible_truncation, reason = "pixels of a picture")]
    let points = corners.map(|[x, y]| Point::new(x.round() as i32, y.round() as i32));
    // A place seen almost from the side may have no area in pixels.
    if points[0] != points[3] {
        draw_polygon_mut(picture, &points, colour);
    }
}
