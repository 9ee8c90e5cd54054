//! Colours without pictures: what coats dry to, and which mixes come near a colour.
//!
//! In: paints, and colours as a user writes them (`read.rs`). Out: answers that have a JSON form, the same for every program.

mod mixes;
mod mixes_report;
mod predicted;
mod read;

pub use mixes::{MixRequest, MixesFound, Reach};
pub use mixes_report::MixesReport;
pub use predicted::{PredictReport, PredictedColour};
pub use read::{Target, read_coats, read_colour, read_paint_box, read_substrate, read_target};
