//! What is wrong with a file, where, and how to fix it: an error as a value. Text is made from it only at the edge.
//!
//! Five parts, always in this order: severity with place and what was found, the line with a caret, `in`, `expected`,
//! `help`. The JSON form has the same parts as keys.

use std::error::Error as StdError;
use std::fmt;
use std::sync::Arc;

use serde::Serialize;

/// The largest number of problems shown of one file; more would scroll the first ones away.
pub const SHOWN_AT_MOST: usize = 20;

/// Whether the work can go on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Nothing is written.
    Error,
    /// The work goes on; the message also goes into `report.json`.
    Warning,
}

/// A place in a text file, for people: lines and columns count from 1, columns in characters.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Place {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// The whole line as written.
    pub text: String,
    /// How many characters the caret underlines, at least 1.
    pub width: usize,
}

/// One problem of one file.
#[derive(Debug, Clone, Serialize)]
pub struct Diagnostic {
    /// Error or warning.
    pub severity: Severity,
    /// The file as the user wrote it; empty where no file is to blame.
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
    pub help: Option<String>,
    /// What caused it, for programs.
    #[serde(skip)]
    source: Option<Arc<dyn StdError + Send + Sync>>,
}

/// Causes are not compared: two errors of the machine cannot be.
impl PartialEq for Diagnostic {
    fn eq(&self, other: &Self) -> bool {
        let parts = |one: &Self| {
            (
                one.severity,
                one.file.clone(),
                one.place.clone(),
                one.found.clone(),
                one.within.clone(),
                one.expected.clone(),
                one.help.clone(),
            )
        };
        parts(self) == parts(other)
    }
}

impl Eq for Diagnostic {}

impl Diagnostic {
    /// An error about a whole file (a picture, a file that cannot be opened).
    #[must_use]
    pub fn error(file: impl Into<String>, found: impl Into<String>) -> Self {
        Self::new(Severity::Error, file.into(), None, found.into())
    }

    /// TRANSITION: parts from the lines of a text.
    pub(crate) fn from_lines(text: &str) -> Self {
        let mut lines = text.lines();
        let mut problem = Self::error("", lines.next().unwrap_or_default());
        for line in lines {
            match line.trim_start().split_once(": ") {
                Some(("in", part)) => problem.within = Some(part.into()),
                Some(("expected", part)) => problem.expected = Some(part.into()),
                Some(("help", part)) => problem.help = Some(part.into()),
                _ => {
                    problem.found.push('\n');
                    problem.found.push_str(line);
                }
            }
        }
        problem
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

    /// The same problem, told as a warning.
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

    /// Adds what would have been right.
    #[must_use]
    pub fn expected(mut self, what: impl Into<String>) -> Self {
        self.expected = Some(what.into());
        self
    }

    /// Adds what to do about it.
    #[must_use]
    pub fn help(mut self, how: impl Into<String>) -> Self {
        self.help = Some(how.into());
        self
    }

    /// Adds what caused it.
    #[must_use]
    pub fn caused_by(mut self, source: impl StdError + Send + Sync + 'static) -> Self {
        self.source = Some(Arc::new(source));
        self
    }

    /// Whether nothing may be written because of this.
    #[must_use]
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = match self.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
        };
        write!(f, "{word}: ")?;
        if !self.file.is_empty() {
            write!(f, "{}:", self.file)?;
            if let Some(place) = &self.place {
                write!(f, "{}:{}:", place.line, place.column)?;
            }
            write!(f, " ")?;
        }
        write!(f, "{}", self.found)?;
        if let Some(place) = &self.place {
            // Tabs stay tabs above the caret, so that it stands under its word whatever the tab width.
            let indent: String = place
                .text
                .chars()
                .take(place.column - 1)
                .map(|c| if c == '\t' { '\t' } else { ' ' })
                .collect();
            write!(
                f,
                "\n   | {}\n   | {indent}{}",
                place.text,
                "^".repeat(place.width)
            )?;
        }
        for (label, part) in [
            ("in", &self.within),
            ("expected", &self.expected),
            ("help", &self.help),
        ] {
            if let Some(part) = part {
                write!(f, "\n  {label}: {part}")?;
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

/// The known word nearest to a mistyped one, if one is near enough to be meant.
#[must_use]
pub fn nearest<'a>(typed: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    known
        .into_iter()
        .map(|word| {
            (
                strsim::jaro_winkler(&typed.to_lowercase(), &word.to_lowercase()),
                word,
            )
        })
        .filter(|(likeness, _)| *likeness > 0.75)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, word)| word)
}

/// A list for a sentence: `a, b or c`.
#[must_use]
pub fn either<S: AsRef<str>>(words: &[S]) -> String {
    match words {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(AsRef::as_ref).collect();
            format!("{} or {}", first.join(", "), last.as_ref())
        }
    }
}

/// A count for people: 1,204.
#[must_use]
pub fn with_commas(count: usize) -> String {
    let digits = count.to_string();
    let mut out = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_five_parts_stand_in_order_and_absent_ones_leave_no_trace() {
        let mut whole = Diagnostic::error("a.toml", "found this")
            .help("do that")
            .expected("that")
            .within("coat 2");
        whole.place = Some(Place {
            line: 3,
            column: 5,
            text: "\tab = 1".into(),
            width: 2,
        });
        assert_eq!(
            whole.to_string(),
            "error: a.toml:3:5: found this\n   | \tab = 1\n   | \t   ^^\n  in: coat 2\n  expected: that\n  help: do that"
        );
        assert_eq!(
            Diagnostic::warning("b.png", "dark").to_string(),
            "warning: b.png: dark"
        );
    }

    #[test]
    fn a_far_word_is_not_offered() {
        assert_eq!(
            nearest("Oil Ambre", ["Deep Eel", "Oil Amber"]),
            Some("Oil Amber")
        );
        assert_eq!(nearest("zzz", ["Deep Eel", "Oil Amber"]), None);
    }
}
