//! A JSON Schema in the words of our own files: "a number from 0 to 1 (how much dust)". In: a schema. Out: text for people.

use serde_json::Value;
use velatura_document::either;

/// The names of a schema's properties, in alphabetical order.
pub(crate) fn property_names(schema: &Value) -> Vec<&str> {
    let properties = schema.get("properties").and_then(Value::as_object);
    properties
        .into_iter()
        .flat_map(|properties| properties.keys().map(String::as_str))
        .collect()
}

/// The part of a schema for the value at a JSON pointer, through references within the schema; `true` if there is none.
pub(crate) fn schema_at<'a>(schema: &'a Value, pointer: &str) -> &'a Value {
    const ANY: &Value = &Value::Bool(true);
    let mut here = resolved(schema, schema);
    for step in pointer.split('/').skip(1) {
        let name = step.replace("~1", "/").replace("~0", "~");
        let next = here
            .get("properties")
            .and_then(|properties| properties.get(&name))
            .or_else(|| here.get("items").filter(|_| step.parse::<usize>().is_ok()))
            .or_else(|| here.get("additionalProperties"));
        match next {
            Some(next) => here = resolved(schema, next),
            None => return ANY,
        }
    }
    here
}

/// Follows a reference within the schema, a few times at most, because of circles.
fn resolved<'a>(schema: &'a Value, part: &'a Value) -> &'a Value {
    let mut here = part;
    for _ in 0..8 {
        let target = here.get("$ref").and_then(Value::as_str);
        match target.and_then(|target| schema.pointer(target.strip_prefix('#')?)) {
            Some(next) => here = next,
            None => break,
        }
    }
    here
}

/// What a schema allows, with its own description in brackets.
pub(crate) fn expected_of(schema: &Value) -> String {
    let kind = kind(schema);
    match schema.get("description").and_then(Value::as_str) {
        Some(description) => {
            let words: Vec<&str> = description.split_whitespace().collect();
            format!("{kind} ({})", words.join(" "))
        }
        None => kind,
    }
}

fn kind(schema: &Value) -> String {
    if let Some(options) = schema.get("enum").and_then(Value::as_array) {
        let options: Vec<String> = options.iter().map(Value::to_string).collect();
        return either(&options);
    }
    if let Some(only) = schema.get("const") {
        return only.to_string();
    }
    for keyword in ["anyOf", "oneOf"] {
        if let Some(options) = schema.get(keyword).and_then(Value::as_array) {
            let options: Vec<String> = options.iter().map(expected_of).collect();
            return either(&options);
        }
    }
    let types: Vec<&str> = match schema.get("type") {
        Some(Value::String(one)) => vec![one],
        Some(Value::Array(several)) => several.iter().filter_map(Value::as_str).collect(),
        _ => return "what its stage allows".to_owned(),
    };
    let words: Vec<String> = types.iter().map(|name| type_words(name, schema)).collect();
    either(&words)
}

fn type_words(name: &str, schema: &Value) -> String {
    match name {
        "number" => format!("a number{}", range(schema)),
        "integer" => format!("a whole number{}", range(schema)),
        "string" => format!(
            "a text{}{}",
            count(schema, "Length", "character"),
            pattern(schema)
        ),
        "boolean" => "true or false".to_owned(),
        "array" => {
            let items = schema.get("items").filter(|items| items.is_object());
            let of = items.map_or(String::new(), |items| {
                format!(", each {}", expected_of(items))
            });
            format!("a list{}{of}", count(schema, "Items", "value"))
        }
        "object" => match property_names(schema).as_slice() {
            [] => "a table".to_owned(),
            names => format!("a table with {}", names.join(", ")),
        },
        _ => "nothing".to_owned(),
    }
}

fn range(schema: &Value) -> String {
    let at = |keyword: &str| schema.get(keyword).filter(|limit| limit.is_number());
    // Whether the limit itself is allowed: `Ok` if so.
    let low: Option<Result<&Value, &Value>> = match (at("minimum"), at("exclusiveMinimum")) {
        (_, Some(low)) => Some(Err(low)),
        (Some(low), None) => Some(Ok(low)),
        _ => None,
    };
    let high: Option<Result<&Value, &Value>> = match (at("maximum"), at("exclusiveMaximum")) {
        (_, Some(high)) => Some(Err(high)),
        (Some(high), None) => Some(Ok(high)),
        _ => None,
    };
    let steps = at("multipleOf").map_or(String::new(), |step| format!(" in steps of {step}"));
    let words = match (low, high) {
        (Some(Ok(low)), Some(Ok(high))) => format!(" from {low} to {high}"),
        (Some(Ok(low)), Some(Err(high))) => format!(" from {low} to less than {high}"),
        (Some(Err(low)), Some(Ok(high))) => format!(" of more than {low}, up to {high}"),
        (Some(Err(low)), Some(Err(high))) => format!(" between {low} and {high}"),
        (Some(Ok(low)), None) => format!(" of {low} or more"),
        (Some(Err(low)), None) => format!(" above {low}"),
        (None, Some(Ok(high))) => format!(" up to {high}"),
        (None, Some(Err(high))) => format!(" below {high}"),
        (None, None) => String::new(),
    };
    words + &steps
}

fn count(schema: &Value, what: &str, unit: &str) -> String {
    let at = |side: &str| schema.get(format!("{side}{what}")).and_then(Value::as_u64);
    let counted = |number: u64| match number {
        1 => format!("1 {unit}"),
        number => format!("{number} {unit}s"),
    };
    match (at("min"), at("max")) {
        (Some(least), Some(most)) if least == most => format!(" of {}", counted(least)),
        (Some(least), Some(most)) => format!(" of {least} to {}", counted(most)),
        (Some(least), None) => format!(" of at least {}", counted(least)),
        (None, Some(most)) => format!(" of at most {}", counted(most)),
        (None, None) => String::new(),
    }
}

fn pattern(schema: &Value) -> String {
    schema
        .get("pattern")
        .and_then(Value::as_str)
        .map_or(String::new(), |pattern| format!(" like {pattern}"))
}

/// A value as messages show it.
pub(crate) fn shown(value: &Value) -> String {
    match value {
        Value::String(text) => format!("the text \"{text}\""),
        Value::Number(number) => format!("the number {number}"),
        Value::Bool(flag) => flag.to_string(),
        Value::Array(list) => format!("a list of {} values", list.len()),
        Value::Object(_) => "a table".to_owned(),
        Value::Null => "nothing".to_owned(),
    }
}
