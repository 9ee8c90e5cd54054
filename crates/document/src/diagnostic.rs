//! What is wrong with a file, where, and how to fix it: an error as a value. Only the program on top makes text from it.
//!
//! A diagnostic has five parts, always in this order: severity with place and what was found, the line with a caret, `in`,
//! `expected`, `help`. The JSON form has the same parts as keys.

use std::collections::TryReserveError;
use std::error::Error as StdError;
use std::fmt;
use std::io;
use std::sync::Arc;

use serde::Serialize;

use crate::hint::Hint;
use crate::place::Place;
use crate::shown::printable;

/// The most problems to print of one call. More would scroll the first ones away.
pub const SHOWN_AT_MOST: usize = 20;

/// Whether the work can go on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
#[non_exhaustive]
pub enum Severity {
    /// Nothing is written.
    Error,
    /// The work goes on. The message also goes into `report.json`.
    Warning,
}

/// One problem of one file, or of a call.
#[derive(Debug, Clone, Serialize)]
#[non_exhaustive]
pub struct Diagnostic {
    /// Error or warning.
    pub severity: Severity,
    /// The file as the user wrote it; empty if no file is to blame.
    pub file: String,
    /// Where in the file, for text files.
    pub place: Option<Place>,
    /// What was found.
    pub found: String,
    /// The part of the file it belongs to (`coat 2 of scheme "Foglight"`).
    #[serde(rename = "in")]
    pub within: Option<String>,
    /// What would have been right.
    pub expected: Option<String>,
    /// What to do about it.
    pub help: Option<Hint>,
    /// What caused it, for programs.
    #[serde(skip)]
    source: Option<Arc<dyn StdError + Send + Sync>>,
}

/// Causes are not compared, because errors of the machine cannot be.
impl PartialEq for Diagnostic {
    fn eq(&self, other: &Self) -> bool {
        self.severity == other.severity
            && self.file == other.file
            && self.place == other.place
            && self.found == other.found
            && self.within == other.within
            && self.expected == other.expected
            && self.help == other.help
    }
}

impl Eq for Diagnostic {}

impl Diagnostic {
    /// An error about a whole file (a picture, a file that cannot be opened).
    #[must_use]
    pub fn error(file: impl Into<String>, found: impl Into<String>) -> Self {
        Self::new(Severity::Error, file.into(), None, found.into())
    }

    /// A warning about a whole file.
    #[must_use]
    pub fn warning(file: impl Into<String>, found: impl Into<String>) -> Self {
        Self::new(Severity::Warning, file.into(), None, found.into())
    }

    pub(crate) fn new(
        severity: Severity,
        file: String,
        place: Option<Place>,
        found: String,
    ) -> Self {
        Self {
            severity,
            file,
            place,
            found,
            within: None,
            expected: None,
            help: None,
            source: None,
        }
    }

    /// The same problem as a warning.
    #[must_use]
    pub fn as_warning(mut self) -> Self {
        self.severity = Severity::Warning;
        self
    }

    /// Adds the part of the file it belongs to.
    #[must_use]
    pub fn within(mut self, part: impl Into<String>) -> Self {
        self.within = Some(part.into());
        self
    }

    /// Adds what would have been right. An empty text adds nothing.
    #[must_use]
    pub fn expected(mut self, what: impl Into<String>) -> Self {
        self.expected = Some(what.into()).filter(|what| !what.is_empty());
        self
    }

    /// Adds what to do about it. An empty hint adds nothing.
    #[must_use]
    pub fn help(mut self, how: impl Into<Hint>) -> Self {
        self.help = Some(how.into()).filter(|how| !how.is_empty());
        self
    }

    /// Adds what caused it.
    #[must_use]
    pub fn caused_by(mut self, source: impl StdError + Send + Sync + 'static) -> Self {
        self.source = Some(Arc::new(source));
        self
    }

    /// Whether the machine lacked memory: the input may be right.
    #[must_use]
    pub fn is_shortage(&self) -> bool {
        let Some(source) = self.source.as_deref() else {
            return false;
        };
        let of_system = source.downcast_ref::<io::Error>();
        source.is::<TryReserveError>()
            || of_system.is_some_and(|source| source.kind() == io::ErrorKind::OutOfMemory)
    }

    /// Whether nothing may be written because of this.
    #[must_use]
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}

/// All five parts as text. Characters that a terminal would obey are escaped.
impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = match self.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
        };
        write!(f, "{word}: ")?;
        if !self.file.is_empty() {
            write!(f, "{}:", printable(&self.file))?;
            if let Some(place) = &self.place {
                write!(f, "{}:{}:", place.line, place.column)?;
            }
            write!(f, " ")?;
        }
        write!(f, "{}", printable(&self.found))?;
        if let Some(place) = &self.place {
            write!(f, "\n{place}")?;
        }
        let help = self.help.as_ref().map(ToString::to_string);
        for (label, part) in [
            ("in", &self.within),
            ("expected", &self.expected),
            ("help", &help),
        ] {
            if let Some(part) = part {
                write!(f, "\n  {label}: {}", printable(part))?;
            }
        }
        Ok(())
    }
}

impl StdError for Diagnostic {
    fn source(&self) -> Option<&(dyn StdError + 'static)> {
        let source = self.source.as_deref()?;
        Some(source)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_five_parts_keep_their_order_and_absent_ones_leave_no_trace() {
        let mut whole = Diagnostic::error("a.toml", "found this")
            .help("do that")
            .expected("that")
            .within("coat 2");
        whole.place = Some(Place::in_line(3, "\tab = 1", 3..5));
        assert_eq!(
            whole.to_string(),
            "error: a.toml:3:4: found this\n   | \tab = 1\n   | \t  ^^\n  in: coat 2\n  expected: that\n  help: do that"
        );
        assert_eq!(
            Diagnostic::warning("b.png", "dark")
                .expected("")
                .help("")
                .to_string(),
            "warning: b.png: dark"
        );
    }

    #[test]
    fn no_part_can_forge_another_message_or_command_a_terminal() {
        let nasty = "x\x1b[31m\x07\0\u{202e}\nerror: y";
        let mut problem = Diagnostic::error(nasty, nasty)
            .within(nasty)
            .expected(nasty)
            .help(nasty);
        problem.place = Some(Place::in_line(1, "\x1b]0;title\x07", 0..1));
        let text = problem.to_string();
        assert!(
            text.chars().all(|c| c == '\n' || !c.is_control()) && !text.contains('\u{202e}'),
            "{text:?}"
        );
        assert_eq!(
            text.lines()
                .filter(|line| line.starts_with("error"))
                .count(),
            1
        );
        // Programs get the text as it was.
        assert_eq!(problem.found, nasty);
    }
}
