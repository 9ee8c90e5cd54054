//! WASM components attached as stages, under limits.
//!
//! A component is a file with one stage, as defined in `wit/stage.wit`. It has no imports, so it can reach only the values
//! passed to it. [`Limits`] bounds what it can use, and its results are validated before anything uses them.

mod bulk;
mod calls;
mod component;
mod contract;
mod counts;
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
