//! WASM components attached as stages, under limits.
