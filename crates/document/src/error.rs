//! What stops the work, sorted by what is at fault: the input, the call or the machine.

use std::fmt;
use std::io::ErrorKind;

use crate::diagnostic::Diagnostic;
use crate::hint::Hint;

/// Why the work stopped. Every kind holds diagnostics. Only the program on top makes text from them.
#[derive(Debug)]
#[non_exhaustive]
pub enum Error {
    /// The files are wrong; all their problems at once.
    Input(Vec<Diagnostic>),
    /// The call is wrong: an unknown scheme, an output path that is also an input.
    Call(Vec<Diagnostic>),
    /// The machine could not do it: a full disk, a lost device.
    Machine(Vec<Diagnostic>),
    /// A stage failed during the work. The runner leaves the stage out and tries again. If no other stage can take its place,
    /// the failure counts as wrong input.
    Stage(Box<StageFailure>),
    /// The work was cancelled; nothing was written.
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

impl Error {
    /// One wrong input, or a shortage of memory.
    #[must_use]
    pub fn input(problem: Diagnostic) -> Self {
        Self::inputs(vec![problem])
    }

    /// Problems of the input. If memory was short for any of it, that is the machine's fault, and the only one that is
    /// reported: the input may be right.
    #[must_use]
    pub fn inputs(mut problems: Vec<Diagnostic>) -> Self {
        if problems.iter().any(Diagnostic::is_shortage) {
            problems.retain(Diagnostic::is_shortage);
            return Self::Machine(problems);
        }
        Self::Input(problems)
    }

    /// A call that cannot be done as asked.
    #[must_use]
    pub fn call(problem: Diagnostic) -> Self {
        Self::Call(vec![problem])
    }

    /// A fault of the machine.
    #[must_use]
    pub fn machine(problem: Diagnostic) -> Self {
        Self::Machine(vec![problem])
    }

    /// A write, or another operation on a file, that the machine refused. `place` is the path, `doing` says what was being
    /// done ("writing a file"). Use it only if nothing was written.
    #[must_use]
    pub fn io(place: impl Into<String>, doing: &str, source: std::io::Error) -> Self {
        let (expected, help) = advice(source.kind());
        Self::machine(
            Diagnostic::error(place, source.to_string())
                .within(format!("{doing}; nothing was written"))
                .expected(expected)
                .help(help)
                .caused_by(source),
        )
    }

    /// A call that cannot be done as asked, in parts. An empty part is left out.
    #[must_use]
    pub fn refused(
        place: impl Into<String>,
        found: impl Into<String>,
        expected: &str,
        help: impl Into<Hint>,
    ) -> Self {
        Self::call(
            Diagnostic::error(place, found)
                .expected(expected)
                .help(help),
        )
    }

    /// All problems, whatever their kind; none if the work was cancelled.
    #[must_use]
    pub fn diagnostics(&self) -> &[Diagnostic] {
        match self {
            Self::Input(problems) | Self::Call(problems) | Self::Machine(problems) => problems,
            Self::Stage(failure) => std::slice::from_ref(&failure.problem),
            Self::Cancelled => &[],
        }
    }

    /// The same error with another file to blame, for code that writes into a stream and does not know its name.
    #[must_use]
    pub fn at(mut self, file: &str) -> Self {
        if let Self::Input(problems) | Self::Call(problems) | Self::Machine(problems) = &mut self {
            for problem in problems {
                file.clone_into(&mut problem.file);
            }
        }
        self
    }

    /// The same error; if the call is wrong, `part` is the part of the call that is: the name of an argument.
    #[must_use]
    pub fn within_call(mut self, part: &str) -> Self {
        if let Self::Call(problems) = &mut self {
            for problem in problems {
                problem.within = Some(part.to_owned());
            }
        }
        self
    }
}

/// What a write needs, and what to do if the machine refuses it for this reason.
fn advice(reason: ErrorKind) -> (&'static str, Hint) {
    let (expected, help) = match reason {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => {
            ("room for the new files", "free some space")
        }
        ErrorKind::FileTooLarge => (
            "no limit on the size of files, or a higher one",
            "raise the limit",
        ),
        ErrorKind::InvalidFilename => ("a shorter name", "choose a name of up to 255 bytes"),
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => (
            "a folder that may be written to",
            "allow your user to write there",
        ),
        _ => return ("", Hint::from("")),
    };
    (expected, Hint::from(help).or(Hint::OtherOutput))
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Self::Cancelled = self {
            return write!(f, "the work was cancelled; nothing was written");
        }
        for (index, problem) in self.diagnostics().iter().enumerate() {
            let gap = if index == 0 { "" } else { "\n\n" };
            write!(f, "{gap}{problem}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Error {
    /// The cause of the first problem that has one.
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        self.diagnostics()
            .iter()
            .find_map(std::error::Error::source)
    }
}

impl From<Diagnostic> for Error {
    fn from(problem: Diagnostic) -> Self {
        Self::input(problem)
    }
}

impl From<StageFailure> for Error {
    fn from(failure: StageFailure) -> Self {
        Self::Stage(Box::new(failure))
    }
}

#[cfg(test)]
mod tests {
    use std::error::Error as _;

    use super::*;

    #[test]
    fn a_shortage_of_memory_is_no_fault_of_the_input() {
        let shortage = || crate::room_for(u64::MAX / 4, "photo.png").unwrap_err();
        let wrong = || Diagnostic::error("figure.toml", "wrong");
        let error = Error::inputs(vec![wrong(), shortage()]);
        assert!(
            matches!(&error, Error::Machine(problems) if *problems == [shortage()]),
            "{error:?}"
        );
        assert!(matches!(Error::from(shortage()), Error::Machine(_)));
        // Must stay: any other problem of a file.
        assert!(matches!(Error::inputs(vec![wrong()]), Error::Input(_)));
    }

    #[test]
    fn an_error_keeps_what_caused_it() {
        let full = std::io::Error::new(ErrorKind::StorageFull, "no space left");
        let error = Error::io("out/sheet.png", "writing a file", full);
        assert_eq!(
            error.to_string(),
            "error: out/sheet.png: no space left\n  in: writing a file; nothing was written\n  expected: room for the new files\n  help: free some space, or choose another output folder or file"
        );
        let source = error.source().expect("the machine's own error");
        assert!(source.is::<std::io::Error>());
        // Must fail: a problem without a cause has none.
        assert!(Error::call(Diagnostic::error("a", "b")).source().is_none());
    }
}
