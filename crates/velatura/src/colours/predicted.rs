//! The JSON form of predicted colours.

use serde::Serialize;
use velatura_pipeline::optics::colour::{Encoded, luminance};
use velatura_pipeline::optics::trust::Trust;
use velatura_pipeline::scheme::Predicted;
use velatura_report::rounded;

/// The value of `format`.
const FORMAT: &str = "velatura-predict/1";

/// What coats dry to, over each undercoat.
#[derive(Debug, Clone, Serialize)]
pub struct PredictReport<'a> {
    format: &'static str,
    /// One per undercoat.
    pub results: Vec<PredictedColour<'a>>,
}

impl<'a> PredictReport<'a> {
    /// From each undercoat, as it was written, and the dried colour over it.
    pub fn new(dried: impl IntoIterator<Item = (&'a str, &'a Predicted)>) -> Self {
        let results = dried.into_iter();
        Self {
            format: FORMAT,
            results: results
                .map(|(over, dried)| PredictedColour::new(over, dried))
                .collect(),
        }
    }
}

/// A dried colour: as 8-bit sRGB, as CIELAB (D65, L\* 0…100, 4 decimals), as XYZ (D65, white has Y = 1, 6 decimals).
#[derive(Debug, Clone, Serialize)]
pub struct PredictedColour<'a> {
    over: &'a str,
    srgb: Encoded,
    lab: [f64; 3],
    xyz: [f64; 3],
    luminance: f64,
    in_gamut: bool,
    #[serde(flatten)]
    trust: Trust,
}

impl<'a> PredictedColour<'a> {
    fn new(over: &'a str, dried: &Predicted) -> Self {
        let colour = dried.colour;
        Self {
            over,
            srgb: colour.encoded(),
            lab: colour.lab().0.map(|part| rounded(part, 4)),
            xyz: colour.xyz().0.map(|part| rounded(part, 6)),
            luminance: rounded(luminance(colour), 6),
            in_gamut: colour.in_gamut(),
            trust: dried.trust,
        }
    }
}
