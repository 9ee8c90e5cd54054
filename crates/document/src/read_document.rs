//! Reading a TOML file so that every problem in it is found in one pass, each with its line and column.
//!
//! In: text. Out: typed values and a list of [`Diagnostic`]s. A reader asks [`Fields`] for the keys it knows. What is
//! missing, unknown or of another kind is collected, and reading goes on. Not here: what the keys mean.

use toml::de::DeTable;

use crate::diagnostic::Diagnostic;
use crate::field::FileKind;
use crate::fields::Fields;
use crate::problems::Problems;
use crate::source_text::SourceText;
use crate::warned::Warned;

/// Parses a file and hands its top table to `read`. The file must begin with its format, if that is declared as needed, and
/// may not name another one.
///
/// # Errors
/// All problems, warnings included, if any of them is an error.
pub fn read_document<T>(
    source: &SourceText,
    file: &'static FileKind,
    read: impl FnOnce(&Fields<'_>) -> Option<T>,
) -> Result<Warned<T>, Vec<Diagnostic>> {
    read_document_in_part(source, file, read).whole()
}

/// What could be read of a file, and its problems.
#[derive(Debug, Clone)]
#[must_use]
pub struct InPart<T> {
    /// The content, if enough of it could be read. It may be there although there are errors.
    pub value: Option<T>,
    /// Errors and warnings, in the order of their lines.
    pub problems: Vec<Diagnostic>,
}

impl<T> InPart<T> {
    /// Whether there is an error.
    #[must_use]
    pub fn is_wrong(&self) -> bool {
        self.value.is_none() || self.problems.iter().any(Diagnostic::is_error)
    }

    /// The content with warnings, if there is no error.
    ///
    /// # Errors
    /// All problems, warnings included, if any of them is an error.
    pub fn whole(self) -> Result<Warned<T>, Vec<Diagnostic>> {
        if self.problems.iter().any(Diagnostic::is_error) {
            return Err(self.problems);
        }
        match self.value {
            Some(value) => Ok(Warned::new(value, self.problems)),
            None => Err(self.problems),
        }
    }
}

/// Like [`read_document`], but returns what was read although there are errors, such as an unknown key. More problems may be found
/// with it; it must not be used for anything else.
pub fn read_document_in_part<T>(
    source: &SourceText,
    file: &'static FileKind,
    read: impl FnOnce(&Fields<'_>) -> Option<T>,
) -> InPart<T> {
    let problems = Problems::default();
    let (root, syntax) = DeTable::parse_recoverable(source.text());
    for error in syntax {
        problems.error(|| {
            let at = error.span().unwrap_or(0..0);
            source
                .error_at(&at, error.message().replace('\n', ", "))
                .expected("TOML")
                .help("fix this line first; later errors may disappear")
        });
    }
    if problems.any_error() {
        return InPart {
            value: None,
            problems: problems.into_sorted(source.name()),
        };
    }
    let fields = Fields::whole_file(source, &problems, file, root.get_ref());
    let format = file.format();
    let stated = fields.typed("format", |value| value.as_str());
    let right_format = stated.as_ref().is_some_and(|stated| {
        if stated.value != format {
            problems.error(|| {
                source
                    .error_at(&stated.at, format!("the format is \"{}\"", stated.value))
                    .expected(format!("\"{format}\""))
                    .help("is this another kind of file, or one from a newer version?")
            });
        }
        stated.value == format
    });
    // A file of another kind would give one unknown key after the other. Its format is the only news.
    let value = if right_format || stated.is_none() {
        read(&fields)
    } else {
        None
    };
    InPart {
        value,
        problems: problems.into_sorted(source.name()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::field::{Field, Kind, Need, Table};
    use crate::problems::COLLECTED_AT_MOST;
    use crate::range::Range;

    const RANGE: Range = Range::new(0.0, 1.0);

    static TEST: FileKind = FileKind {
        name: "a.toml",
        top: &Table {
            about: "A file for this test.",
            fields: &[
                Field::format("test/1"),
                Field {
                    key: "a",
                    kind: Kind::Number(RANGE),
                    need: Need::May("nothing"),
                    about: "A number.",
                    example: "1",
                },
                Field {
                    key: "b",
                    kind: Kind::Series(RANGE),
                    need: Need::May("nothing"),
                    about: "Numbers.",
                    example: "[1]",
                },
            ],
        },
        example: "",
    };

    #[test]
    fn a_file_full_of_problems_is_reported_in_part() {
        // Problems come in two ways: lines that are not TOML, and lines whose meaning is wrong.
        const LINES: usize = 100_000;
        for (line, first) in [
            ("no toml NUMBER", "a.toml:2:"),
            ("key_NUMBER = 1", "a.toml:2:1: unknown key `key_0`"),
        ] {
            let lines: Vec<String> = (0..LINES)
                .map(|number| line.replace("NUMBER", &number.to_string()))
                .collect();
            let text = format!("format = \"test/1\"\n{}", lines.join("\n"));
            let source = SourceText::new("a.toml", text);
            let found = read_document(&source, &TEST, |_| Some(())).unwrap_err();
            assert_eq!(found.len(), COLLECTED_AT_MOST + 1, "{line}");
            assert!(found[0].to_string().contains(first), "{}", found[0]);
            // The lines of a table are looked at in the order of their keys, so those kept need not be the first.
            let all: Vec<&str> = source.text().lines().collect();
            for problem in &found[..COLLECTED_AT_MOST] {
                let place = problem.place.as_ref().unwrap();
                assert_eq!(all[place.line - 1], place.text, "{problem}");
                let named = problem.found.trim_start_matches("unknown key ");
                assert!(
                    line.starts_with("no") || place.text.contains(named.trim_matches('`')),
                    "{problem}"
                );
            }
            let last = &found[COLLECTED_AT_MOST];
            assert_eq!(last.found, "99,800 more problems are not shown");
        }
    }

    #[test]
    fn a_line_of_many_megabytes_gives_a_short_message() {
        const BYTES: usize = 20_000_000;
        let long = "x".repeat(BYTES);
        for text in [
            format!("a = \"{long}"),
            format!("{long} = 1"),
            format!("a = \"{long}\""),
            format!("a = [{}]", "true, ".repeat(BYTES / 6)),
            format!("b = [{}]", "true, ".repeat(BYTES / 6)),
            format!("# {long}\nc = 1"),
        ] {
            let source = SourceText::new("a.toml", format!("format = \"test/1\"\n{text}"));
            let read = read_document(&source, &TEST, |fields| {
                let _ = fields.number("a");
                let _ = fields.series("b");
                Some(())
            });
            let found = read.unwrap_err();
            assert!(!found.is_empty());
            for problem in &found {
                let message = problem.to_string();
                assert!(message.len() < 2_000, "{} bytes", message.len());
            }
        }
    }
}
