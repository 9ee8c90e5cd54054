//! The JSON Schema of `paints.toml`, for editors. A test keeps its keys the same as the reader's.
//!
//! The reader does not use these types: a derived reader stops at the first problem, ours finds all of them.

#![allow(dead_code, reason = "the fields exist for the schema only")]

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Paints, and the cards their drawdowns were brushed on.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Paints {
    /// Always "velatura-paints/1".
    #[schemars(regex(pattern = r"^velatura-paints/1$"))]
    format: String,
    cards: Cards,
    paint: Vec<Paint>,
}

/// What the drawdowns were brushed on, as photographed or measured.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Cards {
    black: Colour,
    white: Colour,
    /// Do the codes include the surface's own reflection (about 4 %)? Missing: excluded if the black card's Y is under 0.04.
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

#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
enum UnitWord {
    Percent,
    Fraction,
}

/// One paint: a drawdown (`over_black`, `over_white`), a `spectrum`, or a chip (`colour`).
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Paint {
    name: String,
    /// Whether the painter has it; true unless it says otherwise.
    owned: Option<bool>,
    /// The dried drawdown over the black card.
    over_black: Option<Colour>,
    /// The dried drawdown over the white card.
    over_white: Option<Colour>,
    /// Mixes of this paint with others, brushed over both cards.
    tint: Option<Vec<Tint>>,
    spectrum: Option<MeasuredSpectrum>,
    /// A chip's colour.
    colour: Option<Colour>,
    /// Y over black / Y over white (ISO 6504-3), 0…1.
    #[schemars(range(min = 0, max = 1))]
    contrast_ratio: Option<f64>,
    /// The painter's word, instead of a contrast ratio. Its ratio is from memory of common use and not a standard:
    /// transparent 0.10, semi-transparent 0.35, semi-opaque 0.70, opaque 0.97.
    opacity: Option<Opacity>,
}

#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Opacity {
    Transparent,
    SemiTransparent,
    SemiOpaque,
    Opaque,
}

/// This paint mixed with another.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Tint {
    /// The other paint's name.
    with: String,
    /// Parts by volume: this paint, the other.
    parts: [f64; 2],
    over_black: Option<Colour>,
    over_white: Option<Colour>,
    spectrum: Option<MeasuredSpectrum>,
}

/// Reflectance from an instrument, % or fractions, over 400 to 700 nm; up to 20 nm may be missing at each end.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct MeasuredSpectrum {
    /// The first wavelength, such as 400 or 380.
    start_nm: f64,
    /// The distance between wavelengths, such as 10 or 5.
    #[schemars(range(min = 1, max = 20))]
    step_nm: f64,
    /// What the numbers are. Missing: percent if one is above 1.5, else fractions.
    unit: Option<UnitWord>,
    specular: SpecularWord,
    over_black: Vec<f64>,
    over_white: Vec<f64>,
    black_card: Option<Vec<f64>>,
    white_card: Option<Vec<f64>>,
}

/// The schema of `paints.toml`.
#[must_use]
pub fn json_schema() -> serde_json::Value {
    schemars::schema_for!(Paints).to_value()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::super::{CARD_KEYS, KEYS, entry, spectra};
    use super::*;

    #[test]
    fn the_schema_says_which_contrast_ratio_each_opacity_word_stands_for() {
        let schema = json_schema();
        let said = schema["$defs"]["Paint"]["properties"]["opacity"]["description"]
            .as_str()
            .unwrap();
        for (word, ratio) in crate::hiding::OPACITY_WORDS {
            assert!(
                said.contains(&format!("{word} {ratio:.2}")),
                "{word}: {said}"
            );
            let name = schema["$defs"]["Opacity"]["enum"].as_array().unwrap();
            assert!(name.iter().any(|one| one == word), "{word}");
        }
        assert!(said.contains("from memory"), "{said}");
        assert!(
            !said.contains("transparent 0.11"),
            "must not match another number"
        );
    }

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
        assert_eq!(keys(&definitions["Cards"]), reader(CARD_KEYS));
        assert_eq!(keys(&definitions["Paint"]), reader(entry::KEYS));
        assert_eq!(keys(&definitions["Tint"]), reader(entry::TINT_KEYS));
        assert_eq!(
            keys(&definitions["MeasuredSpectrum"]),
            reader(spectra::KEYS)
        );
    }
}
