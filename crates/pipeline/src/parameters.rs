//! Parameters of a stage: a table of the user's files, validated against the stage's JSON Schema (draft 2020-12).
//!
//! In: a schema and a table as written. Out: values that the schema allows, with its defaults filled in, or every problem with
//! its place. A library does the validation; the messages use the words of our own files. Not here: which table wins
//! (`stage_tables.rs`).

use serde_json::{Map, Value};
use velatura_document::StageTable;
use velatura_document::{Diagnostic, Problems, either, nearest};

use crate::judge::{Schema, Slip, Violation};
use crate::schema_size;
use crate::schema_words::{expected_of, property_names, schema_at, shown};

/// Validated parameters, with every default of the top level filled in.
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

    /// The text of a JSON object, with keys in alphabetical order.
    #[must_use]
    pub fn to_json(&self) -> String {
        Value::Object(self.0.clone()).to_string()
    }
}

/// Why a schema cannot describe parameters; `None` if it can. `{}` takes no parameters.
#[must_use]
pub fn schema_problem(schema: &Value) -> Option<String> {
    Judge::new(schema).err()
}

/// A stage's schema, ready to validate tables.
#[derive(Debug)]
pub struct Judge {
    schema: Value,
    ready: Schema,
}

impl Judge {
    /// Prepares a schema.
    ///
    /// # Errors
    /// Why it cannot describe parameters.
    pub fn new(schema: &Value) -> Result<Self, String> {
        let Some(object) = schema.as_object() else {
            return Err("the schema of its parameters is no JSON object".to_owned());
        };
        if let Some(problem) = schema_size::too_much(schema) {
            return Err(format!("the schema of its parameters {problem}"));
        }
        if !object.is_empty() && object.get("type").and_then(Value::as_str) != Some("object") {
            return Err(
                "the schema of its parameters does not say \"type\": \"object\"".to_owned(),
            );
        }
        let ready = Schema::new(schema)
            .map_err(|problem| format!("the schema of its parameters is not usable: {problem}"))?;
        // A default that the schema itself forbids would be reported to the painter, who did not write it. Required values
        // without a default are up to the painter.
        let defaults = Value::Object(with_defaults(schema, Map::new()));
        let mut wrong = ready.violations(&defaults).into_iter();
        if let Some(one) = wrong.find(|one| !one.pointer.is_empty()) {
            return Err(format!(
                "a default in the schema of its parameters is not allowed by it: {} is {}",
                named(&one.pointer),
                shown(&one.value)
            ));
        }
        Ok(Self {
            schema: schema.clone(),
            ready,
        })
    }

    /// The validated values of a table.
    ///
    /// # Errors
    /// Every value that is not allowed, with its place, in the order of the file.
    pub fn checked(&self, table: &StageTable) -> Result<Parameters, Vec<Diagnostic>> {
        let problems = Problems::default();
        let parameters = self.checked_into(table, &problems);
        parameters.ok_or_else(|| problems.into_sorted(table.source.name()))
    }

    /// The validated values of a table; `None` if it has problems, which go to `problems`.
    pub(crate) fn checked_into(
        &self,
        table: &StageTable,
        problems: &Problems,
    ) -> Option<Parameters> {
        let (schema, before) = (&self.schema, problems.count());
        let closed = is_closed(schema);
        if closed {
            let known = property_names(schema);
            for key in table.values.keys() {
                if !known.contains(&key.as_str()) {
                    problems.error(|| unknown_key(schema, table, "", key));
                }
            }
        }
        let parameters = Parameters(with_defaults(schema, table.values.clone()));
        let instance = Value::Object(parameters.0.clone());
        for violation in self.ready.violations(&instance) {
            match &violation.slip {
                // Reported above, in the same words.
                Slip::Unknown(_) if closed && violation.pointer.is_empty() => {}
                Slip::Unknown(keys) => {
                    for key in keys {
                        problems.error(|| unknown_key(schema, table, &violation.pointer, key));
                    }
                }
                _ => problems.error(|| in_our_words(schema, table, &violation)),
            }
        }
        (problems.count() == before).then_some(parameters)
    }
}

/// What a part of a schema allows, in the words of messages: "a number from 0 to 1 (how much dust)".
#[must_use]
pub fn in_words(schema: &Value) -> String {
    expected_of(schema)
}

/// The schema's defaults, for use without a table.
///
/// # Errors
/// Every required parameter without a default.
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
            Diagnostic::error("", format!("the parameter `{key}` is missing")).expected(expected)
        })
        .collect();
    if missing.is_empty() {
        Ok(Parameters(values))
    } else {
        Err(missing)
    }
}

/// Whether only its own `properties` are allowed: unlike in JSON Schema, an unknown key is an error unless the schema allows
/// it.
fn is_closed(schema: &Value) -> bool {
    let open = [
        "additionalProperties",
        "unevaluatedProperties",
        "patternProperties",
        "allOf",
        "anyOf",
        "oneOf",
        "$ref",
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

/// An unknown key of the table, or of a table inside it at `pointer`.
fn unknown_key(schema: &Value, table: &StageTable, pointer: &str, key: &str) -> Diagnostic {
    let at = table.key_at(&format!("{pointer}{}", pointer_to(key)));
    let problem = table
        .source
        .error_at(&at, format!("unknown key `{key}`"))
        .within(table.within.clone());
    let known = property_names(schema_at(schema, pointer));
    if known.is_empty() && pointer.is_empty() {
        problem
            .expected(format!(
                "nothing: \"{}\" takes no parameters",
                table.name.value
            ))
            .help("remove the line")
    } else {
        let problem = problem.expected(either(&known));
        match nearest(key, known.iter().copied()) {
            Some(near) => problem.help(format!("did you mean `{near}`?")),
            None => problem.help("remove it"),
        }
    }
}

/// A violation in the words of our own files. Unknown keys have their own: [`unknown_key`].
fn in_our_words(schema: &Value, table: &StageTable, violation: &Violation) -> Diagnostic {
    let pointer = &*violation.pointer;
    let at = table.at(pointer);
    let here = schema_at(schema, pointer);
    let problem = |found: String, expected: String| {
        let problem = table
            .source
            .error_at(&at, found)
            .within(table.within.clone());
        problem.expected(expected)
    };
    let found = || format!("{} is {}", named(pointer), shown(&violation.value));
    match &violation.slip {
        Slip::Missing(key) => {
            let wanted = schema_at(schema, &format!("{pointer}{}", pointer_to(key)));
            problem(format!("`{key}` is missing"), expected_of(wanted)).help(format!("add `{key}`"))
        }
        Slip::Twice => problem(
            format!("{} has the same value twice", named(pointer)),
            "different values".to_owned(),
        ),
        Slip::NoneOf(words) => {
            let problem = problem(found(), expected_of(here));
            let words = words.iter().filter_map(Value::as_str);
            let given = violation.value.as_str().unwrap_or_default();
            match nearest(given, words) {
                Some(near) => problem.help(format!("did you mean \"{near}\"?")),
                None => problem,
            }
        }
        Slip::Unknown(_) | Slip::Other => problem(found(), expected_of(here)),
    }
}

/// A value by its JSON pointer, as messages name it.
fn named(pointer: &str) -> String {
    let mut steps = pointer.rsplit('/');
    let last = steps
        .next()
        .unwrap_or_default()
        .replace("~1", "/")
        .replace("~0", "~");
    match (last.parse::<usize>(), steps.next()) {
        (Ok(index), Some(list)) if !list.is_empty() => format!("value {} of `{list}`", index + 1),
        _ if last.is_empty() => "the table".to_owned(),
        _ => format!("`{last}`"),
    }
}

fn pointer_to(key: &str) -> String {
    format!("/{}", key.replace('~', "~0").replace('/', "~1"))
}
