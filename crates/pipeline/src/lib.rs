//! The pipeline: a photo becomes planes, paints become tables, a backend applies tables to planes.
//!
//! What a Rust user depends on. [`load`] reads a job, [`plan`] builds its tables, [`run`] streams every scheme into
//! sinks; the stages behind these are found in a [`Registry`], where your own can be added.

mod backend;
mod built_in;
mod cancel;
pub mod gpu;
mod load;
mod means;
pub mod parameters;
mod plan;
mod regions;
mod registry;
mod run;
mod schema_size;
mod schema_words;
mod sheet;
mod sheet_pictures;
mod sheet_texts;
pub mod stage;
mod stage_tables;
mod texts;
mod timing;
mod view;

pub use backend::{Backend, BackendChoice, BackendKind, LEAST_DEVICE_WORK_PER_THREAD};
pub use built_in::{built_in_stages, kubelka_munk_table};
pub use cancel::Cancel;
pub use load::{Job, JobFiles, ReadFile, load, load_figure};
pub use means::RegionSums;
pub use parameters::Parameters;
pub use plan::{PlannedScheme, plan};
pub use regions::regions;
pub use registry::{AnyStage, LeftOut, Registry, without_failing};
pub use run::{DEFAULT_BUDGET_BYTES, RowSink, RunOptions, planes, run};
pub use sheet::{SHEET_FILE, SheetFile, SheetPicture, SheetRequest, SheetScheme};
pub use sheet_pictures::sheet_pictures;
pub use sheet_texts::{TEXTS_FOLDER, planned_sheet_texts, sheet_in_use, sheet_texts};
pub use stage_tables::StageTables;
pub use timing::Clock;
pub use velatura_document::{self as document, Error, StageFailure};
pub use view::View;

pub use serde_json;
pub use velatura_figure as figure;
pub use velatura_optics as optics;
pub use velatura_photo as photo;
pub use velatura_scheme as scheme;
pub use velatura_shaders as shaders;
