//! A stage's schema as a judge of tables. In: a schema, then an object. Out: what the schema does not allow, still without words.

#[cfg(feature = "schemas")]
mod full;
#[cfg(any(not(feature = "schemas"), test))]
mod plain;

use serde_json::Value;

#[cfg(feature = "schemas")]
pub(crate) use full::Full as Schema;
#[cfg(not(feature = "schemas"))]
pub(crate) use plain::Plain as Schema;

/// Something that a schema does not allow.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Violation {
    /// JSON pointer (RFC 6901) to the value.
    pub(crate) pointer: String,
    /// The value.
    pub(crate) value: Value,
    /// What is wrong with it.
    pub(crate) slip: Slip,
}

/// What is wrong with a value.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(
    not(feature = "schemas"),
    allow(dead_code, reason = "a plain schema cannot ask for all of these")
)]
pub(crate) enum Slip {
    /// It has keys that are not allowed.
    Unknown(Vec<String>),
    /// It lacks a key.
    Missing(String),
    /// It has the same element twice.
    Twice,
    /// It is none of these.
    NoneOf(Vec<Value>),
    /// Something else, which the schema says in its own words.
    Other,
}

#[cfg(all(test, feature = "schemas"))]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn the_plain_judge_agrees_with_the_full_one() {
        let schema = json!({
            "type": "object",
            "properties": {
                "amount": { "type": "number", "minimum": 0, "maximum": 1, "default": 0.4 },
                "above": { "type": "number", "exclusiveMinimum": 0, "exclusiveMaximum": 2 },
                "where": { "enum": ["all", "raised"] },
                "seed": { "type": "integer", "minimum": 1 },
                "wet": { "type": "boolean" },
                "note": { "type": "string" }
            },
            "required": ["seed"]
        });
        let (full, plain) = (
            full::Full::new(&schema).unwrap(),
            plain::Plain::new(&schema).unwrap(),
        );
        let cases = [
            (
                json!({ "seed": 2.0, "amount": 1, "wet": true, "note": "", "where": "all" }),
                0,
            ),
            (json!({ "seed": 1, "amount": 1.01 }), 1),
            (json!({ "amount": -0.1 }), 2),
            (json!({ "seed": 0, "above": 0, "where": "uper" }), 3),
            (json!({ "seed": 1.5, "above": 2 }), 2),
            (
                json!({ "seed": "1", "wet": 1, "note": 3, "amount": false }),
                4,
            ),
        ];
        for (instance, count) in cases {
            let sorted = |mut violations: Vec<Violation>| {
                violations.sort_by(|a, b| a.pointer.cmp(&b.pointer));
                violations
            };
            let found = sorted(plain.violations(&instance));
            assert_eq!(found.len(), count, "{instance}");
            assert_eq!(found, sorted(full.violations(&instance)), "{instance}");
        }
        for beyond in [
            json!({ "type": "object", "properties": { "a": { "type": "string", "pattern": "^a" } } }),
            json!({ "type": "object", "properties": { "a": { "type": "array" } } }),
            json!({ "type": "object", "allOf": [] }),
            json!({ "type": "object", "additionalProperties": true }),
        ] {
            assert!(
                plain::Plain::new(&beyond)
                    .unwrap_err()
                    .contains("feature `schemas`")
            );
        }
    }
}
