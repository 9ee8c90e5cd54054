//! Ten paint schemes on one underpainted figure: the whole job as a library.
//!
//! [`session`] starts a [`Session`] with every built-in stage. [`Session::load`] reads a figure with its paints and schemes
//! from [`Files`]. [`render`] writes previews, contact sheet and report to [`Outputs`], and [`pair`] compares two teams.
//!
//! ```no_run
//! use velatura::{DiskFiles, OutputFolder, RenderOptions, render, session};
//!
//! let job = session().build()?.load(&DiskFiles, "figure.toml")?;
//! let report = render(&job, &RenderOptions::default(), &OutputFolder::new("out"))?;
//! println!("{} schemes on {}", report.schemes.len(), report.figure);
//! # Ok::<(), velatura::Error>(())
//! ```

pub mod colours;
mod disk;
mod kept;
mod new_figure;
mod old_previews;
mod options;
mod pictures;
mod previews;
mod read_file;
mod render;
mod scheme_report;
mod together;
mod two_at_a_time;

pub use disk::{DiskFiles, running_clock};
pub use kept::Kept;
pub use new_figure::{EXAMPLE_PAINTS, NewFigure, NewPart, colour_word, part_names};
pub use options::{Extent, RenderOptions};
pub use pictures::{Picture, Pictures, render_pictures};
pub use render::{planned_files, render};
pub use together::{TOGETHER_FILE, Together};
pub use two_at_a_time::two_at_a_time;

pub use velatura_document::{Files, MemoryFiles, Warned};
pub use velatura_output::{MemoryOutputs, OutputFolder, Outputs, ZipOutputs};
pub use velatura_pair::{PairOptions, PairReport, Side, pair};
pub use velatura_pipeline::{
    AnyStage, Backend, BackendChoice, Cancel, Error, Job, JobFiles, Session, SessionBuilder,
};
pub use velatura_report::Report;
pub use velatura_sheet::{PreviewFormat, session};
