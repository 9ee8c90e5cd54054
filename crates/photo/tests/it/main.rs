//! Photos that can be read, and photos that cannot.

mod photos;
mod unreadable_photos;
