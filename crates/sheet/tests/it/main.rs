//! The contact sheet and previews.

mod contact_sheet;
mod layout;
mod previews;
