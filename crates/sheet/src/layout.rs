//! Where everything on a contact sheet goes: pure geometry, from counts and sizes.
//!
//! In: the number of cells, the crop's size in photo pixels, the user's options. Out: rectangles in sheet pixels, origin at
//! the top left. All lengths follow from one unit, the capital height of the smallest text. Not here: drawing
//! (`contact_sheet.rs`), gaps, line heights and the choice between arrangements (`arrangement.rs`).

use crate::arrangement::{Arrangement, best_arrangement};

/// The longer edge of a sheet of up to [`FULL_SHEET`] cells, in pixels; ours: prints at 240 mm with 300 dots per inch.
pub const DEFAULT_LONG_EDGE: u32 = 2800;

/// With more cells than this the default sheet grows, so that the pictures stay as large as here.
pub const FULL_SHEET: usize = 40;

/// Largest sheet: many viewers open nothing larger, and the whole sheet is in memory.
pub const LONGEST_EDGE: u32 = 65_535;

/// The user's options.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct SheetOptions {
    /// Cells in a row, at least 1 and at most the number of cells. `None`: chosen for the shape.
    pub columns: Option<u32>,
    /// Pixels of the sheet's longer edge. The sheet is smaller where pictures would have to be enlarged beyond the photo,
    /// and larger where text or pictures would be unreadable. `None`: [`DEFAULT_LONG_EDGE`].
    pub long_edge: Option<u32>,
}

/// A rectangle of sheet pixels; it may be empty.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rect {
    /// Left edge.
    pub x: u32,
    /// Top edge.
    pub y: u32,
    /// Width, 0 or more.
    pub width: u32,
    /// Height, 0 or more.
    pub height: u32,
}

impl Rect {
    /// The first column right of it.
    #[must_use]
    pub fn right(&self) -> u32 {
        self.x + self.width
    }

    /// The first row below it.
    #[must_use]
    pub fn bottom(&self) -> u32 {
        self.y + self.height
    }
}

/// One scheme's place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CellPlace {
    /// The picture, exactly [`Layout::picture_size`].
    pub picture: Rect,
    /// The name, and two smaller lines below it.
    pub title: Rect,
    /// The chips, below the title or to the right of the picture; empty without chips.
    pub chips: Rect,
}

/// Heights of capital letters, in pixels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TextSizes {
    /// The sheet's heading.
    pub heading_cap_px: u32,
    /// The line below the heading.
    pub sub_heading_cap_px: u32,
    /// A scheme's name.
    pub name_cap_px: u32,
    /// All small text: team, finish, undercoat, chips, the footer. Nothing is smaller.
    pub small_cap_px: u32,
}

/// A whole sheet's geometry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    /// Width of the sheet in pixels.
    pub width: u32,
    /// Height of the sheet in pixels.
    pub height: u32,
    /// Cells in a row.
    pub columns: u32,
    /// One per scheme: left to right, then down.
    pub cells: Vec<CellPlace>,
    /// Heading and the line below it.
    pub header: Rect,
    /// The footer's line.
    pub footer: Rect,
    /// Width and height of every picture in pixels, never more than the crop's.
    pub picture_size: (u32, u32),
    /// How large the text is.
    pub text: TextSizes,
}

/// The layout of `count` cells whose pictures have the shape of `picture_aspect` (crop in photo pixels, width × height).
/// A zero in `picture_aspect` counts as 1.
///
/// ```
/// use velatura_sheet::{SheetOptions, layout};
/// let sheet = layout(10, (3000, 4000), &SheetOptions::default(), 5);
/// assert_eq!((sheet.cells.len(), sheet.width.max(sheet.height)), (10, 2800));
/// ```
#[must_use]
pub fn layout(
    count: usize,
    picture_aspect: (u32, u32),
    options: &SheetOptions,
    chips_per_cell: usize,
) -> Layout {
    let crop = (picture_aspect.0.max(1), picture_aspect.1.max(1));
    let long_edge = options
        .long_edge
        .unwrap_or_else(|| default_long_edge(count))
        .min(LONGEST_EDGE);
    let best = best_arrangement(count, crop, long_edge, options.columns, chips_per_cell);
    placed(count, &best)
}

/// Grows with the square root of the count, as the edge of an area does.
fn default_long_edge(count: usize) -> u32 {
    let edge = u64::from(DEFAULT_LONG_EDGE);
    let more = u64::try_from(count.max(FULL_SHEET)).unwrap_or(u64::MAX);
    let full = u64::try_from(FULL_SHEET).unwrap_or(u64::MAX);
    let grown = (edge * edge).saturating_mul(more) / full;
    u32::try_from(grown.isqrt()).unwrap_or(u32::MAX)
}

fn placed(count: usize, best: &Arrangement) -> Layout {
    let unit = best.unit;
    let margin = best.margin();
    let (slack_x, slack_y) = best.slack;
    let left = margin + slack_x / 2;
    let header = Rect {
        x: left,
        y: margin,
        width: best.content_width(),
        height: best.header_height(),
    };
    let top = header.bottom() + best.row_gap();
    let columns = best.columns.max(1);
    let cells = (0..u32::try_from(count).unwrap_or(u32::MAX))
        .map(|index| {
            let x = left + (index % columns) * (best.cell_width + best.column_gap());
            let y = top + (index / columns) * (best.cell_height() + best.row_gap());
            cell_at(x, y, best)
        })
        .collect();
    let height = best.sheet_height() + slack_y;
    Layout {
        width: best.sheet_width() + slack_x,
        height,
        columns,
        cells,
        header,
        footer: Rect {
            x: left,
            y: height - margin - best.footer_height(),
            width: best.content_width(),
            height: best.footer_height(),
        },
        picture_size: best.picture,
        text: TextSizes {
            heading_cap_px: unit * 2,
            sub_heading_cap_px: unit * 6 / 5,
            name_cap_px: unit * 7 / 5,
            small_cap_px: unit,
        },
    }
}

fn cell_at(x: u32, y: u32, best: &Arrangement) -> CellPlace {
    let (width, height) = best.picture;
    let picture = Rect {
        x,
        y,
        width,
        height,
    };
    let title = Rect {
        x,
        y: picture.bottom() + best.inner_gap(),
        width: best.cell_width,
        height: best.title_height(),
    };
    let chips = match best.beside_width() {
        Some(chips_width) => Rect {
            x: x + best.cell_width - chips_width,
            y,
            width: chips_width,
            height: best.chips_height(),
        },
        None => Rect {
            x,
            y: title.bottom() + best.inner_gap(),
            width: best.cell_width,
            height: best.chips_height(),
        },
    };
    CellPlace {
        picture,
        title,
        chips,
    }
}
