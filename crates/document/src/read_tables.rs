//! Tables inside a table: `[key]` and `[[key]]`, with what is declared for them.
//!
//! Every function panics if the key is declared as something else, so that a file and its documentation cannot differ.

#![allow(clippy::missing_panics_doc, reason = "the head of this file says when")]

use crate::field::{Kind, Need, Table, clause};
use crate::fields::Fields;
use crate::problems::At;

impl Fields<'_> {
    /// A table inside this one.
    #[must_use]
    pub fn table(&self, key: &str) -> Option<Self> {
        let field = self.field(key);
        let Kind::Table(known) = field.kind else {
            panic!("`{key}` is declared as {:?}", field.kind)
        };
        let header = format!("[{}]", self.header_of(key));
        if !self.has(key) {
            if matches!(field.need, Need::Must) {
                self.no_table(&format!("`{header}` is missing"), &header, known);
            }
            return None;
        }
        let table = self.typed(key, |value| value.as_table())?;
        let within = if self.is_whole_file() {
            header
        } else {
            format!("{}, {header}", self.within())
        };
        Some(self.inner(key, known, table, within))
    }

    /// A list of tables (`[[key]]`), empty if the key is missing.
    #[must_use]
    pub fn tables(&self, key: &str) -> Vec<Self> {
        let field = self.field(key);
        let Kind::Tables {
            table: known,
            least,
            most,
        } = field.kind
        else {
            panic!("`{key}` is declared as {:?}", field.kind)
        };
        let header = format!("[[{}]]", self.header_of(key));
        let mut tables = Vec::new();
        if self.has(key) {
            let Some(list) = self.typed(key, |value| {
                let array = value.as_array()?;
                array
                    .iter()
                    .map(|one| {
                        let value = one.get_ref().as_table()?;
                        let at = one.span();
                        Some(At { value, at })
                    })
                    .collect::<Option<Vec<_>>>()
            }) else {
                return Vec::new();
            };
            tables = list.value;
        }
        let count = tables.len();
        let must = matches!(field.need, Need::Must);
        if count == 0 && (least > 0 || (must && !self.has(key))) {
            let found = format!("{} has no {key}", self.place_words());
            self.no_table(&found, &header, known);
        } else if count < least || most.is_some_and(|most| count > most) {
            let help = if count < least {
                "add some"
            } else {
                "remove or merge some"
            };
            self.problem(
                &self.key_at(key),
                format!("{} has {count} of {header}", self.place_words()),
                &field.expected(),
                help,
            );
        }
        let numbered = tables.into_iter().enumerate();
        numbered
            .map(|(index, table)| {
                // A name says more than a number, also in the message on an unknown key.
                let name = table.value.get("name");
                let name = name.and_then(|name| name.get_ref().as_str());
                let part = name.map_or_else(
                    || format!("{key} {}", index + 1),
                    |name| format!("{key} \"{name}\""),
                );
                let part = if self.is_whole_file() {
                    part
                } else {
                    format!("{part} of {}", self.within())
                };
                self.inner(key, known, table, part)
            })
            .collect()
    }

    fn place_words(&self) -> &str {
        if self.is_whole_file() {
            "this file"
        } else {
            self.within()
        }
    }

    fn no_table(&self, found: &str, header: &str, known: &Table) {
        let mut help = format!("add {header}");
        let lines = known.example_lines();
        if !lines.is_empty() {
            help += &format!(" with {lines}");
        }
        self.problem(
            &self.at(),
            found,
            &format!("{header}: {}", clause(known.about)),
            help,
        );
    }
}
