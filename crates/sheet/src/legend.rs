//! A picture with a legend below it: a chip and a name for each colour; and numbers on a picture that the legend explains.
//!
//! In: a picture and names. Out: the same picture, taller. Names are in as many columns as fit.

use image::imageops::replace;
use image::{ImageBuffer, Rgb, RgbImage};
use velatura_pipeline::optics::colour::Encoded;

use crate::arrangement::{SMALLEST_CAP_PX, chip_line_height};
use crate::drawing::{GROUND, INK, draw_chip, draw_line, fill};
use crate::layout::Rect;
use crate::text::{Face, fitted_line};

/// Behind a number.
const NUMBER_PLATE: [u8; 3] = [0xf4; 3];

/// A capital's height as a share of the picture's longer side.
const CAP_SHARE: u32 = 90;

/// The picture (8-bit sRGB, row-major, `width` pixels per row) above its legend.
///
/// # Panics
/// If the picture has no whole rows.
#[must_use]
pub fn with_legend(picture: &[[u8; 3]], width: u32, entries: &[(Encoded, String)]) -> RgbImage {
    let height = u32::try_from(picture.len() / width.max(1) as usize).expect("a picture's side");
    let cap = (width.max(height) / CAP_SHARE).max(SMALLEST_CAP_PX);
    let line = chip_line_height(cap);
    let (margin, chip) = (cap, (cap * 2, cap * 3 / 2));
    let indent = chip.0 + cap / 2;
    let available = width.saturating_sub(2 * margin);
    let widest = entries
        .iter()
        .map(|(_, name)| fitted_line(name, Face::Regular, cap, cap, u32::MAX).width())
        .max()
        .unwrap_or(0);
    let column = (indent + widest + 2 * cap).min(available).max(1);
    let columns = (available / column).max(1);
    let count = u32::try_from(entries.len()).unwrap_or(u32::MAX);
    let rows = count.div_ceil(columns);
    let mut sheet = RgbImage::from_pixel(width, height + rows * line + 2 * margin, Rgb(GROUND));
    let above = ImageBuffer::<Rgb<u8>, _>::from_raw(width, height, picture.as_flattened())
        .expect("a picture has whole rows");
    replace(&mut sheet, &above, 0, 0);
    for (index, (colour, name)) in (0..count).zip(entries) {
        let x = margin + index % columns * column;
        let y = height + margin + index / columns * line;
        let edge = Rect {
            x,
            y: y + (line - chip.1) / 2,
            width: chip.0,
            height: chip.1,
        };
        draw_chip(&mut sheet, edge, colour.0);
        let place = Rect {
            x: x + indent,
            y,
            width: column.saturating_sub(indent),
            height: line,
        };
        let text = fitted_line(name, Face::Regular, cap, SMALLEST_CAP_PX, place.width);
        draw_line(&mut sheet, &text, place, cap, INK);
    }
    sheet
}

/// Writes 1, 2, 3 … below these places (x and y in pixels, the middle of the upper edge), dark on a pale plate so that they
/// are legible on any picture. What lies outside the picture is cut.
pub fn number_places(picture: &mut RgbImage, places: &[[f32; 2]]) {
    let longer = picture.width().max(picture.height());
    let cap = (longer / CAP_SHARE).max(SMALLEST_CAP_PX);
    for (number, [x, y]) in (1_u32..).zip(places) {
        let line = fitted_line(&number.to_string(), Face::Bold, cap, cap, u32::MAX);
        let (width, height) = (line.width() + cap, 2 * cap);
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "places are in pixels, and a negative one is drawn at the edge"
        )]
        let (left, top) = (*x as u32, *y as u32 + cap / 2);
        let plate = Rect {
            x: left.saturating_sub(width / 2),
            y: top,
            width,
            height,
        };
        fill(picture, plate, NUMBER_PLATE);
        line.draw(picture, plate.x + cap / 2, top + (height + cap) / 2, INK);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_has_its_chip_below_an_unchanged_picture() {
        let entries: Vec<(Encoded, String)> = (0..7)
            .map(|at: u8| (Encoded([200, 30 * at, 255 - 30 * at]), format!("part {at}")))
            .collect();
        for (width, height) in [(400_u32, 300_u32), (60, 80), (1, 1)] {
            let picture = vec![[9, 8, 7]; (width * height) as usize];
            let sheet = with_legend(&picture, width, &entries);
            assert_eq!(sheet.width(), width);
            assert!((0..height).all(|y| (0..width).all(|x| sheet.get_pixel(x, y).0 == [9, 8, 7])));
            let shown = |colour: &Encoded| sheet.pixels().any(|pixel| pixel.0 == colour.0);
            let missing = entries.iter().filter(|(colour, _)| !shown(colour)).count();
            // A picture of one pixel has no room for chips.
            assert_eq!(
                missing,
                if width == 1 { 7 } else { 0 },
                "{width} × {height}"
            );
        }
        // Must not grow without a name.
        assert!(with_legend(&[[0; 3]; 4], 2, &[]).height() < 40);
    }

    #[test]
    fn numbers_are_where_they_belong_and_outside_places_do_no_harm() {
        let mut picture = RgbImage::from_pixel(300, 200, Rgb([7, 90, 40]));
        number_places(
            &mut picture,
            &[[150.0, 100.0], [-40.0, 20.0], [5000.0, 1e9], [299.0, 199.0]],
        );
        let near = |x: u32, y: u32, colour: [u8; 3]| {
            let around = (x - 15..x + 15).flat_map(|x| (y..y + 40).map(move |y| (x, y)));
            around
                .filter(|(x, y)| picture.get_pixel(*x, *y).0 == colour)
                .count()
        };
        assert!(near(150, 100, NUMBER_PLATE) > 100);
        assert!(near(150, 100, INK) > 10);
        // Must fail: nothing is drawn where there is no place.
        assert_eq!(near(230, 100, NUMBER_PLATE), 0);
    }
}
