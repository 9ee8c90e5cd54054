//! The JSON Schema of `schemes.toml`, for editors. A test keeps its keys the same as the reader's.

#![allow(dead_code, reason = "the fields exist for the schema only")]

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Schemes: which mix goes where, in what order.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Schemes {
    /// Always "velatura-schemes/1".
    #[schemars(regex(pattern = r"^velatura-schemes/1$"))]
    format: String,
    scheme: Vec<Scheme>,
    /// Parameters of stages for all schemes, by the stage's name. The list of attached stages shows what each takes.
    stage: Option<Stages>,
}

type Stages = BTreeMap<String, BTreeMap<String, serde_json::Value>>;

/// One scheme.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Scheme {
    name: String,
    team: Option<String>,
    /// What is under the coats; "as-photographed" unless it says otherwise.
    undercoat: Option<Undercoat>,
    /// The varnish; "matte" unless it says otherwise.
    finish: Option<Finish>,
    /// Coats in painting order, lowest first.
    coat: Option<Vec<Coat>>,
    /// Parameters of stages for this scheme alone; they replace all of the table of that name elsewhere.
    stage: Option<Stages>,
}

#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Undercoat {
    AsPhotographed,
    WhiteWithWash,
    PlainWhite,
    BlackToWhite,
}

#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Finish {
    Matte,
    Satin,
    Gloss,
}

/// One coat on one region.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Coat {
    /// A region of figure.toml.
    region: String,
    /// Paints of paints.toml, or medium, with their parts by volume.
    mix: BTreeMap<String, f64>,
    /// Thickness; 1 (the default) = as thick as the drawdown.
    #[schemars(range(min = 0, max = 20))]
    film: Option<f64>,
    /// Where on the relief; "all" unless it says otherwise.
    #[serde(rename = "where")]
    place: Option<Where>,
    /// 0 (the default) = an even film … 1 = a wash that runs off the raised parts into the recesses.
    #[schemars(range(min = 0, max = 1))]
    pooling: Option<f64>,
}

#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Where {
    All,
    Recesses,
    Raised,
    Upper,
}

/// The schema of `schemes.toml`.
#[must_use]
pub fn json_schema() -> serde_json::Value {
    schemars::schema_for!(Schemes).to_value()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::schemes_file::{COAT_KEYS, KEYS, SCHEME_KEYS};

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
        assert_eq!(keys(&schema), reader(KEYS));
        assert_eq!(keys(&schema["$defs"]["Scheme"]), reader(SCHEME_KEYS));
        assert_eq!(keys(&schema["$defs"]["Coat"]), reader(COAT_KEYS));
    }
}
