//! Shared by the tests of all crates: pictures, cards and small jobs made in memory. Never part of a build for users.
//!
//! All values are invented.

#[cfg(feature = "cards")]
pub mod cards;
#[cfg(feature = "desk")]
pub mod desk;
pub mod pages;
pub mod pictures;
