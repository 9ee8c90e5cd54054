//! Whether a JSON Schema can be used quickly and shown safely. In: an untrusted schema. Out: the limit that it exceeds.

use std::collections::BTreeMap;

use serde_json::Value;

/// Longest schema, in bytes of its text: a stage has a handful of parameters.
const LONGEST: usize = 64 << 10;
/// Deepest schema.
const DEEPEST: usize = 32;
/// Most patterns: each is compiled.
const MOST_PATTERNS: usize = 32;
/// Most parts, each counted once per reference to it: validation visits all of them.
const MOST_PARTS: u64 = 10_000;

/// The limit that a schema exceeds, as a phrase after "the schema".
pub(crate) fn too_much(schema: &Value) -> Option<String> {
    if schema.to_string().len() > LONGEST || depth(schema) > DEEPEST {
        return Some(format!(
            "is longer than {LONGEST} bytes or deeper than {DEEPEST} levels"
        ));
    }
    if has_control(schema) {
        return Some("holds control characters".to_owned());
    }
    if patterns(schema) > MOST_PATTERNS {
        return Some(format!("has more than {MOST_PATTERNS} patterns"));
    }
    match (Parts {
        schema,
        known: BTreeMap::new(),
    })
    .of(schema)
    {
        Err(Reference::Outside(target)) => Some(format!("refers to {target}, outside of itself")),
        Err(Reference::Circle(target)) => Some(format!("refers to {target} in a circle")),
        Ok(parts) if parts > MOST_PARTS => Some(format!(
            "has more than {MOST_PARTS} parts, with references counted each time"
        )),
        Ok(_) => None,
    }
}

fn depth(value: &Value) -> usize {
    1 + children(value).map(depth).max().unwrap_or(0)
}

fn has_control(value: &Value) -> bool {
    let is_control = |text: &str| {
        text.chars()
            .any(|c| c.is_control() && c != '\n' && c != '\t')
    };
    match value {
        Value::String(text) => is_control(text),
        Value::Object(map) => map
            .iter()
            .any(|(key, value)| is_control(key) || has_control(value)),
        _ => children(value).any(has_control),
    }
}

fn patterns(value: &Value) -> usize {
    let own = value.as_object().map_or(0, |map| {
        let listed = map.get("patternProperties").and_then(Value::as_object);
        usize::from(map.contains_key("pattern")) + listed.map_or(0, serde_json::Map::len)
    });
    own + children(value).map(patterns).sum::<usize>()
}

fn children(value: &Value) -> Box<dyn Iterator<Item = &Value> + '_> {
    match value {
        Value::Array(list) => Box::new(list.iter()),
        Value::Object(map) => Box::new(map.values()),
        _ => Box::new(std::iter::empty()),
    }
}

/// A reference that is not followed.
enum Reference {
    Outside(String),
    Circle(String),
}

/// Counts parts through references; each target is counted once and remembered.
struct Parts<'a> {
    schema: &'a Value,
    /// `None` during counting.
    known: BTreeMap<&'a str, Option<u64>>,
}

impl<'a> Parts<'a> {
    fn of(&mut self, part: &'a Value) -> Result<u64, Reference> {
        let mut count = 1_u64;
        for child in children(part) {
            count = count.saturating_add(self.of(child)?);
        }
        for keyword in ["$ref", "$dynamicRef", "$recursiveRef"] {
            if let Some(target) = part.get(keyword).and_then(Value::as_str) {
                count = count.saturating_add(self.target(target)?);
            }
        }
        Ok(count)
    }

    fn target(&mut self, target: &'a str) -> Result<u64, Reference> {
        match self.known.get(target) {
            Some(Some(count)) => return Ok(*count),
            Some(None) => return Err(Reference::Circle(target.to_owned())),
            None => {}
        }
        let pointer = target.strip_prefix('#');
        let part = pointer.and_then(|pointer| self.schema.pointer(pointer));
        let part = part.ok_or_else(|| Reference::Outside(target.to_owned()))?;
        self.known.insert(target, None);
        let count = self.of(part)?;
        self.known.insert(target, Some(count));
        Ok(count)
    }
}
