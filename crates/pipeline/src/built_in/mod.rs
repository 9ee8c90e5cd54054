//! The built-in stages: each joins one trait of `stage.rs` to the room that does the work. They are registered like any
//! other stage, and are the examples to copy for a new one.

mod figure;
mod finish;
mod kubelka_munk;
mod schemes_file;

use crate::registry::AnyStage;
use crate::stage::{AttachPoint, StageInfo};

/// All of them.
pub(crate) fn stages() -> Vec<AnyStage> {
    vec![
        AnyStage::Intake(Box::new(figure::PhotoAndMask)),
        AnyStage::Ground(Box::new(figure::ThreePlanes)),
        AnyStage::SchemeSource(Box::new(schemes_file::SchemesFileSource)),
        AnyStage::CoatModel(Box::new(kubelka_munk::KubelkaMunk)),
        AnyStage::Finish(Box::new(finish::VarnishFinish)),
    ]
}

fn info(
    attach_point: AttachPoint,
    name: &str,
    takes: &str,
    gives: &str,
    reach_px: Option<u32>,
) -> StageInfo {
    StageInfo {
        attach_point,
        name: name.to_owned(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        takes: takes.to_owned(),
        gives: gives.to_owned(),
        parameters: serde_json::json!({}),
        reach_px,
        deterministic: true,
    }
}
