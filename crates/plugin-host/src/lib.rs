//! WASM components attached as stages, under limits.
//!
//! A component is one file of one stage, as `wit/stage.wit` says. It has no imports, so it reaches nothing but the values
//! that it is given; what it may use up is in [`Limits`]; what it gives is checked before anyone sees it.

mod bulk;
mod calls;
mod component;
mod contract;
mod engine;
mod fault;
mod limits;
mod meter;
mod outline;
mod pool;
mod stages;
mod tangle;
#[cfg(test)]
mod tests;
mod words;

pub use limits::Limits;
pub use stages::{Attached, attach};
