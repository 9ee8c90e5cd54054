//! Cards of drawdowns: read, refused, printed.

mod bad_cards;
mod card_template;
mod swatch;
