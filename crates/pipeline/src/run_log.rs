//! What happened in one run: the stages that were left out, and what the backend did.
//!
//! Every job and every run over it has its own log, so a failure in one never affects another.

use std::sync::{Mutex, MutexGuard, PoisonError};

use serde::Serialize;
use velatura_document::{Diagnostic, Error};

/// A stage that was left out of a run, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LeftOut {
    /// The stage's name; absent if a file could not even be attached.
    pub stage: Option<String>,
    /// Why.
    pub problems: Vec<Diagnostic>,
}

/// What happened in one run.
#[derive(Debug, Default)]
pub(crate) struct RunLog(Mutex<Events>);

#[derive(Debug, Clone, Default)]
struct Events {
    left_out: Vec<LeftOut>,
    backend_notes: Vec<String>,
    device_has_worked: bool,
}

/// A copy with the same events; later events are separate.
impl Clone for RunLog {
    fn clone(&self) -> Self {
        Self(Mutex::new(self.lock().clone()))
    }
}

impl RunLog {
    /// A log that starts with these.
    pub(crate) fn with_left_out(left_out: Vec<LeftOut>) -> Self {
        Self(Mutex::new(Events {
            left_out,
            ..Events::default()
        }))
    }

    /// Leaves a stage out from now on. `false` if it was out already.
    pub(crate) fn leave_out(&self, stage: &str, problems: Vec<Diagnostic>) -> bool {
        let mut events = self.lock();
        let known = events
            .left_out
            .iter()
            .any(|known| known.stage.as_deref() == Some(stage));
        if !known {
            events.left_out.push(LeftOut {
                stage: Some(stage.to_owned()),
                problems,
            });
        }
        !known
    }

    pub(crate) fn has_left_out(&self, stage: &str) -> bool {
        let events = self.lock();
        events
            .left_out
            .iter()
            .any(|left_out| left_out.stage.as_deref() == Some(stage))
    }

    /// Everything that was left out, in the order of failures.
    pub(crate) fn left_out(&self) -> Vec<LeftOut> {
        self.lock().left_out.clone()
    }

    /// Repeats `work` without each stage that fails in it.
    ///
    /// # Errors
    /// Whatever else stops the work.
    pub(crate) fn without_failing<T>(
        &self,
        mut work: impl FnMut() -> Result<T, Error>,
    ) -> Result<T, Error> {
        loop {
            match work() {
                Err(Error::Stage(failed))
                    if self.leave_out(&failed.stage, vec![failed.problem.clone()]) => {}
                done => return done,
            }
        }
    }

    /// Keeps a line about the backend for the report; the same line once.
    pub(crate) fn note_backend(&self, line: String) {
        let mut events = self.lock();
        if !events.backend_notes.contains(&line) {
            events.backend_notes.push(line);
        }
    }

    pub(crate) fn backend_notes(&self) -> Vec<String> {
        self.lock().backend_notes.clone()
    }

    /// Notes that a row band came from the device.
    pub(crate) fn device_worked(&self) {
        self.lock().device_has_worked = true;
    }

    pub(crate) fn device_has_worked(&self) -> bool {
        self.lock().device_has_worked
    }

    fn lock(&self) -> MutexGuard<'_, Events> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
