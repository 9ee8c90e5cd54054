//! A picture of colours: rows of large chips, each with a caption, on the sheet's neutral grey.
//!
//! In: a heading and rows. Out: a picture as wide as its rows need and at most 1600 pixels; longer rows continue on the next line.

use image::{Rgb, RgbImage};
use velatura_pipeline::optics::colour::Encoded;

use crate::arrangement::line_height;
use crate::drawing::{GROUND, INK, SMALL_INK, draw_chip, draw_line};
use crate::layout::Rect;
use crate::text::{Face, Line, fitted_line, wrapped_lines};

/// The widest chart, in pixels.
const WIDEST_PX: u32 = 1600;
/// Height of capitals: headings and titles, captions and notes.
const TITLE_CAP_PX: u32 = 18;
const CAPTION_CAP_PX: u32 = 14;
/// A chip's height, and the least and largest width of a chip with its caption.
const CHIP_HEIGHT_PX: u32 = 96;
const CHIP_WIDTH_PX: (u32, u32) = (144, 288);
const GAP_PX: u32 = 16;
const MARGIN_PX: u32 = 32;

/// One row of a chart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChartRow {
    /// What the colours belong to.
    pub title: String,
    /// A sentence below the title; may be empty.
    pub note: String,
    /// The colours, each with its caption.
    pub chips: Vec<(Encoded, String)>,
}

/// Draws the chart.
#[must_use]
pub fn colour_chart(heading: &str, rows: &[ChartRow]) -> RgbImage {
    let placed = Placed::new(heading, rows);
    let mut chart = RgbImage::from_pixel(placed.width, placed.height(), Rgb(GROUND));
    let mut y = MARGIN_PX;
    placed.lines(&mut chart, &mut y, &placed.heading, TITLE_CAP_PX, INK);
    for (row, (title, note)) in rows.iter().zip(&placed.texts) {
        y += 2 * GAP_PX;
        placed.lines(&mut chart, &mut y, title, TITLE_CAP_PX, INK);
        placed.lines(&mut chart, &mut y, note, CAPTION_CAP_PX, SMALL_INK);
        for chips in row.chips.chunks(placed.columns) {
            y += GAP_PX / 2;
            for (x, (colour, caption)) in placed.places().zip(chips) {
                let edge = Rect {
                    x,
                    y,
                    width: placed.chip_width,
                    height: CHIP_HEIGHT_PX,
                };
                draw_chip(&mut chart, edge, colour.0);
                let below = Rect {
                    y: y + CHIP_HEIGHT_PX,
                    ..edge
                };
                let line = caption_line(caption, placed.chip_width);
                draw_line(&mut chart, &line, below, CAPTION_CAP_PX, INK);
            }
            y += CHIP_HEIGHT_PX + line_height(CAPTION_CAP_PX);
        }
    }
    chart
}

fn caption_line(caption: &str, width: u32) -> Line {
    fitted_line(caption, Face::Regular, CAPTION_CAP_PX, 11, width)
}

/// Where everything goes.
struct Placed {
    width: u32,
    chip_width: u32,
    columns: usize,
    heading: Vec<Line>,
    /// Title and note of each row.
    texts: Vec<(Vec<Line>, Vec<Line>)>,
    /// Lines of chips in each row.
    chip_lines: Vec<usize>,
}

impl Placed {
    fn new(heading: &str, rows: &[ChartRow]) -> Self {
        let captions = rows.iter().flat_map(|row| &row.chips);
        let widest = captions
            .map(|(_, caption)| caption_line(caption, u32::MAX).width())
            .max()
            .unwrap_or(0);
        let chip_width = widest.clamp(CHIP_WIDTH_PX.0, CHIP_WIDTH_PX.1);
        let step = chip_width + GAP_PX;
        let fitting = (WIDEST_PX - 2 * MARGIN_PX + GAP_PX) / step;
        let longest = rows.iter().map(|row| row.chips.len()).max().unwrap_or(0);
        let columns = longest.clamp(1, fitting as usize);
        // Narrow charts keep room for their texts.
        let across = u32::try_from(columns).unwrap_or(1) * step - GAP_PX;
        let inside = across.max(WIDEST_PX / 2);
        let wrapped = |text: &str, face, cap| wrapped_lines(text, face, cap, inside);
        Self {
            width: inside + 2 * MARGIN_PX,
            chip_width,
            columns,
            heading: wrapped(heading, Face::Bold, TITLE_CAP_PX),
            texts: rows
                .iter()
                .map(|row| {
                    (
                        wrapped(&row.title, Face::Bold, TITLE_CAP_PX),
                        wrapped(&row.note, Face::Regular, CAPTION_CAP_PX),
                    )
                })
                .collect(),
            chip_lines: rows
                .iter()
                .map(|row| row.chips.len().div_ceil(columns))
                .collect(),
        }
    }

    fn height(&self) -> u32 {
        let high = |lines: usize, each: u32| u32::try_from(lines).unwrap_or(u32::MAX) * each;
        let (title, caption) = (line_height(TITLE_CAP_PX), line_height(CAPTION_CAP_PX));
        let rows = self.texts.iter().zip(&self.chip_lines);
        let rows: u32 = rows
            .map(|((titles, notes), chips)| {
                2 * GAP_PX
                    + high(titles.len(), title)
                    + high(notes.len(), caption)
                    + high(*chips, GAP_PX / 2 + CHIP_HEIGHT_PX + caption)
            })
            .sum();
        2 * MARGIN_PX + high(self.heading.len(), title) + rows
    }

    fn places(&self) -> impl Iterator<Item = u32> {
        let step = self.chip_width + GAP_PX;
        (0..).map(move |column| MARGIN_PX + column * step)
    }

    fn lines(&self, chart: &mut RgbImage, y: &mut u32, lines: &[Line], cap_px: u32, ink: [u8; 3]) {
        for line in lines {
            let place = Rect {
                x: MARGIN_PX,
                y: *y,
                width: self.width - 2 * MARGIN_PX,
                height: line_height(cap_px),
            };
            draw_line(chart, line, place, cap_px, ink);
            *y += line_height(cap_px);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_chip_is_on_the_chart_whole() {
        for (rows, chips) in [(0_u8, 0_u8), (1, 1), (3, 2), (2, 25)] {
            let colour = |row: u8, chip: u8| Encoded([200 + row, chip * 10, 255 - 7 * chip]);
            let rows: Vec<ChartRow> = (0..rows)
                .map(|row| ChartRow {
                    title: format!("row {row}"),
                    note: "Invented. ".repeat(40),
                    chips: (0..chips)
                        .map(|chip| (colour(row, chip), format!("chip {chip}")))
                        .collect(),
                })
                .collect();
            let chart = colour_chart("Colours", &rows);
            assert!(chart.width() <= WIDEST_PX, "{} wide", chart.width());
            for (colour, caption) in rows.iter().flat_map(|row| &row.chips) {
                let shown = chart.pixels().filter(|pixel| pixel.0 == colour.0).count();
                let whole = (CHIP_WIDTH_PX.0 - 2) * (CHIP_HEIGHT_PX - 2);
                assert_eq!(shown, whole as usize, "{caption} of {}", rows.len());
            }
            // The last line is clear of the lower edge.
            let last = chart.rows().next_back().unwrap();
            assert!(last.into_iter().all(|pixel| pixel.0 == GROUND));
        }
    }
}
