//! What can go wrong while files are laid out and written, sorted by whose fault it is: the call or the machine.
//!
//! There is no `Input` kind: this crate reads no file of the user's. The five parts of a message (`style.md`) are kept
//! apart, so that the command line can print them its own way.

use std::io;

/// A call that cannot be done as asked; nothing was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// The path or argument to blame, as the user wrote it; may be empty.
    pub place: String,
    /// What was found.
    pub found: String,
    /// What would have been right.
    pub expected: Option<String>,
    /// What to do about it.
    pub mend: Option<String>,
}

impl std::fmt::Display for Refusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.place.as_str() {
            "" => write!(f, "{}", self.found)?,
            place => write!(f, "{place}: {}", self.found)?,
        }
        if let Some(expected) = &self.expected {
            write!(f, "\n  expected: {expected}")?;
        }
        if let Some(mend) = &self.mend {
            write!(f, "\n  mend: {mend}")?;
        }
        Ok(())
    }
}

/// Everything that this crate's functions can answer instead of a result.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// The call is wrong: exit status 2.
    #[error("{0}")]
    Call(Refusal),
    /// The machine could not do it (disk full, no permission): exit status 3.
    #[error("{place}: {source}\n  in: {doing}; {written}")]
    Machine {
        /// The path as the user wrote it; may be `picture` where only a stream is known.
        place: String,
        /// What was being done.
        doing: &'static str,
        /// What is in place now: `nothing was written`, or which files are.
        written: String,
        /// What the machine said.
        #[source]
        source: io::Error,
    },
}

impl From<Error> for velatura_pipeline::Error {
    fn from(error: Error) -> Self {
        match error {
            Error::Call(refusal) => Self::Call(refusal.to_string()),
            machine @ Error::Machine { .. } => Self::Machine(machine.to_string()),
        }
    }
}

impl Error {
    /// The same with `place` to blame: for the PNG writer, which does not know the file it writes into.
    #[must_use]
    pub fn at(mut self, place: &str) -> Self {
        match &mut self {
            Self::Call(refusal) => place.clone_into(&mut refusal.place),
            Self::Machine { place: known, .. } => place.clone_into(known),
        }
        self
    }

    pub(crate) fn refused(
        place: impl Into<String>,
        found: impl Into<String>,
        expected: &str,
        mend: &str,
    ) -> Self {
        let part = |text: &str| (!text.is_empty()).then(|| text.to_owned());
        Self::Call(Refusal {
            place: place.into(),
            found: found.into(),
            expected: part(expected),
            mend: part(mend),
        })
    }

    pub(crate) fn machine(
        place: impl Into<String>,
        doing: &'static str,
        source: io::Error,
    ) -> Self {
        Self::Machine {
            place: place.into(),
            doing,
            written: "nothing was written".to_owned(),
            source,
        }
    }
}
