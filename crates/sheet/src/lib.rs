//! Contact sheet, previews and report files.

mod arrangement;
mod contact_sheet;
mod error;
mod file_names;
mod layout;
mod output_check;
mod output_folder;
mod previews;
mod render;
mod report;
mod stage;
mod text;

pub use contact_sheet::{Cell, Chip, contact_sheet};
pub use error::{Error, Refusal};
pub use file_names::preview_names;
pub use layout::{
    CellPlace, DEFAULT_LONG_EDGE, FULL_SHEET, LONGEST_EDGE, Layout, Rect, SMALLEST_CAP_PX,
    SheetOptions, TextSizes, layout,
};
pub use output_check::check_outputs;
pub use output_folder::{AbandonHandle, OutputFolder, PendingFile};
pub use previews::{PreviewWriter, write_picture};
pub use render::{Extent, RenderOptions, planned_files, render};
pub use report::{
    Backend, Hex, LabMean, REPORT_FORMAT, Ratio, RegionReport, Report, SchemeReport, Source,
    Sourced, Undercoat, to_json,
};
pub use stage::{ContactSheet, registry};
