//! Reading a TOML file so that every problem in it is found in one pass, each with its line and column.
//!
//! In: text. Out: typed values and a list of [`Diagnostic`]s. A reader asks [`Fields`] for the keys it knows; what is
//! missing, unknown or of another kind is written down and reading goes on. Not here: what the keys mean.

use std::cell::RefCell;
use std::ops::Range;

use toml::de::DeTable;

use crate::diagnostic::{Diagnostic, Place, Severity};
use crate::fields::{Fields, WHOLE_FILE};

/// A text file: its name as the user wrote it, and its text.
#[derive(Debug, Clone)]
pub struct SourceText {
    /// The name, for messages.
    pub name: String,
    /// The text, without a byte order mark.
    pub text: String,
}

impl SourceText {
    /// Takes the bytes of a file.
    ///
    /// # Errors
    /// Text that is not UTF-8 gives a diagnostic with the place of the first foreign byte.
    pub fn from_bytes(name: impl Into<String>, bytes: Vec<u8>) -> Result<Self, Diagnostic> {
        let name = name.into();
        match String::from_utf8(bytes) {
            Ok(text) => Ok(Self {
                name,
                text: text
                    .strip_prefix('\u{feff}')
                    .map_or(text.clone(), str::to_owned),
            }),
            Err(wrong) => {
                let upto = wrong.utf8_error().valid_up_to();
                let line = wrong.as_bytes()[..upto]
                    .iter()
                    .filter(|b| **b == b'\n')
                    .count()
                    + 1;
                Err(Diagnostic::error(
                    name,
                    format!("line {line} holds bytes that are not UTF-8 text"),
                )
                .expected("a TOML file, saved as UTF-8")
                .help("save it again with the encoding UTF-8"))
            }
        }
    }

    /// A problem at a byte range of this file; finish it with `within`, `expected` and `help`.
    #[must_use]
    pub fn error_at(&self, at: &Range<usize>, found: impl Into<String>) -> Diagnostic {
        Diagnostic::new(
            Severity::Error,
            self.name.clone(),
            Some(self.place(at)),
            found.into(),
        )
    }

    /// Line, column and caret of a byte range.
    #[must_use]
    pub fn place(&self, at: &Range<usize>) -> Place {
        let start = self.floor_boundary(at.start);
        let end = self.floor_boundary(at.end.max(start));
        let line_start = self.text[..start].rfind('\n').map_or(0, |i| i + 1);
        let line_end = self.text[start..]
            .find('\n')
            .map_or(self.text.len(), |i| start + i);
        let text = self.text[line_start..line_end]
            .trim_end_matches('\r')
            .to_owned();
        Place {
            line: self.text[..line_start].matches('\n').count() + 1,
            column: self.text[line_start..start].chars().count() + 1,
            text,
            width: self.text[start..end.min(line_end).max(start)]
                .chars()
                .count()
                .max(1),
        }
    }

    fn floor_boundary(&self, mut at: usize) -> usize {
        at = at.min(self.text.len());
        while !self.text.is_char_boundary(at) {
            at -= 1;
        }
        at
    }
}

/// A value and where it stands, as a byte range of its file.
#[derive(Debug, Clone, PartialEq)]
pub struct At<T> {
    /// The value.
    pub value: T,
    /// Its byte range.
    pub at: Range<usize>,
}

/// Names with numbers, and the place of each, in the order of the file.
pub type NamedNumbers = Vec<(At<String>, At<f64>)>;

/// The problems found so far in one file.
#[derive(Debug)]
pub struct Problems {
    found: RefCell<Vec<Diagnostic>>,
    /// Keys that stand above all tables of the file.
    top_keys: &'static [&'static str],
}

impl Problems {
    /// None yet, in a file with these keys above its tables.
    #[must_use]
    pub fn new(top_keys: &'static [&'static str]) -> Self {
        Self {
            found: RefCell::default(),
            top_keys,
        }
    }

    /// Writes one down.
    pub fn push(&self, problem: Diagnostic) {
        self.found.borrow_mut().push(problem);
    }

    /// Whether a key stands above all tables of the file.
    pub(crate) fn is_top_key(&self, key: &str) -> bool {
        self.top_keys.contains(&key)
    }

    /// Whether any of them is an error.
    #[must_use]
    pub fn any_error(&self) -> bool {
        self.found.borrow().iter().any(Diagnostic::is_error)
    }

    /// All of them, in the order of the file.
    #[must_use]
    pub fn into_sorted(self) -> Vec<Diagnostic> {
        let mut all = self.found.into_inner();
        all.sort_by_key(|problem| {
            problem
                .place
                .as_ref()
                .map_or((0, 0), |p| (p.line, p.column))
        });
        all
    }
}

/// Whether a file must say what it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FormatLine {
    /// It begins with its format.
    Required,
    /// It may stand without, but not with another one.
    Optional,
}

/// Parses a file and hands its top table to `read`; the file must begin with the right `format`.
///
/// Returns what was read, with all problems. `None` where errors leave nothing to go on with.
pub fn read_document<T>(
    source: &SourceText,
    format: &str,
    keys: &'static [&'static str],
    read: impl FnOnce(&Fields<'_>) -> Option<T>,
) -> (Option<T>, Vec<Diagnostic>) {
    read_document_with(source, format, FormatLine::Required, keys, read)
}

/// As [`read_document`], for files that may leave their `format` out.
pub fn read_document_with<T>(
    source: &SourceText,
    format: &str,
    format_line: FormatLine,
    keys: &'static [&'static str],
    read: impl FnOnce(&Fields<'_>) -> Option<T>,
) -> (Option<T>, Vec<Diagnostic>) {
    let problems = Problems::new(keys);
    let (root, syntax) = DeTable::parse_recoverable(&source.text);
    for error in syntax {
        let at = error.span().unwrap_or(0..0);
        problems.push(
            source
                .error_at(&at, error.message().replace('\n', ", "))
                .expected("TOML")
                .help("fix this line first; later errors may disappear"),
        );
    }
    if problems.any_error() {
        return (None, problems.into_sorted());
    }
    let fields = Fields::new(source, &problems, root.get_ref(), 0..0, WHOLE_FILE, keys);
    let expected = format!("format = \"{format}\" as the first line");
    let stated = match format_line {
        FormatLine::Required => fields.required_text("format", &expected),
        FormatLine::Optional => fields.text("format", &expected),
    };
    let right_format = stated.as_ref().is_some_and(|stated| {
        if stated.value != format {
            problems.push(
                source
                    .error_at(&stated.at, format!("the format is \"{}\"", stated.value))
                    .expected(format!("\"{format}\""))
                    .help("is this another kind of file, or one from a newer version?"),
            );
        }
        stated.value == format
    });
    // A file of another kind would give one unknown key after the other: the format alone is the news.
    let value = if right_format || stated.is_none() {
        read(&fields)
    } else {
        None
    };
    let value = if problems.any_error() { None } else { value };
    (value, problems.into_sorted())
}
