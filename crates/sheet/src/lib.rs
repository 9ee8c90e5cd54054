//! The contact sheet: pictures laid out side by side, with names and chips; and pictures to PNG.

mod arrangement;
mod contact_sheet;
pub mod drawing;
mod file_names;
mod layout;
mod legend;
mod previews;
mod stage;
pub mod text;

pub use arrangement::{SMALLEST_CAP_PX, line_height};
pub use contact_sheet::contact_sheet;
pub use file_names::preview_names;
pub use layout::{
    CellPlace, DEFAULT_LONG_EDGE, FULL_SHEET, LONGEST_EDGE, Layout, Rect, SheetOptions, TextSizes,
    layout,
};
pub use legend::with_legend;
pub use previews::{PreviewWriter, write_picture};
pub use stage::{ContactSheet, session};
