//! A table `[stage.NAME]` as written: any values, with the place of each.
//!
//! In: a table of a file. Out: JSON values and byte ranges. Not here: which stages there are, and which values they allow.
//! That is checked later, when all stages are known.

use std::collections::BTreeMap;
use std::ops::Range;

use serde_json::{Map, Value};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::field_value::shown;
use crate::fields::Fields;
use crate::problems::At;
use crate::source_text::SourceText;

/// The parameters of one stage, as a file has them.
#[derive(Debug, Clone)]
pub struct StageTable {
    /// The stage's name.
    pub name: At<String>,
    /// The table, as JSON.
    pub values: Map<String, Value>,
    /// The name of the table in messages.
    pub within: String,
    /// The file that it is in.
    pub source: SourceText,
    /// The byte range of each value by its JSON pointer (RFC 6901); "" is the table.
    places: BTreeMap<String, Range<usize>>,
    /// The byte range of each value's name by the value's JSON pointer.
    keys: BTreeMap<String, Range<usize>>,
}

/// A value that JSON has no form for.
struct NoJson {
    at: Range<usize>,
    found: String,
}

impl Fields<'_> {
    /// The tables `[stage.NAME]` of this table, in the order of the file.
    #[must_use]
    pub fn stage_tables(&self) -> Vec<StageTable> {
        let header = self.header_of("stage");
        let Some(all) = self.typed("stage", |value| value.as_table()) else {
            return Vec::new();
        };
        let mut tables = Vec::new();
        for (name, value) in all.value {
            let name = At {
                value: name.get_ref().to_string(),
                at: name.span(),
            };
            let Some(fields) = value.get_ref().as_table() else {
                let found = format!("`stage.{}` is {}", name.value, shown(value.get_ref()));
                let expected = format!("a table, [{header}.{}]", name.value);
                self.problem(&value.span(), found, &expected, "");
                continue;
            };
            let mut within = format!("[{header}.{}]", name.value);
            if !self.is_whole_file() {
                within = format!("{within} of {}", self.within());
            }
            match StageTable::read(name, value, fields, within.clone(), self.source) {
                Ok(table) => tables.push(table),
                Err(problems) => {
                    for NoJson { at, found } in problems {
                        self.problems.error(|| {
                            self.source
                                .error_at(&at, format!("this is {found}"))
                                .within(within.clone())
                                .expected("a text, a finite number of 64 bits, true or false, a list or a table")
                        });
                    }
                }
            }
        }
        tables.sort_by_key(|table| table.name.at.start);
        tables
    }
}

impl StageTable {
    /// Reads a table; `within` is its name in messages.
    ///
    /// # Errors
    /// Every date, and every number that is not finite or beyond 64 bits.
    fn read(
        name: At<String>,
        table: &Spanned<DeValue<'_>>,
        fields: &DeTable<'_>,
        within: String,
        source: &SourceText,
    ) -> Result<Self, Vec<NoJson>> {
        let mut reading = Reading::default();
        reading.places.insert(String::new(), table.span());
        let values = reading.table(fields, "");
        if !reading.problems.is_empty() {
            return Err(reading.problems);
        }
        Ok(Self {
            name,
            values,
            within,
            source: source.clone(),
            places: reading.places,
            keys: reading.keys,
        })
    }

    /// The byte range of a value by its JSON pointer, or of the nearest value around it.
    #[must_use]
    pub fn at(&self, pointer: &str) -> Range<usize> {
        nearest_place(&self.places, pointer).unwrap_or_else(|| self.name.at.clone())
    }

    /// The byte range of a value's name by the value's JSON pointer.
    #[must_use]
    pub fn key_at(&self, pointer: &str) -> Range<usize> {
        nearest_place(&self.keys, pointer).unwrap_or_else(|| self.name.at.clone())
    }
}

fn nearest_place(places: &BTreeMap<String, Range<usize>>, pointer: &str) -> Option<Range<usize>> {
    let mut pointer = pointer;
    loop {
        if let Some(place) = places.get(pointer) {
            return Some(place.clone());
        }
        pointer = &pointer[..pointer.rfind('/')?];
    }
}

#[derive(Default)]
struct Reading {
    places: BTreeMap<String, Range<usize>>,
    keys: BTreeMap<String, Range<usize>>,
    problems: Vec<NoJson>,
}

impl Reading {
    fn table(&mut self, table: &DeTable<'_>, pointer: &str) -> Map<String, Value> {
        let mut map = Map::new();
        for (key, value) in table {
            let name: &str = key.get_ref();
            let pointer = format!("{pointer}/{}", name.replace('~', "~0").replace('/', "~1"));
            self.keys.insert(pointer.clone(), key.span());
            let value = self.value(value, &pointer);
            map.insert(name.to_owned(), value);
        }
        map
    }

    fn value(&mut self, value: &Spanned<DeValue<'_>>, pointer: &str) -> Value {
        let at = value.span();
        self.places.insert(pointer.to_owned(), at.clone());
        match value.get_ref() {
            DeValue::String(text) => Value::String(text.to_string()),
            DeValue::Boolean(flag) => Value::Bool(*flag),
            DeValue::Integer(integer) => {
                let number = i64::from_str_radix(integer.as_str(), integer.radix());
                number.map_or_else(
                    |_| self.no_json(at, format!("the number {integer}")),
                    Value::from,
                )
            }
            DeValue::Float(float) => {
                let number = float.as_str().parse().ok();
                number.and_then(serde_json::Number::from_f64).map_or_else(
                    || self.no_json(at, format!("the number {float}")),
                    Value::Number,
                )
            }
            DeValue::Datetime(_) => self.no_json(at, "a date".to_owned()),
            DeValue::Array(list) => Value::Array(
                list.iter()
                    .enumerate()
                    .map(|(index, one)| self.value(one, &format!("{pointer}/{index}")))
                    .collect(),
            ),
            DeValue::Table(table) => Value::Object(self.table(table, pointer)),
        }
    }

    fn no_json(&mut self, at: Range<usize>, found: String) -> Value {
        self.problems.push(NoJson { at, found });
        Value::Null
    }
}
