//! The pipeline: a photo becomes planes, paints become tables, a backend applies tables to planes.
//!
//! What a Rust user depends on. [`load`] reads a job, [`plan`] builds its tables, [`run`] streams every scheme into
//! sinks; the stages behind these are found in a [`Registry`], where your own can be added.

mod backend;
mod built_in;
mod cancel;
mod error;
pub mod gpu;
mod load;
mod means;
mod plan;
mod registry;
mod run;
mod sheet;
mod sheet_pictures;
pub mod stage;
mod timing;
mod view;

pub use backend::{Backend, BackendChoice, BackendKind, LEAST_DEVICE_WORK_PER_THREAD};
pub use cancel::Cancel;
pub use error::Error;
pub use load::{Job, JobFiles, ReadFile, load, load_figure};
pub use means::RegionSums;
pub use plan::{PlannedScheme, plan};
pub use registry::{AnyStage, Registry};
pub use run::{DEFAULT_BUDGET_BYTES, RowSink, RunOptions, planes, run};
pub use sheet::{SheetFile, SheetPicture, SheetRequest, SheetScheme};
pub use sheet_pictures::sheet_pictures;
pub use timing::Clock;
pub use view::View;

pub use velatura_figure as figure;
pub use velatura_optics as optics;
pub use velatura_scheme as scheme;
pub use velatura_shaders as shaders;
