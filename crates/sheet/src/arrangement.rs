//! The choice among the ways to arrange a contact sheet: how many columns, chips below the pictures or next to them; and the gaps
//! and line heights of all of them.
//!
//! Every way is solved for the largest picture that the longer edge allows; the one whose pictures cover most of a sheet
//! of a pleasant shape wins. Lengths are sheet pixels. Not here: the rectangles (`layout.rs`).

/// Capital height of the smallest text, in pixels: as tall as 15-pixel type of this font, read without effort (choice).
pub const SMALLEST_CAP_PX: u32 = 11;

/// Capital heights the small text may have.
const LARGEST_CAP_PX: u32 = 18;
/// A cell that fits the usual undercoat phrase, in units: 31 letters of this font.
const TEXT_WIDTH_UNITS: u32 = 26;
/// The narrowest sheet with the full footer line, in units (a test measures it).
const FOOTER_UNITS: u32 = 31;
/// The narrowest slot of one chip with its name (about eight letters).
const CHIP_SLOT_UNITS: u32 = 9;
/// The same if the chips have their own column (about twelve letters).
const BESIDE_UNITS: u32 = 12;
/// Smallest width of a cell, even if there is no space for text.
const NARROWEST_CELL: u32 = 64;
/// A picture's longer edge is at least this, or the crop's own if that is less.
const SMALLEST_PICTURE: u32 = 48;

/// Where a cell's chips go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ChipPlace {
    BelowTitle,
    BesidePicture,
}

/// One solution for filling the sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Arrangement {
    /// Capital height of the small text.
    pub(crate) unit: u32,
    pub(crate) columns: u32,
    pub(crate) rows: u32,
    pub(crate) cell_width: u32,
    pub(crate) picture: (u32, u32),
    /// The rest of the longer edge after rounding: x, y.
    pub(crate) slack: (u32, u32),
    chip_place: ChipPlace,
    chips: u32,
    footer_width: u32,
}

impl Arrangement {
    pub(crate) fn margin(&self) -> u32 {
        self.unit * 3
    }

    pub(crate) fn column_gap(&self) -> u32 {
        self.unit * 2
    }

    pub(crate) fn row_gap(&self) -> u32 {
        self.unit * 5 / 2
    }

    pub(crate) fn inner_gap(&self) -> u32 {
        self.unit * 3 / 5
    }

    pub(crate) fn header_height(&self) -> u32 {
        line_height(self.unit * 2) + line_height(self.unit * 6 / 5)
    }

    pub(crate) fn footer_height(&self) -> u32 {
        line_height(self.unit)
    }

    pub(crate) fn title_height(&self) -> u32 {
        line_height(self.unit * 7 / 5) + 2 * line_height(self.unit)
    }

    /// The width of the column for chips, if they are next to the picture.
    pub(crate) fn beside_width(&self) -> Option<u32> {
        (self.chip_place == ChipPlace::BesidePicture).then(|| {
            self.cell_width
                .saturating_sub(self.picture.0 + self.column_gap() / 2)
        })
    }

    fn chip_lines(&self) -> u32 {
        let width = self.beside_width().unwrap_or(self.cell_width);
        let beside_each_other = (width / (self.unit * CHIP_SLOT_UNITS)).max(1);
        self.chips.div_ceil(beside_each_other)
    }

    pub(crate) fn chips_height(&self) -> u32 {
        self.chip_lines() * chip_line_height(self.unit)
    }

    pub(crate) fn cell_height(&self) -> u32 {
        let text = self.inner_gap() + self.title_height();
        match self.chip_place {
            ChipPlace::BesidePicture => self.picture.1 + text,
            ChipPlace::BelowTitle if self.chips == 0 => self.picture.1 + text,
            ChipPlace::BelowTitle => self.picture.1 + text + self.inner_gap() + self.chips_height(),
        }
    }

    pub(crate) fn content_width(&self) -> u32 {
        let cells = self.columns * self.cell_width;
        let gaps = self.columns.saturating_sub(1) * self.column_gap();
        (cells + gaps).max(self.footer_width)
    }

    pub(crate) fn sheet_width(&self) -> u32 {
        2 * self.margin() + self.content_width()
    }

    pub(crate) fn sheet_height(&self) -> u32 {
        let cells = self.rows * (self.cell_height() + self.row_gap());
        2 * self.margin() + self.header_height() + self.row_gap() + cells + self.footer_height()
    }

    /// How well the sheet is used: the share that pictures cover, less for a shape far from 4:3 … 3:2.
    fn merit(&self, count: usize) -> f64 {
        let (width, height) = (
            f64::from(self.sheet_width()),
            f64::from(self.sheet_height()),
        );
        let picture = f64::from(self.picture.0) * f64::from(self.picture.1);
        let count = f64::from(u32::try_from(count).unwrap_or(u32::MAX));
        let shape = width / height;
        let off = libm::log(shape / 1.5)
            .max(libm::log(4.0 / 3.0 / shape))
            .max(0.0);
        // Chips below are easier to scan along a row, so chips at the side must gain a tenth.
        let habit = match self.chip_place {
            ChipPlace::BelowTitle => 1.1,
            ChipPlace::BesidePicture => 1.0,
        };
        // Below this width the lines under the name would be shortened, and lose the words on the simulated undercoat.
        let text_width = f64::from(TEXT_WIDTH_UNITS * self.unit);
        let legible = (f64::from(self.cell_width) / text_width).min(1.0);
        // An unfinished last row looks like something is missing.
        let filled = count / f64::from(self.columns * self.rows);
        habit * legible * filled * count * picture / (width * height) * libm::exp(-2.0 * off)
    }
}

/// The height of a line of text with room for accents and descenders.
pub fn line_height(cap_px: u32) -> u32 {
    cap_px * 7 / 4
}

/// The height of a line of chips.
pub(crate) fn chip_line_height(cap_px: u32) -> u32 {
    cap_px * 2
}

/// The best way for `count` cells; `crop` and `long_edge` in pixels.
pub(crate) fn best_arrangement(
    count: usize,
    crop: (u32, u32),
    long_edge: u32,
    columns: Option<u32>,
    chips: usize,
) -> Arrangement {
    let cells = u32::try_from(count).unwrap_or(u32::MAX).max(1);
    let chips = u32::try_from(chips).unwrap_or(u32::MAX);
    // Beyond a few hundred columns no sheet can be read; it only bounds the search.
    let tried = match columns {
        Some(columns) => columns.clamp(1, cells)..=columns.clamp(1, cells),
        None => 1..=cells.min(400),
    };
    let places: &[ChipPlace] = match chips {
        0 => &[ChipPlace::BelowTitle],
        _ => &[ChipPlace::BelowTitle, ChipPlace::BesidePicture],
    };
    let mut best: Option<(f64, Arrangement)> = None;
    for columns in tried {
        for &chip_place in places {
            let start = Arrangement {
                unit: SMALLEST_CAP_PX,
                columns,
                rows: cells.div_ceil(columns),
                cell_width: 0,
                picture: (1, 1),
                slack: (0, 0),
                chip_place,
                chips,
                footer_width: 0,
            };
            let Some(way) = solved(start, crop, long_edge) else {
                continue;
            };
            // A sheet that outgrows the longer edge is the last resort.
            let over = way
                .sheet_width()
                .max(way.sheet_height())
                .saturating_sub(long_edge);
            let merit = match over {
                0 => way.merit(count),
                over => -f64::from(over),
            };
            if best.as_ref().is_none_or(|(known, _)| merit > *known) {
                best = Some((merit, way));
            }
        }
    }
    best.expect("chips below the title fit any picture").1
}

/// The largest text first: as large as the cell's width suggests, then smaller until the picture has its share.
fn solved(start: Arrangement, crop: (u32, u32), long_edge: u32) -> Option<Arrangement> {
    let widest = long_edge / start.columns;
    let mut unit = (widest / 36).clamp(SMALLEST_CAP_PX, LARGEST_CAP_PX);
    loop {
        let way = with_unit(
            Arrangement {
                unit,
                ..start.clone()
            },
            crop,
            long_edge,
        )?;
        let suits = (way.cell_width / 32).max(SMALLEST_CAP_PX);
        if unit <= suits {
            return Some(way);
        }
        unit -= 1;
    }
}

fn with_unit(start: Arrangement, crop: (u32, u32), long_edge: u32) -> Option<Arrangement> {
    let mut way = start;
    way.footer_width = FOOTER_UNITS * way.unit;
    let gaps = (way.columns - 1) * way.column_gap() + 2 * way.margin();
    let widest = (long_edge.saturating_sub(gaps) / way.columns).max(NARROWEST_CELL);
    let chip_column = match way.chip_place {
        ChipPlace::BelowTitle => 0,
        ChipPlace::BesidePicture => BESIDE_UNITS * way.unit + way.column_gap() / 2,
    };
    let text_width = (TEXT_WIDTH_UNITS * way.unit).min(widest);
    way.cell_width = widest;
    loop {
        // A narrower cell needs more lines of chips, more lines leave a smaller picture: the width only falls.
        way.picture = (1, 0);
        let free = long_edge.saturating_sub(way.sheet_height());
        way.picture = fitted(crop, widest.saturating_sub(chip_column), free / way.rows);
        let needed = (way.picture.0 + chip_column).max(text_width);
        if needed >= way.cell_width {
            way.cell_width = way.cell_width.max(needed);
            break;
        }
        way.cell_width = needed;
    }
    if way.chip_place == ChipPlace::BesidePicture && way.chips_height() > way.picture.1 {
        return None;
    }
    if way.picture != crop {
        let (width, height) = (way.sheet_width(), way.sheet_height());
        let left_over = long_edge.saturating_sub(width.max(height));
        // Only what the division by columns or rows lost; more means that the pictures were as large as they can be.
        if left_over <= way.columns.max(way.rows) {
            way.slack = if width >= height {
                (left_over, 0)
            } else {
                (0, left_over)
            };
        }
    }
    Some(way)
}

/// The largest size of the crop's shape within the limits, but never larger than the crop or too small to see.
fn fitted(crop: (u32, u32), widest: u32, tallest: u32) -> (u32, u32) {
    let scaled = |length: u32, by: u32, of: u32| {
        let exact = (2 * u64::from(length) * u64::from(by) + u64::from(of)) / (2 * u64::from(of));
        u32::try_from(exact).unwrap_or(u32::MAX).max(1)
    };
    let (width, height) = crop;
    let least = SMALLEST_PICTURE.min(width.max(height));
    let widest = widest.min(width);
    let tallest = tallest.min(height);
    let (mut w, mut h) =
        if u64::from(widest) * u64::from(height) <= u64::from(tallest) * u64::from(width) {
            (widest.max(1), scaled(widest, height, width))
        } else {
            (scaled(tallest, width, height), tallest.max(1))
        };
    if w.max(h) < least {
        (w, h) = if width >= height {
            (least, scaled(least, height, width))
        } else {
            (scaled(least, width, height), least)
        };
    }
    (w, h)
}
