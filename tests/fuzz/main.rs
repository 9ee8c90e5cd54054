//! Files from strangers, made by chance: a short run of every target with a fixed seed, and every case that once failed.
//!
//! A target makes cases from real files of the project, changed by chance, and runs them in memory. [`kit::oracle`] says what
//! must hold whatever the input is. `cargo run -p velatura-tests --example soak` runs as many cases as you like.

mod kit;
mod short;
mod targets;
