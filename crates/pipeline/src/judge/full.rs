//! Judging by any JSON Schema (draft 2020-12), by a library.

use jsonschema::error::ValidationErrorKind;
use jsonschema::{Draft, PatternOptions, ValidationError, Validator};
use serde_json::Value;

use super::{Slip, Violation};

/// Largest automaton of a `pattern`, in bytes.
const LARGEST_PATTERN: usize = 1 << 20;

/// A schema of any kind.
#[derive(Debug)]
pub(crate) struct Full(Validator);

impl Full {
    /// Takes a schema.
    ///
    /// # Errors
    /// What is wrong with it.
    pub(crate) fn new(schema: &Value) -> Result<Self, String> {
        jsonschema::options()
            .with_draft(Draft::Draft202012)
            .offline()
            // Linear in the length of the text, whatever the pattern.
            .with_pattern_options(PatternOptions::regex().size_limit(LARGEST_PATTERN))
            .build(schema)
            .map(Self)
            .map_err(|error| error.to_string())
    }

    /// Everything in an object that the schema does not allow.
    pub(crate) fn violations(&self, instance: &Value) -> Vec<Violation> {
        self.0.iter_errors(instance).map(violation).collect()
    }
}

fn violation(error: ValidationError<'_>) -> Violation {
    Violation {
        pointer: error.instance_path().as_str().to_owned(),
        value: error.instance().as_ref().clone(),
        slip: match error.kind() {
            ValidationErrorKind::AdditionalProperties { unexpected }
            | ValidationErrorKind::UnevaluatedProperties { unexpected } => {
                Slip::Unknown(unexpected.clone())
            }
            ValidationErrorKind::Required { property } => {
                Slip::Missing(property.as_str().unwrap_or_default().to_owned())
            }
            ValidationErrorKind::UniqueItems => Slip::Twice,
            ValidationErrorKind::Enum { options } => {
                Slip::NoneOf(options.as_array().cloned().unwrap_or_default())
            }
            _ => Slip::Other,
        },
    }
}
