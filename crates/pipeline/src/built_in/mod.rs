//! The built-in stages: each connects a trait of `stage` to the crate that does the work. They are registered like any other
//! stage. Copy one of them to write a new stage.

mod figure;
mod finish;
mod kubelka_munk;
mod regions;
mod schemes_file;

pub use kubelka_munk::kubelka_munk_table;

use crate::catalogue::AnyStage;
use crate::stage::{AttachPoint, StageInfo};

/// The built-in stages of this crate, in the order in which they are registered.
#[must_use]
pub fn built_in_stages() -> Vec<AnyStage> {
    vec![
        AnyStage::Intake(Box::new(figure::PhotoAndMask)),
        AnyStage::Ground(Box::new(figure::ThreePlanes)),
        AnyStage::Regions(Box::new(regions::FromStrokes)),
        AnyStage::SchemeSource(Box::new(schemes_file::SchemesFileSource)),
        AnyStage::CoatModel(Box::new(kubelka_munk::KubelkaMunk)),
        AnyStage::Finish(Box::new(finish::VarnishFinish)),
    ]
}

fn info(attach_point: AttachPoint, name: &str, takes: &str, gives: &str) -> StageInfo {
    StageInfo::new(attach_point, name, env!("CARGO_PKG_VERSION")).with_words(takes, gives)
}
