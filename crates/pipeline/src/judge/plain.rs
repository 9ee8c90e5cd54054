//! Judging by a plain schema: an object of named values, each with a type, a range or a list of words.
//!
//! What each keyword means is JSON Schema, draft 2020-12 (validation vocabulary). A schema with any other keyword is refused here and
//! needs the feature `schemas`.

use serde_json::Value;

use super::{Slip, Violation};

/// Keywords that this judge knows, on the object itself and on each of its properties.
const OF_OBJECT: [&str; 6] = [
    "type",
    "properties",
    "required",
    "additionalProperties",
    "title",
    "description",
];
const OF_PROPERTY: [&str; 9] = [
    "type",
    "minimum",
    "maximum",
    "exclusiveMinimum",
    "exclusiveMaximum",
    "enum",
    "default",
    "title",
    "description",
];
const TYPES: [&str; 4] = ["number", "integer", "string", "boolean"];

/// A plain schema.
#[derive(Debug)]
pub(crate) struct Plain(Value);

impl Plain {
    /// Takes a schema.
    ///
    /// # Errors
    /// The first part of it that is not plain.
    pub(crate) fn new(schema: &Value) -> Result<Self, String> {
        let beyond = |keyword: &str| {
            format!("`{keyword}` needs a program that is built with the feature `schemas`")
        };
        let object = schema.as_object().into_iter().flatten();
        for (keyword, value) in object {
            if !OF_OBJECT.contains(&keyword.as_str())
                || (keyword == "additionalProperties" && *value != Value::Bool(false))
            {
                return Err(beyond(keyword));
            }
        }
        for (name, property) in properties(schema) {
            let Some(keywords) = property.as_object() else {
                return Err(format!("property `{name}` is not an object"));
            };
            if let Some(keyword) = keywords
                .keys()
                .find(|keyword| !OF_PROPERTY.contains(&keyword.as_str()))
            {
                return Err(beyond(keyword));
            }
            let plain_type = match property.get("type") {
                None => property.get("enum").is_some_and(Value::is_array),
                Some(kind) => kind.as_str().is_some_and(|kind| TYPES.contains(&kind)),
            };
            if !plain_type {
                return Err(beyond("type"));
            }
        }
        Ok(Self(schema.clone()))
    }

    /// Everything in an object that the schema does not allow.
    pub(crate) fn violations(&self, instance: &Value) -> Vec<Violation> {
        let mut violations = Vec::new();
        let required = self.0.get("required").and_then(Value::as_array);
        for name in required.into_iter().flatten().filter_map(Value::as_str) {
            if instance.get(name).is_none() {
                violations.push(Violation {
                    pointer: String::new(),
                    value: instance.clone(),
                    slip: Slip::Missing(name.to_owned()),
                });
            }
        }
        for (name, property) in properties(&self.0) {
            let Some(value) = instance.get(name) else {
                continue;
            };
            let pointer = format!("/{}", name.replace('~', "~0").replace('/', "~1"));
            let violation = |slip| Violation {
                pointer,
                value: value.clone(),
                slip,
            };
            if let Some(words) = property.get("enum").and_then(Value::as_array)
                && !words.contains(value)
            {
                violations.push(violation(Slip::NoneOf(words.clone())));
                continue;
            }
            if !is_of_type(property, value) || !is_in_range(property, value) {
                violations.push(violation(Slip::Other));
            }
        }
        violations
    }
}

fn properties(schema: &Value) -> impl Iterator<Item = (&String, &Value)> {
    let properties = schema.get("properties").and_then(Value::as_object);
    properties.into_iter().flatten()
}

fn is_of_type(property: &Value, value: &Value) -> bool {
    match property.get("type").and_then(Value::as_str) {
        Some("number") => value.is_number(),
        // Any number without a fraction, such as 2.0.
        Some("integer") => value.as_f64().is_some_and(|number| number.fract() == 0.0),
        Some("string") => value.is_string(),
        Some("boolean") => value.is_boolean(),
        _ => true,
    }
}

fn is_in_range(property: &Value, value: &Value) -> bool {
    let Some(number) = value.as_f64() else {
        return true;
    };
    let limit = |keyword: &str| property.get(keyword).and_then(Value::as_f64);
    limit("minimum").is_none_or(|least| number >= least)
        && limit("maximum").is_none_or(|most| number <= most)
        && limit("exclusiveMinimum").is_none_or(|low| number > low)
        && limit("exclusiveMaximum").is_none_or(|high| number < high)
}
