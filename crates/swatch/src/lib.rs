//! Swatches: colours of drawdowns from a photo of their card. Photo and layout in, one colour per paint and strip out.
//!
//! The marks give the position of the card (`marks.rs`, `plane.rs`), its bare black and white the light (`light.rs`), and a
//! reference chart what the camera does to colours (`chart.rs`). The colour of a place is what most of its pixels agree on
//! (`samples.rs`). `verdict.rs` says what is wrong with the photo, `field_verdict.rs` with a drawdown. Not here: the optics of a
//! paint (another crate).

mod card_reading;
mod chart;
mod edge;
mod field_verdict;
mod geometry;
mod layout_card;
mod layout_chart;
mod layout_file;
mod layout_keys;
mod layout_text;
mod light;
mod marks;
mod overlay;
mod plane;
mod reading;
mod samples;
mod template;
mod verdict;

pub use card_reading::{CardReading, FieldColour, FieldReading, LightReport, MarksFrom};
pub use chart::ChartReport;
pub use geometry::{CardGeometry, RectMm, Strip, StripPair};
pub use layout_chart::{Chart, Patch};
pub use layout_file::{CardColours, FieldEntry, LayoutFile, TintOf, read_layout_file};
pub use layout_keys::LAYOUT_FILE;
pub use layout_text::{ListedTint, layout_text, listed_fields};
pub use overlay::{Overlay, overlay};
pub use reading::{CARD_BYTES_PER_PIXEL, read_card};
pub use template::{CHECK_LINE_MM, Paper, card_pdf, card_svg};
