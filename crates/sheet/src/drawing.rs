//! Shared by all drawn pages: background and text colours, a line of text at its place, a filled rectangle.

use image::{Rgb, RgbImage};
use imageproc::drawing::draw_filled_rect_mut;

use crate::arrangement::line_height;
use crate::layout::Rect;
use crate::text::Line;

/// The background of sheets and pages: a neutral grey, so that it lends no hue to the pictures, and neither black nor white, so
/// that it makes no picture look paler or darker than its neighbours do (common practice, no source). Lightness L* 66 is in the
/// middle of the range an undercoat spans and still leaves black text a contrast above 7 : 1.
pub const GROUND: [u8; 3] = [0xa0; 3];
/// Names and headings.
pub const INK: [u8; 3] = [0x10; 3];
/// Smaller lines, also grey, 6 : 1.
pub const SMALL_INK: [u8; 3] = [0x24; 3];
/// A hairline around a chip, so that a chip as grey as the background still has a shape.
pub const CHIP_EDGE: [u8; 3] = [0x50; 3];

/// At the top of `place`, on the line that text of `cap_px` would have, even if `line` had to shrink.
pub fn draw_line(sheet: &mut RgbImage, line: &Line, place: Rect, cap_px: u32, ink: [u8; 3]) {
    let height = line_height(cap_px);
    let baseline = place.y + (height + cap_px) / 2;
    line.draw(sheet, place.x, baseline, ink);
}

/// Fills a rectangle; an empty one is left alone.
pub fn fill(sheet: &mut RgbImage, place: Rect, colour: [u8; 3]) {
    if place.width == 0 || place.height == 0 {
        return;
    }
    let side = |length: u32| i32::try_from(length).unwrap_or(i32::MAX);
    let area =
        imageproc::rect::Rect::at(side(place.x), side(place.y)).of_size(place.width, place.height);
    draw_filled_rect_mut(sheet, area, Rgb(colour));
}

/// Draws a chip with its hairline, and returns the part inside the line.
pub(crate) fn draw_chip(sheet: &mut RgbImage, place: Rect, colour: [u8; 3]) -> Rect {
    fill(sheet, place, CHIP_EDGE);
    let inside = Rect {
        x: place.x + 1,
        y: place.y + 1,
        width: place.width.saturating_sub(2),
        height: place.height.saturating_sub(2),
    };
    fill(sheet, inside, colour);
    inside
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ground_has_no_hue_and_text_on_it_is_legible() {
        // WCAG 2.1, 1.4.3 and 1.4.6 (from memory): contrast (Y1 + 0.05) / (Y2 + 0.05), 7 : 1 and 4.5 : 1.
        let luminance = |grey: [u8; 3]| {
            assert!(
                grey[0] == grey[1] && grey[1] == grey[2],
                "{grey:?} has a hue"
            );
            libm::pow((f64::from(grey[0]) / 255.0 + 0.055) / 1.055, 2.4)
        };
        let contrast = |ink| (luminance(GROUND) + 0.05) / (luminance(ink) + 0.05);
        assert!(contrast(INK) >= 7.0, "{}", contrast(INK));
        assert!(contrast(SMALL_INK) >= 4.5, "{}", contrast(SMALL_INK));
        assert!(contrast(CHIP_EDGE) < 4.5, "must fail: too pale for text");
    }
}
