//! Schemes of three paints a third of the hue circle apart, distributed over the figure's regions.
//!
//! In: regions, paints, the first paint. Out: the text of a schemes file. Hues are those of the drawdowns over white, in
//! CIELAB; a triad of hues is common practice, no source.

#[cfg(target_arch = "wasm32")]
mod component;
pub mod hue;

use std::fmt::Write as _;

use hue::Hue;
use serde_json::Value;

/// Its name in `[stage.NAME]`.
pub const NAME: &str = "triads";
/// Its version.
pub const VERSION: &str = "0.1.0";
/// What it takes.
pub const TAKES: &str = "regions, paints";
/// What it gives.
pub const GIVES: &str = "schemes of three paints a third of the hue circle apart";

/// JSON Schema of its parameters.
pub const PARAMETERS: &str = r#"{
  "type": "object",
  "additionalProperties": false,
  "required": ["paint"],
  "properties": {
    "paint": {
      "type": "string", "minLength": 1,
      "description": "name of the paint to begin with"
    },
    "count": {
      "type": "integer", "minimum": 1, "maximum": 6, "default": 3,
      "description": "how many schemes; there are six orders of three paints"
    }
  }
}"#;

/// CIELAB chroma below which a paint counts as grey without a hue. Invented: a tint of colour is still visible at 8.
const LEAST_CHROMA: f64 = 8.0;
/// Largest number of names in an error sentence.
const NEAR_NAMES: usize = 3;
/// The orders of three paints: first those in which every paint has moved on.
const ORDERS: [[usize; 3]; 6] = [
    [0, 1, 2],
    [1, 2, 0],
    [2, 0, 1],
    [0, 2, 1],
    [2, 1, 0],
    [1, 0, 2],
];

/// A paint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Paint<'a> {
    /// Its name.
    pub name: &'a str,
    /// Whether the painter owns it.
    pub owned: bool,
    /// sRGB of the dried drawdown over the white card.
    pub over_white: [u8; 3],
}

/// The text of a schemes file.
///
/// # Errors
/// A sentence: no such paint, a paint without a hue, or too few others with one.
pub fn triads(regions: &[&str], paints: &[Paint<'_>], parameters: &str) -> Result<String, String> {
    let value: Value = serde_json::from_str(parameters).map_err(|error| error.to_string())?;
    let wanted = value.get("paint").and_then(Value::as_str);
    let wanted = wanted.ok_or("\"paint\" is not a text")?;
    // A whole number can be written as 3.0.
    let count = value.get("count").and_then(Value::as_f64);
    let count = count.ok_or("\"count\" is not a number")?;
    let three = triad(wanted, paints)?;
    let mut dealt: Vec<Vec<&str>> = Vec::new();
    for order in ORDERS {
        let deal = order.map(|paint| three[paint]).into_iter().cycle();
        let deal: Vec<&str> = deal.take(regions.len()).collect();
        // With one or two regions some orders are the same.
        if !dealt.contains(&deal) {
            dealt.push(deal);
        }
    }
    let mut text = String::from("format = \"velatura-schemes/1\"\n");
    for (number, deal) in (1..=6)
        .zip(&dealt)
        .take_while(|(n, _)| f64::from(*n) <= count)
    {
        let name = quoted(&format!("Triad from {wanted} {number}"));
        let _ = write!(
            text,
            "\n[[scheme]]\nname = {name}\nundercoat = \"as-photographed\"\n"
        );
        for (region, paint) in regions.iter().zip(deal) {
            let (region, paint) = (quoted(region), quoted(paint));
            let _ = write!(
                text,
                "\n[[scheme.coat]]\nregion = {region}\nmix = {{ {paint} = 2, medium = 1 }}\nfilm = 1.0\n"
            );
        }
    }
    Ok(text)
}

/// The first paint, and the owned ones closest to one and two thirds of the circle from it.
fn triad<'a>(wanted: &str, paints: &[Paint<'a>]) -> Result<[&'a str; 3], String> {
    let first = paints
        .iter()
        .find(|paint| paint.name == wanted)
        .ok_or_else(|| no_such_paint(wanted, paints))?;
    let hue = Hue::of(first.over_white, LEAST_CHROMA)
        .ok_or_else(|| format!("\"{wanted}\" is a grey: it has no hue to begin with"))?;
    let second_hue = hue.third_further();
    let second = nearest(second_hue, paints, &[first.name]);
    let third = second
        .and_then(|second| nearest(second_hue.third_further(), paints, &[first.name, second]));
    let too_few = || format!("beside \"{wanted}\" two owned paints with a hue are needed");
    Ok([
        first.name,
        second.ok_or_else(too_few)?,
        third.ok_or_else(too_few)?,
    ])
}

/// The owned paint closest to a hue; the first of two equally close ones.
fn nearest<'a>(hue: Hue, paints: &[Paint<'a>], taken: &[&str]) -> Option<&'a str> {
    let mut best: Option<(f64, &str)> = None;
    for paint in paints {
        if !paint.owned || taken.contains(&paint.name) {
            continue;
        }
        if let Some(its_hue) = Hue::of(paint.over_white, LEAST_CHROMA) {
            let nearness = its_hue.nearness(hue);
            if best.is_none_or(|(so_far, _)| nearness > so_far) {
                best = Some((nearness, paint.name));
            }
        }
    }
    best.map(|(_, name)| name)
}

fn no_such_paint(wanted: &str, paints: &[Paint<'_>]) -> String {
    let lower = wanted.to_lowercase();
    let mut near: Vec<(usize, &str)> = paints
        .iter()
        .map(|paint| {
            let edits = strsim::levenshtein(&lower, &paint.name.to_lowercase());
            (edits, paint.name)
        })
        .collect();
    // Stable: among equally similar names, the first ones of the file stay.
    near.sort_by_key(|(edits, _)| *edits);
    let names: Vec<String> = near
        .iter()
        .take(NEAR_NAMES)
        .map(|(_, name)| format!("\"{name}\""))
        .collect();
    if names.is_empty() {
        return format!("no paint is called \"{wanted}\": there are no paints");
    }
    format!(
        "no paint is called \"{wanted}\"; the nearest names are {}",
        names.join(", ")
    )
}

/// A text as TOML writes it. Source: TOML 1.0.0, basic strings.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            c if c.is_control() => {
                let _ = write!(quoted, "\\u{:04X}", u32::from(c));
            }
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
}
