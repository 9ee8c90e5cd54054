//! One table of a TOML file: which keys are there, which are unknown or missing, and messages about it.
//!
//! In: a table as parsed and as declared. Out: problems, collected while reading goes on. Not here: values
//! (`read_values.rs`, `read_lists.rs`, `read_tables.rs`), whole files (`read_document.rs`).

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::diagnostic::Diagnostic;
use crate::field::{Field, FileKind, Need, Table};
use crate::field_value::{is_line, shown};
use crate::hint::Hint;
use crate::problems::{At, Problems};
use crate::source_text::SourceText;
use crate::words::{either, nearest};

/// The name of the top table in messages.
pub(crate) const WHOLE_FILE: &str = "the file";

/// One table of a file, with the keys that are declared for it.
#[derive(Debug)]
pub struct Fields<'a> {
    pub(crate) source: &'a SourceText,
    pub(crate) problems: &'a Problems,
    pub(crate) file: &'static FileKind,
    known: &'static Table,
    table: &'a DeTable<'a>,
    at: Range<usize>,
    within: String,
    /// What its header holds between the brackets: `scheme.coat`; empty for the whole file.
    header: String,
}

impl<'a> Fields<'a> {
    /// The whole file.
    pub(crate) fn whole_file(
        source: &'a SourceText,
        problems: &'a Problems,
        file: &'static FileKind,
        table: &'a DeTable<'a>,
    ) -> Self {
        let fields = Self {
            source,
            problems,
            file,
            known: file.top,
            table,
            at: 0..0,
            within: WHOLE_FILE.to_owned(),
            header: String::new(),
        };
        fields.report_unknown_keys();
        fields
    }

    /// A table inside this one, under the key `key`; `within` is its name in messages.
    pub(crate) fn inner(
        &self,
        key: &str,
        known: &'static Table,
        table: At<&'a DeTable<'a>>,
        within: String,
    ) -> Self {
        let fields = Self {
            known,
            table: table.value,
            at: table.at,
            within,
            header: self.header_of(key),
            ..*self
        };
        fields.report_unknown_keys();
        fields
    }

    /// What the header of a table inside this one holds between the brackets.
    pub(crate) fn header_of(&self, key: &str) -> String {
        if self.header.is_empty() {
            key.to_owned()
        } else {
            format!("{}.{key}", self.header)
        }
    }

    fn report_unknown_keys(&self) {
        let keys = self.known.keys();
        for (key, value) in self.table {
            let name: &str = key.get_ref();
            if !keys.contains(&name) {
                self.problems
                    .error(|| self.unknown_key(name, &keys, &key.span(), value.get_ref()));
            }
        }
    }

    fn unknown_key(
        &self,
        name: &str,
        keys: &[&str],
        at: &Range<usize>,
        value: &DeValue<'_>,
    ) -> Diagnostic {
        // A short key inside a long one (`film` in `film_thickness`) is meant more often than spelling says.
        let inside = keys.iter().copied().find(|known| name.starts_with(known));
        let near = inside.or_else(|| nearest(name, keys.iter().copied()));
        let help = match near {
            // In TOML a table holds all lines down to the next one.
            _ if is_line(value) && self.file.top.field(name).is_some() => {
                "move the line up, above the first line in [brackets]".to_owned()
            }
            Some(near) => format!("did you mean `{near}`?"),
            None => "remove the line".to_owned(),
        };
        self.diagnostic(at, format!("unknown key `{name}`"), &either(keys), help)
    }

    /// The name of this table in messages.
    #[must_use]
    pub fn within(&self) -> &str {
        &self.within
    }

    /// Whether this is the whole file and not one of its tables.
    pub(crate) fn is_whole_file(&self) -> bool {
        self.header.is_empty()
    }

    /// The byte range of the table's header.
    #[must_use]
    pub fn at(&self) -> Range<usize> {
        self.at.clone()
    }

    /// The byte range of a key's name, or of the table if the key is missing.
    #[must_use]
    pub fn key_at(&self, key: &str) -> Range<usize> {
        self.table
            .get_key_value(key)
            .map_or(self.at(), |(key, _)| key.span())
    }

    /// Whether a key is there, whatever its value.
    #[must_use]
    pub fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    /// Adds an error at a place in this table. Empty parts are left out.
    pub fn problem(
        &self,
        at: &Range<usize>,
        found: impl Into<String>,
        expected: &str,
        help: impl Into<Hint>,
    ) {
        self.problems
            .error(|| self.diagnostic(at, found, expected, help));
    }

    /// Like [`Fields::problem`], for words that take time to find: `words` gives what was found, what was expected and what to
    /// do, and is only called if the problem is kept.
    pub fn problem_with(&self, at: &Range<usize>, words: impl FnOnce() -> (String, String, Hint)) {
        self.problems.error(|| {
            let (found, expected, help) = words();
            self.diagnostic(at, found, &expected, help)
        });
    }

    /// Adds a warning at a place in this table. Empty parts are left out.
    pub fn warning(
        &self,
        at: &Range<usize>,
        found: impl Into<String>,
        expected: &str,
        help: impl Into<Hint>,
    ) {
        self.problems
            .warning(|| self.diagnostic(at, found, expected, help));
    }

    fn diagnostic(
        &self,
        at: &Range<usize>,
        found: impl Into<String>,
        expected: &str,
        help: impl Into<Hint>,
    ) -> Diagnostic {
        self.source
            .error_at(at, found)
            .within(self.within.clone())
            .expected(expected)
            .help(help)
    }

    /// Adds the error that a key is missing which this table needs, although not every table of its kind does.
    pub fn missing(&self, key: &str) {
        let field = self.field(key);
        self.problem(
            &self.at,
            format!("`{key}` is missing"),
            &field.expected(),
            format!("add `{key}`, for example {key} = {}", field.example()),
        );
    }

    /// The declaration of a key.
    ///
    /// # Panics
    /// If the key is not declared, so that nothing can be read that is not documented.
    pub(crate) fn field(&self, key: &str) -> &'static Field {
        self.known
            .field(key)
            .unwrap_or_else(|| panic!("`{key}` is read and not declared"))
    }

    /// The value of a key. Adds the error that it is missing, if it must be there.
    pub(crate) fn value(&self, key: &str) -> Option<&'a Spanned<DeValue<'a>>> {
        let value = self.table.get(key);
        if value.is_none() && matches!(self.field(key).need, Need::Must) {
            self.missing(key);
        }
        value
    }

    /// The value of a key as `read` takes it. Adds the error that it is missing or of another kind.
    pub(crate) fn typed<T>(
        &self,
        key: &str,
        read: impl FnOnce(&'a DeValue<'a>) -> Option<T>,
    ) -> Option<At<T>> {
        let value = self.value(key)?;
        let at = value.span();
        let Some(typed) = read(value.get_ref()) else {
            self.unfit(key, &at, shown(value.get_ref()));
            return None;
        };
        Some(At { value: typed, at })
    }

    /// Adds the error that a key holds what it may not hold.
    pub(crate) fn unfit(&self, key: &str, at: &Range<usize>, held: impl std::fmt::Display) {
        let expected = self.field(key).expected();
        self.problem(at, format!("`{key}` is {held}"), &expected, "");
    }
}
