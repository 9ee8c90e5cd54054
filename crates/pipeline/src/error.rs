//! What stops a job, sorted by whose fault it is.

use velatura_optics::diagnostic::Diagnostic;

use crate::registry::Entry;

/// Why a job stopped.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// The files are wrong: exit status 1.
    #[error("{}", join(.0))]
    Input(Vec<Diagnostic>),
    /// The call is wrong (an unknown scheme or stage): exit status 2.
    #[error("{0}")]
    Call(String),
    /// The machine could not do it (disk full): exit status 3.
    #[error("{0}")]
    Machine(String),
    /// A stage failed in the midst of the work; [`without_failing`](crate::without_failing) goes on without it. Left
    /// standing, it is a wrong input.
    #[error("{}", .0.problem)]
    Stage(Box<StageFailure>),
    /// Someone asked to stop.
    #[error("stopped before it was done; nothing was written")]
    Cancelled,
}

/// Which stage failed, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StageFailure {
    /// The stage's name.
    pub stage: String,
    /// Why.
    pub problem: Diagnostic,
}

impl StageFailure {
    pub(crate) fn of(entry: &Entry, problem: Diagnostic) -> Error {
        Error::Stage(Box::new(Self {
            stage: entry.info.name.clone(),
            problem,
        }))
    }
}

impl From<Diagnostic> for Error {
    fn from(problem: Diagnostic) -> Self {
        Self::Input(vec![problem])
    }
}

fn join(problems: &[Diagnostic]) -> String {
    problems
        .iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join("\n\n")
}
