//! The stages: small traits with plain data in and out, one file for each place where a plugin can attach.
//!
//! A stage describes itself in [`StageInfo`], which the list of attached stages shows. Built-in stages work in the same way.
//! The example in each file is a complete stage, registered and run.

mod coat_model;
mod finish;
mod ground;
mod info;
mod intake;
mod regions;
mod scheme_source;
mod scheme_transform;
mod sheet;
mod sheet_text;

pub use coat_model::CoatModel;
pub use finish::{Finish, FrameBand};
pub use ground::Ground;
pub use info::{AttachPoint, StageFile, StageInfo};
pub use intake::Intake;
pub use regions::Regions;
pub use scheme_source::{SchemeRequest, SchemeSource};
pub use scheme_transform::SchemeTransform;
pub use sheet::Sheet;
pub use sheet_text::{SheetText, TextKind};

/// What every stage can do: describe itself.
pub trait Stage: Send + Sync {
    /// Its description, the same on every call.
    fn info(&self) -> StageInfo;
}
