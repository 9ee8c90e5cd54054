//! The bench card: one scheme as a page to paint from, with wet paint on the table.
//!
//! In: a job and one of its schemes. Out: a [`BenchCard`], as HTML, PDF, text or data. The colours are those of the previews;
//! amounts, drying and minutes are estimates from constants that the caller can change ([`Bench`]).

mod amounts;
mod assembled;
mod card;
mod html;
mod mixed_once;
mod order;
mod pdf;
mod pdf_font;
mod pdf_layout;
mod text;
mod thumbnail;
mod words;

pub use amounts::Bench;
pub use assembled::{BENCH_CARD_FORMAT, bench_cards};
pub use card::{
    BareWhere, BenchCard, CoatStep, Measure, Minutes, Need, NumberedPart, SpillNote, Undercoating,
};
pub use html::html_pages;
pub use order::PaintingOrder;
pub use pdf::pdf_pages;
pub use text::text_pages;
