//! The registry: every stage, built-in or not, is found here.
//!
//! At attach points that hold one stage the last registered is used, so a user's own replaces ours by being registered;
//! finishes all run, in the order of registration.

use std::fmt;

use crate::built_in;
use crate::error::Error;
use crate::stage::{CoatModel, Finish, Ground, Intake, SchemeSource, Sheet, Stage, StageInfo};

/// A stage of any kind.
pub enum AnyStage {
    /// See [`Intake`].
    Intake(Box<dyn Intake>),
    /// See [`Ground`].
    Ground(Box<dyn Ground>),
    /// See [`SchemeSource`].
    SchemeSource(Box<dyn SchemeSource>),
    /// See [`CoatModel`].
    CoatModel(Box<dyn CoatModel>),
    /// See [`Finish`].
    Finish(Box<dyn Finish>),
    /// See [`Sheet`].
    Sheet(Box<dyn Sheet>),
}

impl AnyStage {
    fn stage(&self) -> &dyn Stage {
        match self {
            Self::Intake(stage) => stage.as_ref(),
            Self::Ground(stage) => stage.as_ref(),
            Self::SchemeSource(stage) => stage.as_ref(),
            Self::CoatModel(stage) => stage.as_ref(),
            Self::Finish(stage) => stage.as_ref(),
            Self::Sheet(stage) => stage.as_ref(),
        }
    }
}

impl fmt::Debug for AnyStage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let info = self.stage().info();
        write!(f, "{:?} {} {}", info.attach_point, info.name, info.version)
    }
}

/// All stages of a program.
#[derive(Debug, Default)]
pub struct Registry {
    stages: Vec<AnyStage>,
}

impl Registry {
    /// No stage at all.
    #[must_use]
    pub fn empty() -> Self {
        Self::default()
    }

    /// The built-in stages of this crate. The sheet is drawn one room further up and registers itself there.
    #[must_use]
    pub fn with_built_ins() -> Self {
        Self {
            stages: built_in::stages(),
        }
    }

    /// Adds a stage.
    ///
    /// # Errors
    /// A second stage of the same name at the same attach point is refused: silently replacing one hides mistakes.
    pub fn register(&mut self, stage: AnyStage) -> Result<(), Error> {
        let info = stage.stage().info();
        let taken =
            |other: &StageInfo| other.attach_point == info.attach_point && other.name == info.name;
        if self.infos().iter().any(taken) {
            return Err(Error::Call(format!(
                "a {:?} stage called \"{}\" is already registered; give this one another name",
                info.attach_point, info.name
            )));
        }
        self.stages.push(stage);
        Ok(())
    }

    /// What every stage says of itself, by attach point, then in the order of registration.
    #[must_use]
    pub fn infos(&self) -> Vec<StageInfo> {
        let mut infos: Vec<StageInfo> = self
            .stages
            .iter()
            .map(|stage| stage.stage().info())
            .collect();
        infos.sort_by_key(|info| info.attach_point);
        infos
    }

    /// The intake in use.
    ///
    /// # Errors
    /// None is registered.
    pub fn intake(&self) -> Result<&dyn Intake, Error> {
        self.last("intake", |stage| {
            if let AnyStage::Intake(stage) = stage {
                Some(stage.as_ref())
            } else {
                None
            }
        })
    }

    /// The ground in use.
    ///
    /// # Errors
    /// None is registered.
    pub fn ground(&self) -> Result<&dyn Ground, Error> {
        self.last("ground", |stage| {
            if let AnyStage::Ground(stage) = stage {
                Some(stage.as_ref())
            } else {
                None
            }
        })
    }

    /// The scheme source in use.
    ///
    /// # Errors
    /// None is registered.
    pub fn scheme_source(&self) -> Result<&dyn SchemeSource, Error> {
        self.last("scheme source", |stage| {
            if let AnyStage::SchemeSource(stage) = stage {
                Some(stage.as_ref())
            } else {
                None
            }
        })
    }

    /// The coat model in use.
    ///
    /// # Errors
    /// None is registered.
    pub fn coat_model(&self) -> Result<&dyn CoatModel, Error> {
        self.last("coat model", |stage| {
            if let AnyStage::CoatModel(stage) = stage {
                Some(stage.as_ref())
            } else {
                None
            }
        })
    }

    /// The sheet in use.
    ///
    /// # Errors
    /// None is registered.
    pub fn sheet(&self) -> Result<&dyn Sheet, Error> {
        self.last("sheet", |stage| {
            if let AnyStage::Sheet(stage) = stage {
                Some(stage.as_ref())
            } else {
                None
            }
        })
    }

    /// All finishes, in the order of registration.
    pub fn finishes(&self) -> impl Iterator<Item = &dyn Finish> {
        self.stages.iter().filter_map(|stage| {
            if let AnyStage::Finish(stage) = stage {
                Some(stage.as_ref())
            } else {
                None
            }
        })
    }

    fn last<'a, T: ?Sized>(
        &'a self,
        what: &str,
        pick: impl Fn(&'a AnyStage) -> Option<&'a T>,
    ) -> Result<&'a T, Error> {
        self.stages.iter().rev().find_map(pick).ok_or_else(|| {
            Error::Call(format!(
                "no {what} stage is registered; start from Registry::with_built_ins"
            ))
        })
    }
}
