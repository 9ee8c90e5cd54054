//! The Python module `velatura`: sessions, jobs, pictures as numpy arrays, predicted and matched colours.
//!
//! In: Python calls. Out: numpy arrays, dicts with the keys of the JSON forms, exceptions that carry diagnostics. All work is that
//! of the crate `velatura`; here are arguments, the interpreter lock (`work.rs`) and exceptions (`errors.rs`). The Python side
//! of the package is in `python/velatura`.
#![allow(
    clippy::doc_markdown,
    reason = "doc comments become docstrings, which are plain text"
)]

mod arguments;
mod colours;
mod errors;
mod job;
mod session;
mod work;

use pyo3::prelude::*;

#[pymodule]
mod _velatura {
    #[pymodule_export]
    use super::colours::{match_colour, predict};
    #[pymodule_export]
    use super::job::Job;
    #[pymodule_export]
    use super::session::Session;
    #[pymodule_export]
    use super::work::Cancel;

    #[pymodule_export]
    #[allow(non_upper_case_globals, reason = "Python's name for it")]
    const __version__: &str = env!("CARGO_PKG_VERSION");
}
