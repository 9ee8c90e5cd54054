//! The registry: every stage, built-in or not, is found here.
//!
//! At attach points that need one stage the last registered is asked first, so a user's own replaces ours by being
//! registered; where it fails, the one before it is asked. Scheme sources, scheme transforms, finishes and sheet texts all
//! run, in the order of registration. A stage that failed is set aside: nothing asks it again.

use std::fmt;
use std::sync::Mutex;

use serde::Serialize;
use velatura_document::Diagnostic;

use crate::built_in;
use crate::parameters::Judge;
use crate::plan::PlannedScheme;
use crate::stage::{
    AttachPoint, CoatModel, Finish, Ground, Intake, Regions, SchemeSource, SchemeTransform, Sheet,
    SheetText, StageInfo,
};
use velatura_document::{Error, StageFailure};

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
    /// What the stage says of itself.
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

/// When a stage has a part in the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Standing {
    /// Part of this program.
    BuiltIn,
    /// Wherever tables name it; everywhere, with its defaults, if none does.
    Registered,
    /// Only where a table names it.
    Offered,
}

/// A stage and what it said when it was registered.
#[derive(Debug)]
pub(crate) struct Entry {
    stage: AnyStage,
    pub(crate) info: StageInfo,
    /// Of its parameters.
    pub(crate) judge: Judge,
    pub(crate) standing: Standing,
}

impl Entry {
    pub(crate) fn is_built_in(&self) -> bool {
        self.standing == Standing::BuiltIn
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

/// A stage that has no part in the work any more, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LeftOut {
    /// The stage's name; absent where a file could not even be attached.
    pub stage: Option<String>,
    /// Why.
    pub problems: Vec<Diagnostic>,
}

/// All stages of a program.
#[derive(Debug, Default)]
pub struct Registry {
    entries: Vec<Entry>,
    left_out: Mutex<Vec<LeftOut>>,
}

/// A stage in its own trait, with its entry.
pub(crate) type Found<'a, T> = (&'a Entry, &'a T);

impl Registry {
    /// No stage at all.
    #[must_use]
    pub fn empty() -> Self {
        Self::default()
    }

    /// The built-in stages of this crate. The sheet is drawn one room further up and registers itself there.
    ///
    /// # Panics
    /// Never: built-ins have names of their own.
    #[must_use]
    pub fn with_built_ins() -> Self {
        let mut registry = Self::default();
        for stage in built_in::built_in_stages() {
            registry
                .add(stage, Standing::BuiltIn)
                .expect("built-ins have names of their own");
        }
        registry
    }

    /// Adds a stage that has a part in the work: wherever the user's files have a table `[stage.NAME]` for it, and
    /// everywhere, with its defaults, if they have none.
    ///
    /// # Errors
    /// A second stage of the same name is refused: silently replacing one hides mistakes. So are parameters that are no
    /// JSON Schema of an object.
    pub fn register(&mut self, stage: AnyStage) -> Result<(), Error> {
        self.add(stage, Standing::Registered)
    }

    /// Adds a stage that has a part in the work only where the user's files have a table `[stage.NAME]` for it.
    ///
    /// # Errors
    /// As [`Registry::register`].
    pub fn offer(&mut self, stage: AnyStage) -> Result<(), Error> {
        self.add(stage, Standing::Offered)
    }

    fn add(&mut self, stage: AnyStage, standing: Standing) -> Result<(), Error> {
        let info = stage.info();
        if let Some(other) = self.entry(&info.name) {
            let from = match &other.info.file {
                Some(file) => format!(", from {}", file.path),
                None => String::new(),
            };
            let found = format!(
                "there is already a {} called \"{}\"{from}; every stage needs a different name",
                other.info.attach_point, info.name
            );
            return Err(Error::call(Diagnostic::error("", found)));
        }
        let judge = Judge::new(&info.parameters).map_err(|problem| {
            let (point, name) = (info.attach_point, &info.name);
            let found = format!("the {point} stage \"{name}\": {problem}");
            Error::call(Diagnostic::error("", found))
        })?;
        self.entries.push(Entry {
            stage,
            info,
            judge,
            standing,
        });
        Ok(())
    }

    /// What every stage says of itself, by attach point, then in the order of registration.
    #[must_use]
    pub fn infos(&self) -> Vec<StageInfo> {
        let mut infos: Vec<StageInfo> = self
            .entries
            .iter()
            .map(|entry| entry.info.clone())
            .collect();
        infos.sort_by_key(|info| info.attach_point);
        infos
    }

    /// The finishes of a planned scheme that are not the program's own and have not failed, by name.
    #[must_use]
    pub fn added_finishes(&self, planned: &PlannedScheme) -> Vec<String> {
        self.finishes()
            .into_iter()
            .filter(|(entry, finish)| {
                !entry.is_built_in()
                    && planned.stages.contains_key(&entry.info.name)
                    && finish.applies(&planned.scheme)
            })
            .map(|(entry, _)| entry.info.name.clone())
            .collect()
    }

    pub(crate) fn entry(&self, name: &str) -> Option<&Entry> {
        self.entries.iter().find(|entry| entry.info.name == name)
    }

    /// Takes a stage out of the work, for good. `false` if it was out already.
    pub fn set_aside(&self, stage: &str, problems: Vec<Diagnostic>) -> bool {
        let mut left_out = self.lock();
        let known = left_out
            .iter()
            .any(|known| known.stage.as_deref() == Some(stage));
        if !known {
            left_out.push(LeftOut {
                stage: Some(stage.to_owned()),
                problems,
            });
        }
        !known
    }

    /// Notes a file that gave no stage at all.
    pub fn note_unattached(&self, problem: Diagnostic) {
        self.lock().push(LeftOut {
            stage: None,
            problems: vec![problem],
        });
    }

    /// What has no part in the work any more, in the order in which it failed.
    #[must_use]
    pub fn left_out(&self) -> Vec<LeftOut> {
        self.lock().clone()
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, Vec<LeftOut>> {
        self.left_out
            .lock()
            .unwrap_or_else(std::sync::PoisonError::into_inner)
    }

    fn all<'a, T: ?Sized + 'a>(
        &'a self,
        pick: impl Fn(&'a AnyStage) -> Option<&'a T>,
    ) -> Vec<Found<'a, T>> {
        let aside = self.left_out();
        let is_aside = |entry: &Entry| {
            aside
                .iter()
                .any(|left_out| left_out.stage.as_deref() == Some(&*entry.info.name))
        };
        self.entries
            .iter()
            .filter(|entry| !is_aside(entry))
            .filter_map(|entry| Some((entry, pick(&entry.stage)?)))
            .collect()
    }
}

/// One accessor per attach point: all its stages that have not failed, in the order of registration.
macro_rules! attached {
    ($($method:ident: $variant:ident as $stage:ty;)*) => {
        impl Registry {
            $(pub(crate) fn $method(&self) -> Vec<Found<'_, $stage>> {
                self.all(|stage| match stage {
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

/// Runs `work` until no stage fails in it: one that did is set aside, and the work is done again without it.
///
/// # Errors
/// What else stops the work; and the failure of a stage that cannot be done without.
pub fn without_failing<T>(
    registry: &Registry,
    mut work: impl FnMut() -> Result<T, Error>,
) -> Result<T, Error> {
    loop {
        match work() {
            Err(Error::Stage(failed))
                if registry.set_aside(&failed.stage, vec![failed.problem.clone()]) => {}
            done => return done,
        }
    }
}

/// That no stage is left at an attach point that needs one.
pub(crate) fn none_left(point: AttachPoint) -> Error {
    let found = format!("no {point} stage is registered; start from Registry::with_built_ins");
    Error::call(Diagnostic::error("", found))
}
