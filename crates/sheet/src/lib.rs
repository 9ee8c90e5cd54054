//! Contact sheet, previews and report files.

mod arrangement;
mod cautions;
mod contact_sheet;
mod drawing;
mod error;
mod file_names;
mod html;
mod layout;
mod output_check;
mod output_folder;
mod page;
mod pair;
mod previews;
mod render;
mod report;
mod stage;
mod text;
mod words;

pub use contact_sheet::{Cell, Chip, contact_sheet};
pub use error::{Error, Refusal};
pub use file_names::preview_names;
pub use layout::{
    CellPlace, DEFAULT_LONG_EDGE, FULL_SHEET, LONGEST_EDGE, Layout, Rect, SMALLEST_CAP_PX,
    SheetOptions, TextSizes, layout,
};
pub use output_check::check_outputs;
pub use output_folder::{AbandonHandle, OutputFolder, PendingFile};
pub use pair::{
    Cue, DominantReport, EyeReport, Grade, Hundredths, NearReport, NearestPair, PAIR_FORMAT,
    PairOptions, PairReport, PartReport, ScaleReport, Screen, Side, TeamReport, Verdict,
    ViewReport, pair, pair_to_json, planned_pair_files,
};
pub use previews::{PreviewWriter, write_picture};
pub use render::{Extent, RenderOptions, planned_files, render};
pub use report::{
    Backend, Hex, LabMean, REPORT_FORMAT, Ratio, RegionReport, Report, SchemeReport, Source,
    Sourced, SpillReport, Undercoat, to_json,
};
pub use stage::{ContactSheet, registry};
