//! Stages made from a function, so that a broken one needs only a line.

use std::sync::OnceLock;
use std::sync::atomic::{AtomicU32, Ordering};
use std::thread::{ThreadId, current};

use velatura_conformance::Check;
use velatura_pipeline::AnyStage;
use velatura_pipeline::stage::{AttachPoint, Stage, StageInfo};

/// A stage with one thing wrong.
pub(crate) struct Broken {
    /// What is wrong.
    pub(crate) what: &'static str,
    /// The stage.
    pub(crate) stage: AnyStage,
    /// What must catch it.
    pub(crate) check: Check,
}

impl Broken {
    pub(crate) fn new(what: &'static str, check: Check, stage: AnyStage) -> Self {
        Self { what, stage, check }
    }
}

/// A stage that calls a function.
pub(crate) struct Made<F> {
    pub(crate) info: StageInfo,
    pub(crate) work: F,
}

impl<F: Send + Sync> Stage for Made<F> {
    fn info(&self) -> StageInfo {
        self.info.clone()
    }
}

/// The description of a valid stage.
pub(crate) fn info(point: AttachPoint) -> StageInfo {
    StageInfo::new(point, "lamp-oil", "1.0.0")
        .with_words("what it is given", "something else")
        .with_reach_px(0)
}

/// A different number on every call.
pub(crate) fn another() -> f32 {
    static CALLS: AtomicU32 = AtomicU32::new(0);
    f32::from(
        u16::try_from(CALLS.fetch_add(1, Ordering::Relaxed) % 60_000).expect("a small number"),
    ) * 1e-6
}

/// 0 on the first thread, another number on any other.
pub(crate) fn of_thread(first: &OnceLock<ThreadId>) -> f32 {
    let first = first.get_or_init(|| current().id());
    if *first == current().id() { 0.0 } else { 1e-3 }
}
