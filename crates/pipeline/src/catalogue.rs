//! The catalogue: every stage of a session, built-in or not. It never changes once the session is built.
//!
//! If an attach point needs one stage, the one registered last is used, so a user's stage replaces ours. If it fails in a run,
//! the one before it takes its place. Scheme sources, scheme transforms, finishes and sheet texts all run, in the order of
//! registration. Which stages failed is not known here: see `run_log.rs`.

use std::fmt;
use std::sync::Arc;

use velatura_document::{Diagnostic, Error, StageFailure};

use crate::parameters::Judge;
use crate::run_log::RunLog;
use crate::stage::{
    AttachPoint, CoatModel, Finish, Ground, Intake, Regions, SchemeSource, SchemeTransform, Sheet,
    SheetText, StageInfo,
};

/// A stage of any kind.
pub enum AnyStage {
    /// See [`Intake`].
    Intake(Box<dyn Intake>),
    /// See [`Ground`].
    Ground(Box<dyn Ground>),
    /// See [`Regions`].
    Regions(Box<dyn Regions>),
    /// See [`SchemeSource`].
    SchemeSource(Box<dyn SchemeSource>),
    /// See [`SchemeTransform`].
    SchemeTransform(Box<dyn SchemeTransform>),
    /// See [`CoatModel`].
    CoatModel(Box<dyn CoatModel>),
    /// See [`Finish`].
    Finish(Box<dyn Finish>),
    /// See [`Sheet`].
    Sheet(Box<dyn Sheet>),
    /// See [`SheetText`].
    SheetText(Box<dyn SheetText>),
}

impl AnyStage {
    /// What the stage says about itself.
    #[must_use]
    pub fn info(&self) -> StageInfo {
        match self {
            Self::Intake(stage) => stage.info(),
            Self::Ground(stage) => stage.info(),
            Self::Regions(stage) => stage.info(),
            Self::SchemeSource(stage) => stage.info(),
            Self::SchemeTransform(stage) => stage.info(),
            Self::CoatModel(stage) => stage.info(),
            Self::Finish(stage) => stage.info(),
            Self::Sheet(stage) => stage.info(),
            Self::SheetText(stage) => stage.info(),
        }
    }
}

impl fmt::Debug for AnyStage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let info = self.info();
        write!(f, "{} {} {}", info.attach_point, info.name, info.version)
    }
}

/// When a stage takes part in the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Standing {
    /// Part of this program.
    BuiltIn,
    /// Wherever tables name it; everywhere, with its defaults, if none does.
    Registered,
    /// Only where a table names it.
    Offered,
}

/// A stage and what it said about itself when it was registered.
#[derive(Debug)]
pub(crate) struct Entry {
    stage: AnyStage,
    pub(crate) info: StageInfo,
    /// Checks its parameters.
    pub(crate) judge: Judge,
    pub(crate) standing: Standing,
}

impl Entry {
    pub(crate) fn is_built_in(&self) -> bool {
        self.standing == Standing::BuiltIn
    }

    /// The stage, if it is a finish.
    pub(crate) fn finish(&self) -> Option<&dyn Finish> {
        match &self.stage {
            AnyStage::Finish(stage) => Some(&**stage),
            _ => None,
        }
    }
}

/// The failure of a stage, as an error.
pub(crate) fn failure(entry: &Entry, problem: Diagnostic) -> Error {
    StageFailure {
        stage: entry.info.name.clone(),
        problem,
    }
    .into()
}

/// All stages of a session.
#[derive(Debug, Default)]
pub(crate) struct Catalogue {
    entries: Vec<Arc<Entry>>,
}

/// A stage in its own trait, with its entry.
pub(crate) type Found<'a, T> = (&'a Arc<Entry>, &'a T);

impl Catalogue {
    /// Adds a stage.
    ///
    /// # Errors
    /// [`Error::Call`] for a second stage of the same name (replacing one silently would hide mistakes), and for parameters
    /// that are not the JSON Schema of an object.
    pub(crate) fn add(&mut self, stage: AnyStage, standing: Standing) -> Result<(), Error> {
        let info = stage.info();
        if let Some(other) = self.entry(&info.name) {
            let from = match &other.info.file {
                Some(file) => format!(", from {}", file.path),
                None => String::new(),
            };
            let found = format!(
                "there is already a {} called \"{}\"{from}; stage names must be unique",
                other.info.attach_point, info.name
            );
            return Err(Error::call(Diagnostic::error("", found)));
        }
        let judge = Judge::new(&info.parameters).map_err(|problem| {
            let (point, name) = (info.attach_point, &info.name);
            let found = format!("the {point} stage \"{name}\": {problem}");
            Error::call(Diagnostic::error("", found))
        })?;
        self.entries.push(Arc::new(Entry {
            stage,
            info,
            judge,
            standing,
        }));
        Ok(())
    }

    /// What every stage says about itself, by attach point, then in the order of registration.
    pub(crate) fn infos(&self) -> Vec<StageInfo> {
        let mut infos: Vec<StageInfo> = self
            .entries
            .iter()
            .map(|entry| entry.info.clone())
            .collect();
        infos.sort_by_key(|info| info.attach_point);
        infos
    }

    pub(crate) fn entry(&self, name: &str) -> Option<&Entry> {
        self.entries
            .iter()
            .find(|entry| entry.info.name == name)
            .map(|entry| &**entry)
    }

    fn all<'a, T: ?Sized + 'a>(
        &'a self,
        log: &RunLog,
        pick: impl Fn(&'a AnyStage) -> Option<&'a T>,
    ) -> Vec<Found<'a, T>> {
        self.entries
            .iter()
            .filter(|entry| !log.has_left_out(&entry.info.name))
            .filter_map(|entry| Some((entry, pick(&entry.stage)?)))
            .collect()
    }
}

/// One accessor per attach point: all its stages that have not failed in a run, in the order of registration.
macro_rules! attached {
    ($($method:ident: $variant:ident as $stage:ty;)*) => {
        impl Catalogue {
            $(pub(crate) fn $method<'a>(&'a self, log: &RunLog) -> Vec<Found<'a, $stage>> {
                self.all(log, |stage| match stage {
                    AnyStage::$variant(stage) => Some(&**stage),
                    _ => None,
                })
            })*
        }
    };
}

attached! {
    intakes: Intake as dyn Intake;
    grounds: Ground as dyn Ground;
    region_makers: Regions as dyn Regions;
    scheme_sources: SchemeSource as dyn SchemeSource;
    scheme_transforms: SchemeTransform as dyn SchemeTransform;
    coat_models: CoatModel as dyn CoatModel;
    finishes: Finish as dyn Finish;
    sheets: Sheet as dyn Sheet;
    sheet_texts: SheetText as dyn SheetText;
}

/// The error for an attach point that needs a stage and has none.
pub(crate) fn none_left(point: AttachPoint) -> Error {
    let found = format!("the session has no {point} stage");
    Error::call(Diagnostic::error("", found).help("build the session with the built-in stages"))
}
