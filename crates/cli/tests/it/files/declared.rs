//! Walks through a file along its declaration: every declared key that is in it, with its place.

use toml::Value;
use velatura_document::{Field, Kind, Table};

/// One step into a document.
#[derive(Clone)]
pub(super) enum Step {
    Key(String),
    Index(usize),
}

/// A key in a document, or a table whose declaration is known.
pub(super) struct Found {
    /// The way to the table that holds the key.
    pub(super) table: Vec<Step>,
    pub(super) field: &'static Field,
}

impl Found {
    /// The value in a document.
    pub(super) fn value<'a>(&self, document: &'a mut Value) -> &'a mut Value {
        self.table_of(document).get_mut(self.field.key).unwrap()
    }

    /// The table that holds the key.
    pub(super) fn table_of<'a>(&self, document: &'a mut Value) -> &'a mut toml::Table {
        at(document, &self.table).as_table_mut().unwrap()
    }
}

fn at<'a>(document: &'a mut Value, path: &[Step]) -> &'a mut Value {
    path.iter().fold(document, |value, step| match step {
        Step::Key(key) => &mut value[key.as_str()],
        Step::Index(index) => &mut value[*index],
    })
}

/// Every declared key that is in a document.
pub(super) fn keys_in(document: &Value, table: &'static Table) -> Vec<Found> {
    let mut found = Vec::new();
    collect(document, table, &[], &mut found);
    found
}

fn collect(value: &Value, table: &'static Table, path: &[Step], found: &mut Vec<Found>) {
    for field in table.fields {
        let Some(value) = value.get(field.key) else {
            continue;
        };
        found.push(Found {
            table: path.to_vec(),
            field,
        });
        let inner: Vec<Step> = [path, &[Step::Key(field.key.to_owned())]].concat();
        match field.kind {
            Kind::Table(table) => collect(value, table, &inner, found),
            Kind::Tables { table, .. } => {
                for (index, one) in value.as_array().unwrap().iter().enumerate() {
                    collect(
                        one,
                        table,
                        &[&inner[..], &[Step::Index(index)]].concat(),
                        found,
                    );
                }
            }
            _ => {}
        }
    }
}

/// Every key that may be in a file: `paint.tint.with`.
pub(super) fn all_keys(table: &Table, header: &str) -> Vec<String> {
    table
        .fields
        .iter()
        .flat_map(|field| {
            let name = format!("{header}{}", field.key);
            let inner = match field.kind {
                Kind::Table(table) | Kind::Tables { table, .. } => {
                    all_keys(table, &format!("{name}."))
                }
                _ => Vec::new(),
            };
            [vec![name], inner].concat()
        })
        .collect()
}

/// The name of a key that was found: `paint.tint.with`.
pub(super) fn name_of(found: &Found) -> String {
    let outer = found.table.iter().filter_map(|step| match step {
        Step::Key(key) => Some(key.as_str()),
        Step::Index(_) => None,
    });
    outer.chain([found.field.key]).collect::<Vec<_>>().join(".")
}
