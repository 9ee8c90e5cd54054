//! A component's description of itself. In: a component. Out: its description, completely checked.

use serde_json::Value;
use velatura_pipeline::parameters::schema_problem;

use crate::engine::{Machine, typed};
use crate::fault::{Fault, bytes_words};
use crate::limits::{Handed, Limits, NAME_CHARS};
use crate::words::{hidden_in_text, one_line};

mod bindings {
    wasmtime::component::bindgen!({
        path: "wit",
        inline: "package velatura:host; world described { export velatura:stage/describe@0.1.0; }",
        world: "velatura:host/described",
    });
}
use bindings::{Described, DescribedPre};

typed!(DescribedPre, Described);

/// A checked description of a component.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Description {
    /// a–z, 0–9 and "-", at most 40.
    pub(crate) name: String,
    pub(crate) version: String,
    pub(crate) takes: String,
    pub(crate) gives: String,
    /// A JSON object.
    pub(crate) parameters: Value,
    pub(crate) reach_px: Option<u32>,
}

/// Calls `describe`.
///
/// # Errors
/// If it fails, or its answer is unusable.
pub(crate) fn describe(machine: &Machine) -> Result<Description, Fault> {
    let pre: DescribedPre<_> = machine.typed()?;
    let said = machine.call(&pre, Handed::Nothing, |instance, store| {
        instance.velatura_stage_describe().call_describe(store)
    })?;
    let limits = machine.limits();
    Ok(Description {
        name: name(said.name)?,
        version: words("version", &said.version, NAME_CHARS)?,
        takes: words("takes", &said.takes, limits.sentence_chars)?,
        gives: words("gives", &said.gives, limits.sentence_chars)?,
        parameters: schema(&said.parameters, limits)?,
        reach_px: said.reach_px,
    })
}

fn name(name: String) -> Result<String, Fault> {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    let fits = name.len() <= NAME_CHARS
        && name.starts_with(|c: char| c.is_ascii_lowercase())
        && name.chars().all(plain);
    if fits {
        return Ok(name);
    }
    Err(Fault::Answer {
        found: format!("its name is \"{}\"", one_line(&name, NAME_CHARS + 1)),
        expected: format!("a-z, 0-9 and \"-\", beginning with a letter, at most {NAME_CHARS}"),
    })
}

fn words(what: &str, text: &str, chars: usize) -> Result<String, Fault> {
    let line = one_line(text, chars);
    if line.is_empty() {
        return Err(Fault::Answer {
            found: format!("its `{what}` has no visible character"),
            expected: "a few words".to_owned(),
        });
    }
    Ok(line)
}

fn schema(text: &str, limits: &Limits) -> Result<Value, Fault> {
    if text.is_empty() {
        return Ok(Value::Object(serde_json::Map::new()));
    }
    let refused = |found: String| Fault::Answer {
        found,
        expected: format!(
            "a JSON Schema, an object of at most {}; or nothing",
            bytes_words(limits.schema_bytes)
        ),
    };
    if text.len() > limits.schema_bytes {
        return Err(refused(format!(
            "its `parameters` have {}",
            bytes_words(text.len())
        )));
    }
    match serde_json::from_str(text) {
        Ok(schema) => match hidden_in(&schema) {
            Some(c) => Err(refused(format!(
                "its `parameters` have the control character U+{:04X}",
                u32::from(c)
            ))),
            None => match schema_problem(&schema) {
                Some(problem) => Err(refused(one_line(&problem, limits.sentence_chars))),
                None => Ok(schema),
            },
        },
        Err(error) => Err(refused(format!(
            "its `parameters` are not JSON: {}",
            one_line(&error.to_string(), 120)
        ))),
    }
}

/// An unprintable character in any text of a schema: JSON can write every character as digits.
fn hidden_in(schema: &Value) -> Option<char> {
    let in_text = |text: &str| hidden_in_text(text).map(|(c, _)| c);
    match schema {
        Value::String(text) => in_text(text),
        Value::Array(parts) => parts.iter().find_map(hidden_in),
        Value::Object(parts) => parts
            .iter()
            .find_map(|(key, part)| in_text(key).or_else(|| hidden_in(part))),
        Value::Null | Value::Bool(_) | Value::Number(_) => None,
    }
}
