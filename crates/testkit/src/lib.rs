//! What the tests of all crates share: pictures, cards and small jobs made on the spot. Never part of a build for users.
//!
//! All values are invented.

#[cfg(feature = "cards")]
pub mod cards;
#[cfg(feature = "desk")]
pub mod desk;
pub mod pictures;
