//! A session: everything that the jobs of a program share. Built once, never changed, and cheap to clone.
//!
//! It has the stages, the backend (a device is opened once and reused), the limits for reading pictures and the memory limit of
//! a run. Events of a run are in its own log, so simultaneous jobs are independent. The paints that were calibrated last stay at hand;
//! that changes no result.

use std::path::PathBuf;
use std::sync::Arc;

use velatura_document::{Diagnostic, Error, SourceText, Warned};
use velatura_optics::calibrate::PaintBox;
use velatura_photo::DecodeLimits;

use crate::backend::Backend;
use crate::built_in::built_in_stages;
use crate::catalogue::{AnyStage, Catalogue, Standing};
use crate::clock::Clock;
use crate::paints_at_hand::PaintsAtHand;
use crate::run_log::{LeftOut, RunLog};
use crate::stage::StageInfo;

/// Memory limit of a run in addition to the planes: 512 MiB.
pub const DEFAULT_BUDGET_BYTES: usize = 512 << 20;

/// Everything that the jobs of a program share. Clones are the same session.
#[derive(Debug, Clone)]
pub struct Session(Arc<Shared>);

#[derive(Debug)]
struct Shared {
    catalogue: Catalogue,
    unattached: Vec<LeftOut>,
    backend: Backend,
    limits: DecodeLimits,
    budget_bytes: usize,
    clock: Clock,
    paints: PaintsAtHand,
}

impl Session {
    /// Starts a session without any stage.
    pub fn builder() -> SessionBuilder {
        SessionBuilder::default()
    }

    /// The paints of these texts, calibrated, with warnings.
    pub(crate) fn paints(
        &self,
        sources: &[SourceText],
    ) -> Result<Warned<PaintBox>, Vec<Diagnostic>> {
        self.0.paints.of(sources)
    }

    /// What every stage says about itself, by attach point, then in the order of registration.
    #[must_use]
    pub fn stages(&self) -> Vec<StageInfo> {
        self.0.catalogue.infos()
    }

    /// The files that gave no stage, each with its problem.
    #[must_use]
    pub fn unattached(&self) -> &[LeftOut] {
        &self.0.unattached
    }

    /// The files of all plugins, including those that gave no stage: none may be overwritten.
    #[must_use]
    pub fn attached_files(&self) -> Vec<PathBuf> {
        let attached = self.stages().into_iter().filter_map(|info| info.file);
        let unattached = self.0.unattached.iter().flat_map(|one| &one.problems);
        attached
            .map(|file| file.path.into())
            .chain(unattached.map(|problem| PathBuf::from(&problem.file)))
            .collect()
    }

    /// Limits for every picture that is read.
    #[must_use]
    pub fn limits(&self) -> &DecodeLimits {
        &self.0.limits
    }

    /// Memory limit of a run in addition to the planes, in bytes.
    #[must_use]
    pub fn budget_bytes(&self) -> usize {
        self.0.budget_bytes
    }

    /// The backend.
    #[must_use]
    pub fn backend(&self) -> &Backend {
        &self.0.backend
    }

    /// The clock for timings.
    #[must_use]
    pub fn clock(&self) -> &Clock {
        &self.0.clock
    }

    pub(crate) fn catalogue(&self) -> &Catalogue {
        &self.0.catalogue
    }

    /// The log of a new job.
    pub(crate) fn new_log(&self) -> RunLog {
        RunLog::with_left_out(self.0.unattached.clone())
    }
}

/// Builds a [`Session`].
#[derive(Debug, Default)]
#[must_use]
pub struct SessionBuilder {
    catalogue: Catalogue,
    problems: Vec<Diagnostic>,
    unattached: Vec<LeftOut>,
    backend: Backend,
    limits: DecodeLimits,
    budget_bytes: Option<usize>,
    clock: Clock,
}

impl SessionBuilder {
    /// Adds the built-in stages of this crate. Only the sheet is missing: the crate that draws it adds it.
    pub fn built_in_stages(mut self) -> Self {
        for stage in built_in_stages() {
            self = self.built_in(stage);
        }
        self
    }

    /// Adds a stage that is part of the program.
    pub fn built_in(self, stage: AnyStage) -> Self {
        self.with(stage, Standing::BuiltIn)
    }

    /// Adds a stage. It works where the user's files have a table `[stage.NAME]` for it, or everywhere, with its defaults, if
    /// no file has one. A stage that cannot be added makes [`SessionBuilder::build`] fail.
    pub fn stage(self, stage: AnyStage) -> Self {
        self.with(stage, Standing::Registered)
    }

    fn with(mut self, stage: AnyStage, standing: Standing) -> Self {
        if let Err(error) = self.catalogue.add(stage, standing) {
            self.problems.extend(error.diagnostics().iter().cloned());
        }
        self
    }

    /// Like [`SessionBuilder::stage`], for a program that can continue without the stage.
    ///
    /// # Errors
    /// [`Error::Call`] for a second stage of the same name, and for parameters that are not the JSON Schema of an object.
    pub fn register(&mut self, stage: AnyStage) -> Result<(), Error> {
        self.catalogue.add(stage, Standing::Registered)
    }

    /// Adds a stage that works only where the user's files have a table `[stage.NAME]` for it.
    ///
    /// # Errors
    /// As [`SessionBuilder::register`].
    pub fn offer(&mut self, stage: AnyStage) -> Result<(), Error> {
        self.catalogue.add(stage, Standing::Offered)
    }

    /// Records a file that gave no stage. Every job lists it as left out.
    pub fn note_unattached(&mut self, problem: Diagnostic) {
        self.unattached.push(LeftOut {
            stage: None,
            problems: vec![problem],
        });
    }

    /// Sets the backend [default: the processor].
    pub fn backend(mut self, backend: Backend) -> Self {
        self.backend = backend;
        self
    }

    /// Sets the limits for every picture that is read.
    pub fn limits(mut self, limits: DecodeLimits) -> Self {
        self.limits = limits;
        self
    }

    /// Sets the memory limit of a run in addition to the planes, in bytes; the default is [`DEFAULT_BUDGET_BYTES`].
    pub fn budget_bytes(mut self, bytes: usize) -> Self {
        self.budget_bytes = Some(bytes);
        self
    }

    /// Sets the clock for timings; the default is a stopped one.
    pub fn clock(mut self, clock: Clock) -> Self {
        self.clock = clock;
        self
    }

    /// What every stage that was added so far says about itself.
    #[must_use]
    pub fn stages(&self) -> Vec<StageInfo> {
        self.catalogue.infos()
    }

    /// The session.
    ///
    /// # Errors
    /// [`Error::Call`] with every stage that could not be added.
    pub fn build(self) -> Result<Session, Error> {
        if !self.problems.is_empty() {
            return Err(Error::Call(self.problems));
        }
        Ok(Session(Arc::new(Shared {
            catalogue: self.catalogue,
            unattached: self.unattached,
            backend: self.backend,
            limits: self.limits,
            budget_bytes: self.budget_bytes.unwrap_or(DEFAULT_BUDGET_BYTES),
            clock: self.clock,
            paints: PaintsAtHand::default(),
        })))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sessions_may_be_shared_between_threads() {
        fn shared<T: Send + Sync + Clone + 'static>() {}
        shared::<Session>();
    }

    #[test]
    fn every_stage_that_cannot_be_added_is_named_when_the_session_is_built() {
        let twice = Session::builder().built_in_stages().built_in_stages();
        let error = twice.build().unwrap_err();
        assert!(matches!(error, Error::Call(_)));
        assert_eq!(error.diagnostics().len(), built_in_stages().len());
        assert!(Session::builder().built_in_stages().build().is_ok());
    }
}
