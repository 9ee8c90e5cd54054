//! One table of a TOML file, read key by key. What is missing, unknown or of another kind is collected, and reading goes on.
//!
//! In: a table and the keys known in it. Out: typed values with their places. Not here: whole files (`read_document.rs`).

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::diagnostic::Diagnostic;
use crate::field_value::{is_line, number, shown};
use crate::hint::Hint;
use crate::problems::{At, NamedNumbers, Problems};
use crate::source_text::SourceText;
use crate::words::{either, nearest};

/// The name of the top table in messages.
pub(crate) const WHOLE_FILE: &str = "the file";

/// One table of a file, with the keys that are known in it.
#[derive(Debug)]
pub struct Fields<'a> {
    pub(crate) source: &'a SourceText,
    pub(crate) problems: &'a Problems,
    table: &'a DeTable<'a>,
    at: Range<usize>,
    within: String,
    keys: &'static [&'static str],
}

impl<'a> Fields<'a> {
    pub(crate) fn new(
        source: &'a SourceText,
        problems: &'a Problems,
        table: &'a DeTable<'a>,
        at: Range<usize>,
        within: impl Into<String>,
        keys: &'static [&'static str],
    ) -> Self {
        let fields = Self {
            source,
            problems,
            table,
            at,
            within: within.into(),
            keys,
        };
        fields.report_unknown_keys();
        fields
    }

    fn report_unknown_keys(&self) {
        for (key, value) in self.table {
            let name: &str = key.get_ref();
            if !self.keys.contains(&name) {
                self.problems
                    .error(|| self.unknown_key(name, &key.span(), value.get_ref()));
            }
        }
    }

    fn unknown_key(&self, name: &str, at: &Range<usize>, value: &DeValue<'_>) -> Diagnostic {
        // A short key inside a long one (`film` in `film_thickness`) is meant more often than spelling says.
        let inside = self
            .keys
            .iter()
            .copied()
            .find(|known| name.starts_with(known));
        let near = inside.or_else(|| nearest(name, self.keys.iter().copied()));
        let help = match near {
            // In TOML a table holds all lines down to the next one.
            _ if is_line(value) && self.problems.is_top_key(name) => {
                "move the line up, above the first line in [brackets]".to_owned()
            }
            Some(near) => format!("did you mean `{near}`?"),
            None => "remove the line".to_owned(),
        };
        self.diagnostic(
            at,
            format!("unknown key `{name}`"),
            &either(self.keys),
            help,
        )
    }

    /// The name of this table in messages.
    #[must_use]
    pub fn within(&self) -> &str {
        &self.within
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

    /// Adds the error that a key is missing.
    pub fn missing(&self, key: &str, expected: &str) {
        self.problem(
            &self.at,
            format!("`{key}` is missing"),
            expected,
            format!("add `{key}`"),
        );
    }

    fn value(&self, key: &str) -> Option<&'a Spanned<DeValue<'a>>> {
        debug_assert!(
            self.keys.contains(&key),
            "{key} is read but not among the known keys"
        );
        self.table.get(key)
    }

    pub(crate) fn typed<T>(
        &self,
        key: &str,
        expected: &str,
        read: impl FnOnce(&'a DeValue<'a>) -> Option<T>,
    ) -> Option<At<T>> {
        let value = self.value(key)?;
        if let Some(typed) = read(value.get_ref()) {
            return Some(At {
                value: typed,
                at: value.span(),
            });
        }
        self.problem(
            &value.span(),
            format!("`{key}` is {}", shown(value.get_ref())),
            expected,
            "",
        );
        None
    }

    /// A text, if the key is there.
    #[must_use]
    pub fn text(&self, key: &str, expected: &str) -> Option<At<String>> {
        self.typed(key, expected, |value| value.as_str().map(str::to_owned))
    }

    /// A text that must be there and not be empty.
    #[must_use]
    pub fn required_text(&self, key: &str, expected: &str) -> Option<At<String>> {
        if !self.has(key) {
            self.missing(key, expected);
            return None;
        }
        let text = self.text(key, expected)?;
        if text.value.trim().is_empty() {
            self.problem(&text.at, format!("`{key}` is empty"), expected, "");
            return None;
        }
        Some(text)
    }

    /// One of a closed list of words.
    #[must_use]
    pub fn word<T: Copy>(&self, key: &str, words: &[(&str, T)]) -> Option<At<T>> {
        let names: Vec<String> = words
            .iter()
            .map(|(name, _)| format!("\"{name}\""))
            .collect();
        let expected = either(&names);
        let typed = self.text(key, &expected)?;
        if let Some((_, value)) = words.iter().find(|(name, _)| *name == typed.value) {
            return Some(At {
                value: *value,
                at: typed.at,
            });
        }
        let near = nearest(&typed.value, words.iter().map(|(name, _)| *name));
        let help = near.map_or(String::new(), |near| format!("did you mean \"{near}\"?"));
        self.problem(
            &typed.at,
            format!("`{key}` is \"{}\"", typed.value),
            &expected,
            help,
        );
        None
    }

    /// A number in a range, both ends included.
    #[must_use]
    pub fn number(
        &self,
        key: &str,
        range: std::ops::RangeInclusive<f64>,
        expected: &str,
    ) -> Option<At<f64>> {
        let typed = self.typed(key, expected, number)?;
        if range.contains(&typed.value) {
            return Some(typed);
        }
        self.problem(
            &typed.at,
            format!("`{key}` is {}", typed.value),
            expected,
            "",
        );
        None
    }

    /// True or false.
    #[must_use]
    pub fn flag(&self, key: &str) -> Option<At<bool>> {
        self.typed(key, "true or false", |value| value.as_bool())
    }

    /// A list of numbers with the place of the whole list. A value that is not a number is an error at its own place.
    #[must_use]
    pub fn numbers(&self, key: &str, expected: &str) -> Option<At<Vec<f64>>> {
        let list = self.typed(key, expected, |value| value.as_array())?;
        let mut values = Vec::new();
        for one in list.value.iter() {
            match number(one.get_ref()) {
                Some(value) => values.push(value),
                None => self.problem(
                    &one.span(),
                    format!(
                        "value {} of `{key}` is {}",
                        values.len() + 1,
                        shown(one.get_ref())
                    ),
                    expected,
                    "write a number there, or remove this value from every list",
                ),
            }
        }
        (values.len() == list.value.len()).then_some(At {
            value: values,
            at: list.at,
        })
    }

    /// A list of points, each a list of two numbers, with the place of the whole list.
    #[must_use]
    pub fn points(&self, key: &str, expected: &str) -> Option<At<Vec<[f64; 2]>>> {
        self.typed(key, expected, |value| {
            let point =
                |one: &Spanned<DeValue<'a>>| match one.get_ref().as_array()?.iter().as_slice() {
                    [x, y] => Some([number(x.get_ref())?, number(y.get_ref())?]),
                    _ => None,
                };
            value.as_array()?.iter().map(point).collect()
        })
    }

    /// A table that maps free names to numbers, with the place of every name and number.
    #[must_use]
    pub fn named_numbers(&self, key: &str, expected: &str) -> Option<At<NamedNumbers>> {
        let mut list = self.typed(key, expected, |value| {
            value
                .as_table()?
                .iter()
                .map(|(name, part)| {
                    let name = At {
                        value: name.get_ref().to_string(),
                        at: name.span(),
                    };
                    Some((
                        name,
                        At {
                            value: number(part.get_ref())?,
                            at: part.span(),
                        },
                    ))
                })
                .collect::<Option<Vec<_>>>()
        })?;
        list.value.sort_by_key(|(name, _)| name.at.start);
        Some(list)
    }

    /// A list of texts with the place of each, empty if the key is missing.
    #[must_use]
    pub fn texts(&self, key: &str, expected: &str) -> Vec<At<String>> {
        let list = self.typed(key, expected, |value| value.as_array());
        let mut texts = Vec::new();
        for one in list.iter().flat_map(|list| list.value.iter()) {
            match one.get_ref().as_str() {
                Some(text) if !text.trim().is_empty() => texts.push(At {
                    value: text.to_owned(),
                    at: one.span(),
                }),
                _ => {
                    let found = format!("one of `{key}` is {}", shown(one.get_ref()));
                    self.problem(&one.span(), found, expected, "");
                }
            }
        }
        texts
    }

    /// A table inside this one.
    #[must_use]
    pub fn table(
        &self,
        key: &str,
        within: &str,
        keys: &'static [&'static str],
    ) -> Option<Fields<'a>> {
        let table = self.typed(key, &format!("a table, [{key}]"), |value| value.as_table())?;
        Some(Fields::new(
            self.source,
            self.problems,
            table.value,
            table.at,
            within,
            keys,
        ))
    }

    /// A list of tables (`[[key]]`), empty if the key is missing.
    #[must_use]
    pub fn tables(
        &self,
        key: &str,
        within: &str,
        keys: &'static [&'static str],
    ) -> Vec<Fields<'a>> {
        let Some(list) = self.typed(key, &format!("tables, each under [[{key}]]"), |value| {
            let array = value.as_array()?;
            array
                .iter()
                .map(|one| Some((one.get_ref().as_table()?, one.span())))
                .collect::<Option<Vec<_>>>()
        }) else {
            return Vec::new();
        };
        list.value
            .into_iter()
            .enumerate()
            .map(|(index, (table, at))| {
                // A name says more than a number, also in the message on an unknown key.
                let name = table.get("name").and_then(|name| name.get_ref().as_str());
                let part = name.map_or_else(
                    || format!("{within} {}", index + 1),
                    |name| format!("{within} \"{name}\""),
                );
                let part = if self.within == WHOLE_FILE {
                    part
                } else {
                    format!("{part} of {}", self.within)
                };
                Fields::new(self.source, self.problems, table, at, part, keys)
            })
            .collect()
    }
}
