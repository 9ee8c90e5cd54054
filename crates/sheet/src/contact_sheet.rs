//! Draws the contact sheet: pictures, titles and chips at the places that `layout.rs` found.
//!
//! In: a request, and a picture of exactly the layout's size for each of its schemes. Out: 8-bit sRGB. The same input gives
//! the same bytes.

use image::{ImageBuffer, Rgb, RgbImage};
use velatura_pipeline::{SheetChip, SheetPicture, SheetRequest, SheetScheme};

use crate::arrangement::{chip_line_height, line_height};
use crate::drawing::{GROUND, INK, SMALL_INK, draw_chip, draw_line, fill};
use crate::layout::{Layout, Rect};
use crate::text::{Face, fitted_line};

/// The explanation of the chips.
pub(crate) const FOOTER: &str = "chips: seen on the figure | paint alone";

/// The sheet of a request: one picture for each of its schemes and for each place of the layout.
///
/// # Panics
/// If the number of schemes or pictures, or the size of a picture, differs from what the layout was made for.
#[must_use]
pub fn contact_sheet(
    request: &SheetRequest,
    pictures: &[SheetPicture],
    layout: &Layout,
) -> RgbImage {
    assert_eq!(
        [request.schemes.len(), pictures.len()],
        [layout.cells.len(); 2],
        "the layout is of another number of schemes"
    );
    let mut sheet = RgbImage::from_pixel(layout.width, layout.height, Rgb(GROUND));
    draw_header(&mut sheet, &request.heading, &request.sub_heading, layout);
    let schemes = request.schemes.iter().zip(pictures);
    for ((scheme, picture), place) in schemes.zip(&layout.cells) {
        assert_eq!(
            (picture.width, picture.height),
            layout.picture_size,
            "the picture of \"{}\" has another size than the layout",
            scheme.name
        );
        put(&mut sheet, picture, place.picture);
        draw_title(&mut sheet, scheme, place.title, layout);
        draw_chips(&mut sheet, &scheme.chips, place.chips, layout);
    }
    let small = layout.text.small_cap_px;
    let footer = fitted_line(FOOTER, Face::Regular, small, small, layout.footer.width);
    draw_line(&mut sheet, &footer, layout.footer, small, SMALL_INK);
    sheet
}

fn put(sheet: &mut RgbImage, picture: &SheetPicture, place: Rect) {
    let samples = picture.pixels.as_flattened();
    let picture = ImageBuffer::<Rgb<u8>, _>::from_raw(picture.width, picture.height, samples)
        .expect("a picture has as many pixels as its sides say");
    image::imageops::replace(sheet, &picture, i64::from(place.x), i64::from(place.y));
}

fn draw_header(sheet: &mut RgbImage, heading: &str, sub_heading: &str, layout: &Layout) {
    let Rect { x, y, width, .. } = layout.header;
    let text = layout.text;
    let (large, sub) = (text.heading_cap_px, text.sub_heading_cap_px);
    let line = fitted_line(heading, Face::Bold, large, sub, width);
    draw_line(sheet, &line, layout.header, large, INK);
    let below = Rect {
        x,
        y: y + line_height(large),
        width,
        height: line_height(sub),
    };
    let line = fitted_line(sub_heading, Face::Regular, sub, text.small_cap_px, width);
    draw_line(sheet, &line, below, sub, SMALL_INK);
}

fn draw_title(sheet: &mut RgbImage, scheme: &SheetScheme, place: Rect, layout: &Layout) {
    let (large, small) = (layout.text.name_cap_px, layout.text.small_cap_px);
    let name = fitted_line(&scheme.name, Face::Bold, large, small, place.width);
    draw_line(sheet, &name, place, large, INK);
    let who = [scheme.team.trim(), scheme.finish.trim()];
    let who: Vec<&str> = who.into_iter().filter(|part| !part.is_empty()).collect();
    let mut y = place.y + line_height(large);
    for text in [who.join(" · "), scheme.undercoat.clone()] {
        let line = fitted_line(&text, Face::Regular, small, small, place.width);
        draw_line(sheet, &line, Rect { y, ..place }, small, SMALL_INK);
        y += line_height(small);
    }
}

/// In columns, as few as the lines allow, so that each name has the most space: as wide as their names need if that fits,
/// otherwise all equal.
fn draw_chips(sheet: &mut RgbImage, chips: &[SheetChip], place: Rect, layout: &Layout) {
    let small = layout.text.small_cap_px;
    let line = chip_line_height(small);
    let lines = usize::try_from((place.height / line).max(1)).unwrap_or(1);
    let columns = chips.len().div_ceil(lines).max(1);
    let (width, height) = (small * 2, small * 3 / 2);
    let indent = width + small / 2;
    let starts = column_starts(chips, columns, indent, place.width, small);
    for (index, chip) in chips.iter().enumerate() {
        let column = index % columns;
        let row = u32::try_from(index / columns).unwrap_or(u32::MAX);
        let (x, y) = (place.x + starts[column], place.y + row * line);
        let swatch = Rect {
            x,
            y: y + (line - height) / 2,
            width,
            height,
        };
        let inside = draw_chip(sheet, swatch, chip.seen.0);
        // The paint alone is the narrower part, on the right.
        let flat = inside.width * 2 / 5;
        let on_the_right = Rect {
            x: inside.x + inside.width - flat,
            width: flat,
            ..inside
        };
        fill(sheet, on_the_right, chip.dried.0);
        let end = match starts.get(column + 1) {
            Some(next) => next.saturating_sub(small * 4 / 5),
            None => place.width,
        };
        let room = end.saturating_sub(starts[column] + indent);
        let label = fitted_line(&chip.region, Face::Regular, small, small, room);
        label.draw(sheet, x + indent, y + (line + small) / 2, SMALL_INK);
    }
}

/// Where each column of chips begins, from the left of their place.
fn column_starts(
    chips: &[SheetChip],
    columns: usize,
    indent: u32,
    width: u32,
    small: u32,
) -> Vec<u32> {
    let count = u32::try_from(columns).unwrap_or(u32::MAX);
    let mut needed = vec![0; columns];
    for (index, chip) in chips.iter().enumerate() {
        let label = fitted_line(&chip.region, Face::Regular, small, small, u32::MAX);
        let wide = &mut needed[index % columns];
        *wide = label.width().saturating_add(indent).max(*wide);
    }
    let gaps = (count - 1) * (small * 4 / 5);
    let all = needed.iter().copied().fold(gaps, u32::saturating_add);
    let Some(spare) = width.checked_sub(all) else {
        return (0..count)
            .map(|column| column * ((width + small * 4 / 5) / count))
            .collect();
    };
    let gap = small * 4 / 5 + spare / count;
    let mut next = 0;
    needed
        .iter()
        .map(|wide| {
            let start = next;
            next += wide + gap;
            start
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::{SheetOptions, layout};

    #[test]
    fn the_narrowest_sheet_holds_the_footer_uncut() {
        for long_edge in [300, 900, 2800] {
            let options = SheetOptions {
                long_edge: Some(long_edge),
                columns: Some(1),
            };
            let plan = layout(1, (40, 400), &options, 0);
            let small = plan.text.small_cap_px;
            let line = fitted_line(FOOTER, Face::Regular, small, small, plan.footer.width);
            assert_eq!(line.text, FOOTER, "at {long_edge}");
            let cut = fitted_line(FOOTER, Face::Regular, small, small, line.width() - 1);
            assert_ne!(cut.text, FOOTER, "a pixel less must not hold it");
        }
    }
}
