//! `report.json`: what a render used, what came out per scheme and region, and how long it took.
//!
//! In: plain values from the stages. Out: JSON text, the same for the same values: keys in a fixed order, numbers
//! rounded to their useful digits. Not here: computing them.

use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};
use velatura_document::{Diagnostic, Error};
use velatura_pipeline::figure::Sourced;
use velatura_pipeline::optics::colour::Encoded;
use velatura_pipeline::{BackendUsed, LeftOut};

use crate::finite::json_text;

/// The report's name in the output folder.
pub const REPORT_FILE: &str = "report.json";

/// The value of the file's first key.
pub const REPORT_FORMAT: &str = "velatura-report/1";

/// Everything in `report.json`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Report {
    /// The figure's name.
    pub figure: String,
    /// The device or processor that did the work.
    pub backend: BackendUsed,
    /// How the photo's tone was read.
    pub undercoat: UndercoatReport,
    /// One per scheme, in the order of the sheet.
    pub schemes: Vec<SchemeReport>,
    /// Warnings, in the order they arose.
    pub warnings: Vec<Diagnostic>,
    /// Stages that failed and were left out, and why; not written if there is none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<LeftOut>,
    /// Paths of the texts that stages wrote next to the sheet; not written if there is none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub texts: Vec<String>,
    /// Stage and milliseconds, in the order the stages ran; written as an object.
    #[serde(serialize_with = "stages")]
    pub timings_ms: Vec<(String, f64)>,
}

/// The three numbers that divide tone into paint and light.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct UndercoatReport {
    /// Photo value of bare dark primer in full light.
    pub black: Sourced<Encoded>,
    /// Photo value of the brightest drybrushing in full light.
    pub white: Sourced<Encoded>,
    /// 0…1: how much of the tone is light and shade.
    pub light_share: Sourced<Ratio>,
}

/// A number 0…1 (luminance Y, a share), written with 4 decimals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ratio(pub f64);

impl Serialize for Ratio {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(rounded(self.0, 4))
    }
}

/// CIE L\*a\*b\*, D65, 2°, written with 2 decimals: a hundredth is far below what anyone sees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LabMean(pub [f64; 3]);

impl Serialize for LabMean {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.0.map(|part| rounded(part, 2)).serialize(serializer)
    }
}

/// One scheme.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SchemeReport {
    /// Its name.
    pub name: String,
    /// Its team; may be empty.
    pub team: String,
    /// The undercoat as in `schemes.toml`: "as-photographed", "plain-white" …
    pub undercoat: String,
    /// The varnish.
    pub finish: String,
    /// Finishes over that varnish which are not the program's own, by name; not written if there is none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub finishes: Vec<String>,
    /// Metallic paints in it, whose glint the pictures do not show; not written if there is none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub glint_not_shown: Vec<String>,
    /// Path from the report's folder with "/" on every machine; `null` for a sheet alone.
    pub preview: Option<String>,
    /// One per region, in the order of `figure.toml`.
    pub regions: Vec<RegionReport>,
    /// Painted regions in the order to paint them, light ones first.
    pub order: Vec<String>,
    /// Where paint that runs onto a neighbour would show, the worst first.
    pub spills: Vec<SpillReport>,
}

/// Paint of one region on a neighbour.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SpillReport {
    /// The region whose paint runs.
    pub from: String,
    /// The region that it runs onto.
    pub onto: String,
    /// CIEDE2000 between the intended and the actual colour there.
    pub delta_e: Hundredths,
}

/// A number, written with 2 decimals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hundredths(pub f64);

impl Serialize for Hundredths {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(rounded(self.0, 2))
    }
}

/// One region under one scheme.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RegionReport {
    /// Its name.
    pub name: String,
    /// Its pixels, at the scale that was computed.
    pub pixels: u64,
    /// What the eye sees on the figure: the mean of its pixels in linear light, encoded.
    pub mean_srgb: Encoded,
    /// The paint alone: the dried colour of its coats flat on mid grey, at medium relief, so that coats only in the recesses or only
    /// on raised parts do not count where others are; left out without a coat.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dried_srgb: Option<Encoded>,
    /// `mean_srgb` in Lab.
    pub mean_lab: LabMean,
    /// The luminance Y of `mean_srgb`, 0…1.
    pub luminance: Ratio,
    /// Its basis: "spectrum", "drawdown+tint", "chip" …
    pub basis: String,
    /// Mean ΔE (CIEDE2000) that predictions of this kind had on measured paints; 0 where there is no paint.
    pub estimated_error: Hundredths,
}

#[derive(Serialize)]
struct Document<'a> {
    format: &'static str,
    velatura: &'static str,
    #[serde(flatten)]
    report: &'a Report,
}

/// The file's text: indented, ending with a line break.
///
/// # Errors
/// [`Error::Machine`] if a number is infinite or NaN.
pub fn to_json(report: &Report) -> Result<String, Error> {
    let document = Document {
        format: REPORT_FORMAT,
        velatura: env!("CARGO_PKG_VERSION"),
        report,
    };
    json_text(&document)
}

fn stages<S: Serializer>(stages: &[(String, f64)], serializer: S) -> Result<S::Ok, S::Error> {
    let mut map = serializer.serialize_map(Some(stages.len()))?;
    for (stage, milliseconds) in stages {
        map.serialize_entry(stage, &rounded(*milliseconds, 1))?;
    }
    map.end()
}

/// Rounded in decimal, so that the text never shows a binary fraction's tail or "-0.0".
#[must_use]
pub fn rounded(number: f64, decimals: i32) -> f64 {
    let scale = 10_f64.powi(decimals);
    (number * scale).round() / scale + 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};
    use velatura_pipeline::BackendKind;
    use velatura_pipeline::figure::Origin;

    fn report() -> Report {
        let value = Encoded([0x1c, 0x1c, 0x0c]);
        Report {
            figure: "Lamplighter with a pole".to_owned(),
            backend: BackendUsed {
                kind: BackendKind::Cpu,
                name: "8 threads".to_owned(),
                notes: Vec::new(),
            },
            undercoat: UndercoatReport {
                black: Sourced {
                    value,
                    from: Origin::Given,
                },
                white: Sourced {
                    value: Encoded([233; 3]),
                    from: Origin::Estimated,
                },
                light_share: Sourced {
                    value: Ratio(0.199_96),
                    from: Origin::Measured,
                },
            },
            schemes: vec![SchemeReport {
                name: "Wick & Ember".to_owned(),
                team: "Lamplighters".to_owned(),
                undercoat: "as-photographed".to_owned(),
                finish: "matte".to_owned(),
                finishes: Vec::new(),
                glint_not_shown: Vec::new(),
                preview: Some("previews/wick-ember.png".to_owned()),
                regions: vec![RegionReport {
                    name: "coat".to_owned(),
                    pixels: 412_806,
                    mean_srgb: Encoded([1, 171, 255]),
                    dried_srgb: Some(Encoded([2, 172, 255])),
                    mean_lab: LabMean([40.126, -0.001, 31.5]),
                    luminance: Ratio(0.110_04),
                    basis: "drawdown+tint".to_owned(),
                    estimated_error: Hundredths(0.45),
                }],
                order: vec!["coat".to_owned()],
                spills: vec![SpillReport {
                    from: "coat".to_owned(),
                    onto: "hood".to_owned(),
                    delta_e: Hundredths(12.346),
                }],
            }],
            warnings: vec![Diagnostic::warning("photo.jpg", "nearly black")],
            left_out: Vec::new(),
            texts: Vec::new(),
            timings_ms: vec![("sheet".to_owned(), 12.345), ("ground".to_owned(), 3.0)],
        }
    }

    #[test]
    fn keys_stand_in_their_order_and_numbers_are_rounded() {
        let text = to_json(&report()).unwrap();
        let expected = r##"{
  "format": "velatura-report/1",
  "velatura": "VERSION",
  "figure": "Lamplighter with a pole",
  "backend": {
    "kind": "cpu",
    "name": "8 threads"
  },
  "undercoat": {
    "black": {
      "value": "#1c1c0c",
      "from": "given"
    },
    "white": {
      "value": "#e9e9e9",
      "from": "estimated"
    },
    "light_share": {
      "value": 0.2,
      "from": "measured"
    }
  },
  "schemes": [
    {
      "name": "Wick & Ember",
      "team": "Lamplighters",
      "undercoat": "as-photographed",
      "finish": "matte",
      "preview": "previews/wick-ember.png",
      "regions": [
        {
          "name": "coat",
          "pixels": 412806,
          "mean_srgb": "#01abff",
          "dried_srgb": "#02acff",
          "mean_lab": [
            40.13,
            0.0,
            31.5
          ],
          "luminance": 0.11,
          "basis": "drawdown+tint",
          "estimated_error": 0.45
        }
      ],
      "order": [
        "coat"
      ],
      "spills": [
        {
          "from": "coat",
          "onto": "hood",
          "delta_e": 12.35
        }
      ]
    }
  ],
  "warnings": [
    {
      "severity": "warning",
      "file": "photo.jpg",
      "place": null,
      "found": "nearly black",
      "in": null,
      "expected": null,
      "help": null
    }
  ],
  "timings_ms": {
    "sheet": 12.3,
    "ground": 3.0
  }
}
"##;
        assert_eq!(text, expected.replace("VERSION", env!("CARGO_PKG_VERSION")));
    }

    #[test]
    fn a_fallback_is_reported_in_the_report() {
        let mut fallen_back = report();
        fallen_back.backend.notes = vec!["lost".to_owned()];
        let value: Value = serde_json::from_str(&to_json(&fallen_back).unwrap()).unwrap();
        assert_eq!(value["backend"]["notes"], json!(["lost"]));
    }

    #[test]
    fn a_sheet_alone_has_no_preview_and_no_number_is_null() {
        let mut sheet_alone = report();
        sheet_alone.schemes[0].preview = None;
        let value: Value = serde_json::from_str(&to_json(&sheet_alone).unwrap()).unwrap();
        assert_eq!(value["schemes"][0]["preview"], Value::Null);
        sheet_alone.schemes[0].regions[0].luminance = Ratio(f64::NAN);
        let refused = to_json(&sheet_alone).unwrap_err().to_string();
        assert!(
            refused.contains("schemes[0].regions[0].luminance is NaN"),
            "{refused}"
        );
        let mut slow = report();
        slow.timings_ms[1].1 = f64::INFINITY;
        let refused = to_json(&slow).unwrap_err().to_string();
        assert!(refused.contains("timings_ms.ground is inf"), "{refused}");
    }
}
