//! One value of a TOML file: as a number, as messages show it, and whether it is in the line of its key.

use toml::de::DeValue;

/// A finite number, whole or not.
pub(crate) fn number(value: &DeValue<'_>) -> Option<f64> {
    let number: f64 = match value {
        DeValue::Integer(integer) => {
            // Beyond 2^53 whole numbers lose digits. No field needs one.
            #[allow(
                clippy::cast_precision_loss,
                reason = "whole numbers in fields stay below 2^53"
            )]
            let wide = i64::from_str_radix(integer.as_str(), integer.radix()).ok()? as f64;
            wide
        }
        DeValue::Float(float) => float.as_str().parse().ok()?,
        _ => return None,
    };
    number.is_finite().then_some(number)
}

/// A value as messages show it.
pub(crate) fn shown(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(text) => format!("the text \"{text}\""),
        DeValue::Integer(integer) => format!("the number {integer}"),
        DeValue::Float(float) => format!("the number {float}"),
        DeValue::Boolean(flag) => format!("{flag}"),
        DeValue::Datetime(_) => "a date".to_owned(),
        DeValue::Array(_) => "a list of another kind".to_owned(),
        DeValue::Table(_) => "a table of another kind".to_owned(),
    }
}

/// Whether a value is in the line of its key, and not under a header in brackets.
pub(crate) fn is_line(value: &DeValue<'_>) -> bool {
    let is_table = |value: &DeValue<'_>| matches!(value, DeValue::Table(_));
    match value {
        DeValue::Array(list) => !list.iter().any(|value| is_table(value.get_ref())),
        value => !is_table(value),
    }
}
