//! The pipeline: a photo becomes planes, paints become tables, a backend applies tables to planes.
//!
//! A [`Session`] has everything that jobs share: stages, backend, limits. [`Session::load`] reads a [`Job`], and a [`Run`] over
//! it plans its tables and streams every scheme into sinks. Your own stages can be added to a session.

mod backend;
mod built_in;
mod cancel;
mod catalogue;
mod checked;
mod clock;
pub mod gpu;
mod job;
mod job_texts;
mod judge;
mod load;
mod means;
mod paints_at_hand;
pub mod parameters;
mod plan;
mod planes;
mod planned;
mod regions;
mod reload;
mod run;
mod run_log;
mod schema_size;
mod schema_words;
mod session;
mod sheet;
mod sheet_pictures;
mod sheet_texts;
pub mod stage;
mod stage_tables;
mod view;
mod worker;

pub use backend::{Backend, BackendChoice, BackendKind, BackendUsed, LEAST_DEVICE_WORK_PER_THREAD};
pub use built_in::{built_in_stages, kubelka_munk_table};
pub use cancel::Cancel;
pub use catalogue::AnyStage;
pub use checked::Checked;
pub use clock::{Clock, Timings};
pub use job::{Job, JobFiles};
pub use means::RegionSums;
pub use parameters::Parameters;
pub use planes::planes;
pub use planned::PlannedScheme;
pub use run::{RowSink, Run};
pub use run_log::LeftOut;
pub use session::{DEFAULT_BUDGET_BYTES, Session, SessionBuilder};
pub use sheet::{SHEET_FILE, SheetChip, SheetFile, SheetPicture, SheetRequest, SheetScheme};
pub use sheet_texts::TEXTS_FOLDER;
pub use stage_tables::StageTables;
pub use velatura_document::{self as document, Error, StageFailure};
pub use view::View;

pub use serde_json;
pub use velatura_figure as figure;
pub use velatura_optics as optics;
pub use velatura_photo as photo;
pub use velatura_scheme as scheme;
pub use velatura_shaders as shaders;
