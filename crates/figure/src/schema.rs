//! The JSON Schema of `figure.toml`, for editors. A test keeps its keys the same as the reader's.
//!
//! The reader does not go through these types: a derived reader stops at the first problem, ours finds them all.

#![allow(dead_code, reason = "the fields exist for the schema only")]

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One figure: its photo, its mask, and how it was undercoated. Paths are relative to this file.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Figure {
    /// Always "velatura-figure/1".
    #[schemars(regex(pattern = r"^velatura-figure/1$"))]
    format: String,
    /// The name of the figure.
    name: String,
    /// JPEG, PNG 8/16, TIFF 8/16 or WebP.
    photo: String,
    /// A picture of the photo's size after rotation, one flat colour per region.
    mask: String,
    /// Height of the figure in millimetres [default: 32]
    #[schemars(range(min = 1, max = 1000))]
    height_mm: Option<f64>,
    /// Figures in the team [default: 1]
    #[schemars(range(min = 1, max = 100_000))]
    count: Option<u32>,
    undercoat: Undercoat,
    #[schemars(length(min = 1, max = 250))]
    region: Vec<Region>,
    /// Paths of plugins (WebAssembly components), relative to this file.
    plugins: Option<Vec<String>>,
    /// Parameters of stages, by the stage's name. The list of attached stages shows what each takes.
    stage: Option<BTreeMap<String, BTreeMap<String, serde_json::Value>>>,
}

/// The undercoat below the glazes.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Undercoat {
    kind: Kind,
    /// Photo value where bare dark primer shows in full light; estimated where it is missing.
    black: Option<Colour>,
    /// Photo value of the brightest drybrushing in full light, or of the bare primer if plain.
    white: Option<Colour>,
    /// How much of the photo's tone is light and shade rather than paint.
    #[schemars(range(min = 0, max = 1))]
    light_share: Option<f64>,
    /// A photo of the same pose under the same lamp, before drybrushing or the wash.
    light_photo: Option<String>,
}

#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Kind {
    BlackToWhite,
    WhiteWithWash,
    Plain,
}

/// One part of the figure.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Region {
    /// The name that schemes use.
    name: String,
    /// Its colour in the mask.
    mask_colour: Colour,
}

/// sRGB, "#rrggbb".
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(transparent)]
struct Colour(#[schemars(regex(pattern = r"^#[0-9a-fA-F]{6}$"))] String);

/// The schema of `figure.toml`.
#[must_use]
pub fn json_schema() -> serde_json::Value {
    schemars::schema_for!(Figure).to_value()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::figure_file::{KEYS, REGION_KEYS, UNDERCOAT_KEYS};

    #[test]
    fn the_schema_knows_the_keys_that_the_reader_knows() {
        let schema = json_schema();
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
        let definitions = &schema["$defs"];
        assert_eq!(keys(&schema), reader(KEYS));
        assert_eq!(keys(&definitions["Undercoat"]), reader(UNDERCOAT_KEYS));
        assert_eq!(keys(&definitions["Region"]), reader(REGION_KEYS));
        // Must fail: another table's keys.
        assert_ne!(keys(&definitions["Region"]), reader(UNDERCOAT_KEYS));
    }
}
