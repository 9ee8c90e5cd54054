//! The contact sheet: pictures laid out side by side, with names and chips; and pictures to PNG.

mod arrangement;
mod colour_chart;
mod contact_sheet;
pub mod drawing;
mod file_names;
mod layout;
mod legend;
mod preview_format;
mod previews;
mod stage;
pub mod text;

pub use arrangement::{SMALLEST_CAP_PX, line_height};
pub use colour_chart::{ChartRow, colour_chart};
pub use contact_sheet::contact_sheet;
pub use file_names::{distinct_names, preview_names};
pub use layout::{
    CellPlace, DEFAULT_LONG_EDGE, FULL_SHEET, LONGEST_EDGE, Layout, Rect, SheetOptions, TextSizes,
    layout,
};
pub use legend::{number_places, with_legend};
pub use preview_format::PreviewFormat;
pub use previews::{PreviewWriter, write_picture};
pub use stage::{ContactSheet, session};
