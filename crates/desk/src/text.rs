//! Edits of a TOML text that keep everything else in it, comments and order included.

use std::sync::Arc;

use toml_edit::{
    Array, ArrayOfTables, DocumentMut, InlineTable, Item, Table, TableLike, Value, value,
};
use velatura_document::Error;

/// A text being edited.
pub(crate) struct Text {
    name: &'static str,
    document: DocumentMut,
}

impl Text {
    /// Starts editing. `name` is the file's name, for messages.
    ///
    /// # Errors
    /// The text is no TOML; a project holds only texts that were read before.
    pub(crate) fn edit(name: &'static str, text: &str) -> Result<Self, Error> {
        let document = text.parse().map_err(|error: toml_edit::TomlError| {
            Error::refused(name, error.message(), "TOML", "open another file")
        })?;
        Ok(Self { name, document })
    }

    /// The tables of a list such as `[[paint]]`; there are none before the first is added.
    ///
    /// # Errors
    /// The key holds something else.
    pub(crate) fn tables(&mut self, key: &str) -> Result<&mut ArrayOfTables, Error> {
        tables_of(self.document.as_table_mut(), key, self.name)
    }

    /// The table above all others.
    pub(crate) fn top(&mut self) -> &mut Table {
        self.document.as_table_mut()
    }

    /// The edited text. Tables are in the order of their lists. `list` must be there even if it is empty.
    pub(crate) fn done(mut self, list: Option<&str>) -> Arc<str> {
        if let Some(list) = list {
            let tables = self.document.get(list).and_then(Item::as_array_of_tables);
            if tables.is_none_or(ArrayOfTables::is_empty) {
                self.document.insert(list, value(Array::new()));
            }
        }
        forget_places(self.document.as_table_mut());
        self.document.to_string().into()
    }
}

/// The tables of a list within a table.
///
/// # Errors
/// The key holds something else. `file` is for the message.
pub(crate) fn tables_of<'a>(
    table: &'a mut Table,
    key: &str,
    file: &str,
) -> Result<&'a mut ArrayOfTables, Error> {
    let item = table
        .entry(key)
        .or_insert_with(|| Item::ArrayOfTables(ArrayOfTables::new()));
    // An empty list, or one that someone wrote as `paint = [{ … }]`.
    if item.is_value() {
        let written = std::mem::take(item);
        *item = match written.into_array_of_tables() {
            Ok(tables) => Item::ArrayOfTables(tables),
            Err(other) if other.as_array().is_some_and(Array::is_empty) => {
                Item::ArrayOfTables(ArrayOfTables::new())
            }
            Err(other) => other,
        };
    }
    item.as_array_of_tables_mut().ok_or_else(|| {
        let found = format!("`{key}` is not a list of tables");
        Error::refused(file, found, &format!("[[{key}]]"), "open another file")
    })
}

/// Sets a value and keeps the comment after it.
pub(crate) fn set(table: &mut Table, key: &str, new: impl Into<Value>) {
    let mut new: Value = new.into();
    if let Some(old) = table.get(key).and_then(Item::as_value) {
        *new.decor_mut() = old.decor().clone();
    }
    match table.get_mut(key) {
        Some(item) => *item = Item::Value(new),
        None => {
            table.insert(key, value(new));
        }
    }
}

/// Sets a value, or removes its key.
pub(crate) fn set_or_remove(table: &mut Table, key: &str, new: Option<impl Into<Value>>) {
    match new {
        Some(new) => set(table, key, new),
        None => {
            table.remove(key);
        }
    }
}

/// Renames a key; the order stays.
pub(crate) fn with_key_renamed(table: &mut dyn TableLike, from: &str, to: &str) {
    if !table.contains_key(from) {
        return;
    }
    let all: Vec<(String, Item)> = table
        .iter()
        .map(|(key, item)| (key.to_owned(), item.clone()))
        .collect();
    table.clear();
    for (key, item) in all {
        table.insert(if key == from { to } else { &key }, item);
    }
}

/// A mix as it is written in one line.
pub(crate) fn mix_of(mix: &[(String, f64)]) -> InlineTable {
    mix.iter()
        .map(|(paint, parts)| (paint.as_str(), number(*parts)))
        .collect()
}

/// Paints with their parts, as a table under a key says; none without it.
pub(crate) fn mix_in(table: &Table, key: &str) -> Vec<(String, f64)> {
    let mix = table.get(key).and_then(Item::as_table_like);
    mix.into_iter()
        .flat_map(|mix| mix.iter())
        .filter_map(|(paint, parts)| Some((paint.to_owned(), number_in(parts)?)))
        .collect()
}

/// A number as people write it: 3 and not 3.0.
pub(crate) fn number(number: f64) -> Value {
    #[allow(clippy::cast_possible_truncation, reason = "whole and below a million")]
    match number.fract() == 0.0 && number.abs() < 1e6 {
        true => (number as i64).into(),
        false => number.into(),
    }
}

/// The number that an item holds, whole or not.
pub(crate) fn number_in(item: &Item) -> Option<f64> {
    #[allow(clippy::cast_precision_loss, reason = "people write small numbers")]
    let whole = item.as_integer().map(|number| number as f64);
    item.as_float().or(whole)
}

/// Sets a value with a remark of our own after it.
pub(crate) fn set_with_remark(table: &mut Table, key: &str, new: impl Into<Value>, remark: &str) {
    set(table, key, new);
    if let Some(set) = table.get_mut(key).and_then(Item::as_value_mut) {
        set.decor_mut().set_suffix(format!("  # {remark}"));
    }
}

/// A text in a table.
pub(crate) fn text_in<'a>(table: &'a Table, key: &str) -> Option<&'a str> {
    table.get(key).and_then(Item::as_str)
}

/// The place of the table whose `name` this is.
pub(crate) fn named(tables: &ArrayOfTables, name: &str) -> Option<usize> {
    tables
        .iter()
        .position(|table| text_in(table, "name") == Some(name))
}

/// A list of tables in another order.
pub(crate) fn reordered(tables: &mut ArrayOfTables, order: impl FnOnce(&mut Vec<Table>)) {
    let mut all: Vec<Table> = std::mem::take(tables).into_iter().collect();
    order(&mut all);
    *tables = all.into_iter().collect();
}

/// A table's place in the file it was read from would win over its place in the list.
fn forget_places(table: &mut Table) {
    table.set_position(None);
    for (_, item) in table.iter_mut() {
        match item {
            Item::Table(inner) => forget_places(inner),
            Item::ArrayOfTables(inner) => inner.iter_mut().for_each(forget_places),
            _ => {}
        }
    }
}
