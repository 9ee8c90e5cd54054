//! Imports and spectra.

mod import;
mod spectra;
