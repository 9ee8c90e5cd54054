//! The JSON Schema of `layout.toml`, for editors. A test keeps its keys the same as the reader's.
//!
//! The reader does not go through these types: a derived reader stops at the first problem, ours finds them all.

#![allow(dead_code, reason = "the fields exist for the schema only")]

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A photographed drawdown card: what is where. Lengths in mm, from the centre of the card's upper left mark, x to the
/// right and y down.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Layout {
    /// Always "velatura-layout/1".
    #[schemars(regex(pattern = r"^velatura-layout/1$"))]
    format: String,
    /// Pixels of the marks' centres in the upright photo, clockwise from the card's upper left. Without it the printed marks
    /// are looked for.
    corners: Option<[[f64; 2]; 4]>,
    cards: Option<Cards>,
    card: Option<Card>,
    /// The drawdowns in their order on the card: left to right, then the next pair of strips.
    field: Vec<Field>,
    chart: Option<Chart>,
}

/// What the bare black and white of the card truly are. Missing: a matte black and a plain white card, from memory.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Cards {
    black: Option<Colour>,
    white: Option<Colour>,
    /// Do these codes hold the surface's own reflection (about 4 %)? Copied into paints.toml.
    specular: Option<SpecularWord>,
}

/// sRGB, "#rrggbb".
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(transparent)]
struct Colour(#[schemars(regex(pattern = r"^#[0-9a-fA-F]{6}$"))] String);

#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
enum SpecularWord {
    Excluded,
    Included,
}

/// Your own card [default: the printed card]
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Card {
    /// Between the marks' centres (or the four `corners`), across and down.
    marks_mm: [f64; 2],
    /// Left edge of the first place.
    first_mm: f64,
    /// Width of a place.
    field_mm: f64,
    /// From the left edge of one place to the next, at least 2 mm more than `field_mm`.
    step_mm: f64,
    /// Places in a row [default: as many as fit]
    #[schemars(range(min = 1, max = 200))]
    across: Option<u32>,
    #[schemars(length(min = 1))]
    pair: Vec<Pair>,
    /// Further areas of bare white, which help to measure the light.
    bare_white: Option<Vec<BareWhite>>,
}

/// A black and a white strip: upper and lower edge.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Pair {
    black_mm: [f64; 2],
    white_mm: [f64; 2],
}

/// A rectangle of bare white card.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct BareWhite {
    from_mm: [f64; 2],
    to_mm: [f64; 2],
}

/// One drawdown: a paint, or a tint of it (`with`, `parts`).
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Field {
    /// The paint's name.
    name: String,
    /// Whether the painter has it; true unless it says otherwise.
    owned: Option<bool>,
    /// The other paint of a tint.
    with: Option<String>,
    /// Parts by volume of a tint: this paint, the other.
    parts: Option<[f64; 2]>,
    /// Its place on the card, from 1; the next one if it does not say.
    #[schemars(range(min = 1))]
    place: Option<u32>,
}

/// A colour chart in the same photo and plane.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Chart {
    /// Whose reference values these are.
    source: String,
    /// The licence of those values.
    licence: String,
    /// Width of a patch.
    patch_mm: f64,
    #[schemars(length(min = 6))]
    patch: Vec<Patch>,
}

/// One patch: its centre, and its published colour as `srgb` or `lab`.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Patch {
    name: Option<String>,
    at_mm: [f64; 2],
    srgb: Option<Colour>,
    /// L*, a*, b* under D65, 2° observer.
    lab: Option<[f64; 3]>,
}

/// The schema of `layout.toml`.
#[must_use]
pub fn layout_json_schema() -> serde_json::Value {
    schemars::schema_for!(Layout).to_value()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::super::layout_card::{BARE_KEYS, CARD_KEYS, PAIR_KEYS};
    use super::super::layout_chart::{CHART_KEYS, PATCH_KEYS};
    use super::super::layout_file::{CARDS_KEYS, FIELD_KEYS, KEYS};
    use super::*;

    #[test]
    fn the_schema_knows_the_keys_that_the_reader_knows() {
        let schema = layout_json_schema();
        let keys = |object: &serde_json::Value| -> BTreeSet<String> {
            object["properties"]
                .as_object()
                .unwrap()
                .keys()
                .cloned()
                .collect()
        };
        let reader = |keys: &[&str]| -> BTreeSet<String> {
            keys.iter().map(|key| (*key).to_owned()).collect()
        };
        assert_eq!(keys(&schema), reader(KEYS));
        for (name, known) in [
            ("Cards", CARDS_KEYS),
            ("Card", CARD_KEYS),
            ("Pair", PAIR_KEYS),
            ("BareWhite", BARE_KEYS),
            ("Field", FIELD_KEYS),
            ("Chart", CHART_KEYS),
            ("Patch", PATCH_KEYS),
        ] {
            assert_eq!(keys(&schema["$defs"][name]), reader(known), "{name}");
        }
        // Must fail: another table's keys.
        assert_ne!(keys(&schema["$defs"]["Pair"]), reader(BARE_KEYS));
    }
}
