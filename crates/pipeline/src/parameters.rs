//! Parameters of a stage: a table of the user's files held against the stage's JSON Schema (draft 2020-12).
//!
//! In: a schema and a table as written. Out: values that the schema allows, its defaults filled in, or every problem with its place.
//! The judging is a library's; the words are those of our own files. Not here: which table counts (`stage_tables.rs`).

use jsonschema::error::ValidationErrorKind;
use jsonschema::{Draft, PatternOptions, ValidationError, Validator};
use serde_json::{Map, Value};
use velatura_optics::diagnostic::{Diagnostic, nearest};
use velatura_optics::stage_table::StageTable;

use crate::schema_words::{expected_of, property_names, schema_at, shown};

/// Longest schema, in bytes of its text: a stage has a handful of parameters.
pub const LONGEST_SCHEMA: usize = 64 << 10;
/// Deepest schema.
const DEEPEST_SCHEMA: usize = 32;
/// Largest automaton of a `pattern`, in bytes.
const LARGEST_PATTERN: usize = 1 << 20;

/// Parameters, as the stage's schema allows them, with every default of the top level filled in.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Parameters(pub Map<String, Value>);

impl Parameters {
    /// A number, whole or not.
    #[must_use]
    pub fn number(&self, key: &str) -> Option<f64> {
        self.0.get(key)?.as_f64()
    }

    /// A whole number.
    #[must_use]
    pub fn whole(&self, key: &str) -> Option<i64> {
        let value = self.0.get(key)?;
        // A schema's "integer" is any number without a fraction, such as 2.0.
        #[allow(clippy::cast_possible_truncation, reason = "within 53 bits")]
        let of_float =
            |number: f64| (number.fract() == 0.0 && number.abs() < 9e15).then_some(number as i64);
        value.as_i64().or_else(|| of_float(value.as_f64()?))
    }

    /// A text.
    #[must_use]
    pub fn text(&self, key: &str) -> Option<&str> {
        self.0.get(key)?.as_str()
    }

    /// True or false.
    #[must_use]
    pub fn flag(&self, key: &str) -> Option<bool> {
        self.0.get(key)?.as_bool()
    }

    /// As the text of a JSON object, its keys in alphabetical order.
    #[must_use]
    pub fn to_json(&self) -> String {
        Value::Object(self.0.clone()).to_string()
    }
}

/// Why a schema cannot be one of parameters; `None` if it can. `{}` takes no parameters.
#[must_use]
pub fn schema_problem(schema: &Value) -> Option<String> {
    let Some(object) = schema.as_object() else {
        return Some("the schema of its parameters is no JSON object".to_owned());
    };
    if object.is_empty() {
        return None;
    }
    if schema.to_string().len() > LONGEST_SCHEMA || depth(schema) > DEEPEST_SCHEMA {
        return Some(format!(
            "the schema of its parameters is longer than {LONGEST_SCHEMA} bytes or more than {DEEPEST_SCHEMA} levels deep"
        ));
    }
    if object.get("type").and_then(Value::as_str) != Some("object") {
        return Some("the schema of its parameters does not say \"type\": \"object\"".to_owned());
    }
    if let Some(outside) = outside_reference(schema) {
        return Some(format!(
            "the schema of its parameters refers to {outside}, outside of itself"
        ));
    }
    let judge = match judge(schema) {
        Ok(judge) => judge,
        Err(problem) => {
            return Some(format!(
                "the schema of its parameters is not usable: {problem}"
            ));
        }
    };
    // A default that the schema itself forbids would be told to the painter, who did not write it.
    let defaults = Value::Object(with_defaults(schema, Map::new()));
    judge
        .iter_errors(&defaults)
        .find(|error| !matches!(error.kind(), ValidationErrorKind::Required { .. }))
        .map(|error| {
            format!("a default in the schema of its parameters is not allowed by it: {error}")
        })
}

/// A table's values, if the schema allows them.
///
/// # Errors
/// Everything that it does not allow, each with its place, in the order of the file.
pub fn checked(schema: &Value, table: &StageTable) -> Result<Parameters, Vec<Diagnostic>> {
    let known = property_names(schema);
    let mut problems: Vec<(usize, Diagnostic)> = Vec::new();
    if is_closed(schema) {
        for key in table
            .values
            .keys()
            .filter(|key| !known.contains(&key.as_str()))
        {
            let at = table.key_at(&pointer_to(key));
            problems.push((at.start, unknown_key(table, &at, key, &known)));
        }
    }
    let values = with_defaults(schema, table.values.clone());
    let parameters = Parameters(values);
    if !known.is_empty() || !is_closed(schema) {
        let instance = Value::Object(parameters.0.clone());
        match judge(schema) {
            Ok(judge) => {
                for error in judge.iter_errors(&instance) {
                    problems.extend(told(schema, table, &error));
                }
            }
            Err(problem) => {
                problems.push((0, Diagnostic::error(table.source.name.clone(), problem)))
            }
        }
    }
    if problems.is_empty() {
        return Ok(parameters);
    }
    problems.sort_by_key(|(at, _)| *at);
    problems.dedup();
    Err(problems.into_iter().map(|(_, problem)| problem).collect())
}

/// The schema's defaults, where there is no table.
///
/// # Errors
/// Every parameter that must be given and has none.
pub fn defaults(schema: &Value) -> Result<Parameters, Vec<Diagnostic>> {
    let values = with_defaults(schema, Map::new());
    let required = schema.get("required").and_then(Value::as_array);
    let missing: Vec<Diagnostic> = required
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .filter(|key| !values.contains_key(*key))
        .map(|key| {
            let expected = expected_of(schema_at(schema, &pointer_to(key)));
            Diagnostic::error("", format!("the parameter `{key}` is not given")).expected(expected)
        })
        .collect();
    if missing.is_empty() {
        Ok(Parameters(values))
    } else {
        Err(missing)
    }
}

fn judge(schema: &Value) -> Result<Validator, String> {
    jsonschema::options()
        .with_draft(Draft::Draft202012)
        .offline()
        // Linear in the length of the text, whatever the pattern.
        .with_pattern_options(PatternOptions::regex().size_limit(LARGEST_PATTERN))
        .build(schema)
        .map_err(|error| error.to_string())
}

/// Whether only its own `properties` are allowed: unlike a schema's own rule, an unnamed key is a slip unless the schema asks for it.
fn is_closed(schema: &Value) -> bool {
    let open = [
        "additionalProperties",
        "patternProperties",
        "unevaluatedProperties",
    ];
    !open
        .iter()
        .any(|keyword| !matches!(schema.get(*keyword), None | Some(Value::Bool(false))))
}

fn with_defaults(schema: &Value, mut values: Map<String, Value>) -> Map<String, Value> {
    let properties = schema.get("properties").and_then(Value::as_object);
    for (key, property) in properties.into_iter().flatten() {
        if let Some(default) = property.get("default") {
            values.entry(key.clone()).or_insert_with(|| default.clone());
        }
    }
    values
}

fn unknown_key(
    table: &StageTable,
    at: &std::ops::Range<usize>,
    key: &str,
    known: &[&str],
) -> Diagnostic {
    let problem = table
        .source
        .error_at(at, format!("unknown key `{key}`"))
        .within(table.within.clone());
    if known.is_empty() {
        return problem
            .expected(format!(
                "nothing: \"{}\" takes no parameters",
                table.name.value
            ))
            .mend("take the line out");
    }
    let names: Vec<String> = known.iter().map(|name| (*name).to_owned()).collect();
    let problem = problem.expected(velatura_optics::diagnostic::either(&names));
    match nearest(key, known.iter().copied()) {
        Some(near) => problem.mend(format!("did you mean `{near}`?")),
        None => problem.mend("take the line out"),
    }
}

/// A violation in the words of our own files, with the place that it is sorted by. Unknown keys have been told before.
fn told(
    schema: &Value,
    table: &StageTable,
    error: &ValidationError<'_>,
) -> Option<(usize, Diagnostic)> {
    let pointer = error.instance_path().as_str();
    let name = pointer.rsplit('/').next().unwrap_or_default();
    let problem = |at: std::ops::Range<usize>, found: String, expected: String| {
        let start = at.start;
        let problem = table
            .source
            .error_at(&at, found)
            .within(table.within.clone());
        Some((start, problem.expected(expected)))
    };
    match error.kind() {
        ValidationErrorKind::AdditionalProperties { .. } if pointer.is_empty() => None,
        ValidationErrorKind::Required { property } => {
            let key = property.as_str().unwrap_or_default();
            let wanted = schema_at(schema, &format!("{pointer}{}", pointer_to(key)));
            let (start, problem) = problem(
                table.at(pointer),
                format!("`{key}` is missing"),
                expected_of(wanted),
            )?;
            Some((start, problem.mend(format!("add `{key}`"))))
        }
        ValidationErrorKind::AdditionalProperties { unexpected } => problem(
            table.at(pointer),
            format!("unknown key `{}` in `{name}`", unexpected.join("`, `")),
            expected_of(schema_at(schema, pointer)),
        ),
        _ => problem(
            table.at(pointer),
            format!("`{name}` is {}", shown(error.instance())),
            expected_of(schema_at(schema, pointer)),
        ),
    }
}

fn pointer_to(key: &str) -> String {
    format!("/{}", key.replace('~', "~0").replace('/', "~1"))
}

fn depth(value: &Value) -> usize {
    1 + match value {
        Value::Array(list) => list.iter().map(depth).max().unwrap_or(0),
        Value::Object(map) => map.values().map(depth).max().unwrap_or(0),
        _ => 0,
    }
}

/// The first reference that leads out of the schema.
fn outside_reference(schema: &Value) -> Option<&str> {
    match schema {
        Value::Array(list) => list.iter().find_map(outside_reference),
        Value::Object(map) => map
            .iter()
            .find_map(|(key, value)| match (key.as_str(), value) {
                ("$ref" | "$dynamicRef", Value::String(target)) if !target.starts_with('#') => {
                    Some(target.as_str())
                }
                ("$id" | "$schema", _) => None,
                _ => outside_reference(value),
            }),
        _ => None,
    }
}
