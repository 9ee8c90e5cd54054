//! The JSON Schema of a file, for editors that complete keys and mark mistakes.
//!
//! In: a declaration. Out: JSON Schema, draft 2020-12. What the reader checks across keys is not in it.

use serde_json::{Map, Value, json};

use crate::control_characters::NO_CONTROL_CHARACTERS;
use crate::field::{Field, FileKind, Kind, Need, Preset, Table};
use crate::range::{Range, json_number};

/// The schema of a file.
#[must_use]
pub fn json_schema(file: &FileKind) -> Value {
    let mut schema = Map::new();
    schema.insert(
        "$schema".to_owned(),
        json!("https://json-schema.org/draft/2020-12/schema"),
    );
    schema.insert("title".to_owned(), json!(file.name));
    schema.extend(of_table(file.top));
    schema.into()
}

fn of_table(table: &Table) -> Map<String, Value> {
    let properties: Map<String, Value> = table
        .fields
        .iter()
        .map(|field| (field.key.to_owned(), of_field(field).into()))
        .collect();
    let required: Vec<&str> = table
        .fields
        .iter()
        .filter(|field| matches!(field.need, Need::Must))
        .map(|field| field.key)
        .collect();
    as_map(json!({
        "description": table.about,
        "type": "object",
        "additionalProperties": false,
        "required": required,
        "properties": properties,
    }))
}

fn of_field(field: &Field) -> Map<String, Value> {
    let mut schema = of_kind(&field.kind);
    schema.insert("description".to_owned(), json!(description(field)));
    if let Need::Default(preset) = field.need {
        let preset = match preset {
            Preset::Number(number) => json_number(number),
            Preset::Word(word) => json!(word),
            Preset::Flag(flag) => json!(flag),
        };
        schema.insert("default".to_owned(), preset);
    }
    schema
}

/// What the key means, what its words mean, and what applies without it.
fn description(field: &Field) -> String {
    let mut text = field.about.to_owned();
    if let Kind::Word(words) = field.kind {
        for (word, about) in words {
            text += &format!("\n{word}: {about}.");
        }
    }
    if let Need::May(without) = field.need {
        text += &format!("\nWithout it: {without}.");
    }
    text
}

fn of_kind(kind: &Kind) -> Map<String, Value> {
    let number = |range: &Range| typed("number", range.schema());
    let of_numbers = |ranges: &[Range]| {
        let items: Vec<Value> = ranges.iter().map(|range| number(range).into()).collect();
        json!({
            "type": "array",
            "prefixItems": items,
            "minItems": ranges.len(),
            "maxItems": ranges.len(),
        })
    };
    // A character that is no white space must be there.
    let filled = json!({"type": "string", "allOf": [{"pattern": r"\S"}, {"pattern": NO_CONTROL_CHARACTERS}]});
    let schema = match kind {
        Kind::Format(format) => json!({"const": format}),
        Kind::Name | Kind::Path => filled,
        Kind::Text => json!({"type": "string", "pattern": NO_CONTROL_CHARACTERS}),
        Kind::Paths => json!({"type": "array", "items": filled}),
        Kind::Colour => json!({"type": "string", "pattern": "^#[0-9a-fA-F]{6}$"}),
        Kind::Word(words) => {
            let words: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
            json!({"enum": words})
        }
        Kind::Flag => json!({"type": "boolean"}),
        Kind::Number(range) => return number(range),
        Kind::Whole(range) => return typed("integer", range.schema()),
        Kind::Numbers(ranges) => of_numbers(ranges),
        Kind::Series(range) => json!({"type": "array", "items": number(range)}),
        Kind::Points(count, range) => json!({
            "type": "array",
            "items": of_numbers(&[*range; 2]),
            "minItems": count,
            "maxItems": count,
        }),
        Kind::NamedNumbers(range) => json!({
            "type": "object",
            "minProperties": 1,
            "propertyNames": {"pattern": NO_CONTROL_CHARACTERS},
            "additionalProperties": number(range),
        }),
        Kind::Table(table) => return of_table(table),
        Kind::Tables { table, least, most } => {
            let mut schema = as_map(json!({
                "type": "array",
                "minItems": least,
                "items": of_table(table),
            }));
            if let Some(most) = most {
                schema.insert("maxItems".to_owned(), json!(most));
            }
            return schema;
        }
        Kind::Stages => {
            json!({"type": "object", "additionalProperties": {"type": "object"}})
        }
    };
    as_map(schema)
}

fn typed(name: &str, mut schema: Map<String, Value>) -> Map<String, Value> {
    schema.insert("type".to_owned(), json!(name));
    schema
}

fn as_map(schema: Value) -> Map<String, Value> {
    match schema {
        Value::Object(map) => map,
        _ => unreachable!("every schema here is written as an object"),
    }
}
