//! `report.json` and `index.html`, the page that shows it.

mod cautions;
mod figures_page;
mod finite;
pub mod html;
mod page;
mod report;
mod viewer;
pub mod words;

pub use cautions::CAUTIONS;
pub use figures_page::{FigureEntry, figures_page};
pub use finite::{json_text, json_value};
pub use page::{PAGE_FILE, PagePicture, index_page};
pub use report::{
    Hundredths, LabMean, REPORT_FILE, REPORT_FORMAT, Ratio, RegionReport, Report, SchemeReport,
    SpillReport, UndercoatReport, rounded, to_json,
};
