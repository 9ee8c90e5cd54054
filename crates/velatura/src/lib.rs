//! Ten paint schemes on one underpainted figure: the whole job as a library.

mod render;

pub use render::{Extent, RenderOptions, planned_files, render};
pub use velatura_sheet::registry;
