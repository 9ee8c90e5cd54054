//! `report.json` of a pair: everything that its page shows in numbers, for programs.
//!
//! In: plain values. Out: JSON text with keys in a fixed order and numbers rounded to their useful digits; the same pair gives
//! the same bytes. Not here: computing them.

use serde::Serialize;
use velatura_document::Diagnostic;

use super::figures::Sight;
use super::grade::Verdict;
use velatura_pipeline::Error;
use velatura_pipeline::optics::colour::Encoded;
use velatura_pipeline::scheme::apart::{ALIKE, APART, Cue, Grade, MUCH, SAME_DOMINANT};
use velatura_report::{Hundredths, LabMean, Ratio, json_text};

/// The value of the file's first key.
pub const PAIR_FORMAT: &str = "velatura-pair/1";

/// Everything in a pair's `report.json`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PairReport {
    /// What the numbers mean.
    pub verdict: Verdict,
    /// The two teams, in the order of the call.
    pub teams: [TeamReport; 2],
    /// How the pictures were scaled.
    pub scale: ScaleReport,
    /// Severity of protan, deutan and tritan vision, 0…1.
    pub severity: Ratio,
    /// The numbers by view: close up, then from near to far.
    pub views: Vec<ViewReport>,
    /// Warnings of both teams' files in their JSON form.
    pub warnings: Vec<Diagnostic>,
}

/// One team.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TeamReport {
    /// The figure's name.
    pub figure: String,
    /// The team's name; may be empty.
    pub team: String,
    /// The scheme's name.
    pub scheme: String,
    /// Height of the figure in mm, as its file says or by default.
    pub height_mm: f64,
    /// Figures in the team.
    pub count: u32,
    /// The undercoat in words.
    pub undercoat: String,
    /// The varnish.
    pub finish: String,
    /// Pixels of the photo per mm of the figure, from the height of its mask.
    pub photo_px_per_mm: Hundredths,
    /// The dominant colour close up, for normal vision.
    pub dominant: DominantReport,
    /// The regions, in the order of the figure's file.
    pub regions: Vec<PartReport>,
}

/// A team's dominant colour.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DominantReport {
    /// The regions that make it, the largest first.
    pub regions: Vec<String>,
    /// Their share of the figure, 0…1.
    pub share: Ratio,
    /// The mean of their light, encoded.
    pub srgb: Encoded,
    /// The same in Lab.
    pub lab: LabMean,
    /// The same as luminance Y, 0…1.
    pub luminance: Ratio,
}

/// One region close up.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartReport {
    /// Its name.
    pub name: String,
    /// Its share of the figure, 0…1.
    pub share: Ratio,
    /// The mean of its light, encoded.
    pub mean_srgb: Encoded,
    /// The same in Lab.
    pub mean_lab: LabMean,
    /// The same as luminance Y, 0…1.
    pub luminance: Ratio,
    /// Its basis.
    pub basis: String,
}

/// How the pictures were scaled.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ScaleReport {
    /// Pixels per mm of the close-up, for both teams.
    pub close_up_px_per_mm: Hundredths,
    /// The screen's pixels per inch.
    pub screen_ppi: f64,
    /// Distance of the eyes from the screen in mm.
    pub screen_distance_mm: Hundredths,
}

/// The numbers of one view.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ViewReport {
    /// From how far away; `null` close up.
    pub distance_mm: Option<f64>,
    /// One arc-minute at that distance: full width at half height of the blur, in mm of the figure.
    pub blur_mm: Option<Hundredths>,
    /// How large the figures are shown, as a share of their true visual size, if they would be wider than the page; not
    /// written otherwise.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub true_size_share: Option<Ratio>,
    /// By colour vision: normal, grey, protan, deutan, tritan, then the second opinions.
    pub eyes: Vec<EyeReport>,
}

/// The numbers of one view for one kind of colour vision.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EyeReport {
    #[serde(skip)]
    pub(crate) sight: Sight,
    /// `normal`, `grey`, `protan`, `deutan`, `tritan`, `protan (1999)` or `deutan (1999)`.
    pub eye: String,
    /// How far all colours of the two teams are apart: the earth mover's distance in CIELAB between their distributions, by area.
    pub distance: Hundredths,
    /// The same for a\* and b\* alone.
    pub distance_hue_and_chroma: Hundredths,
    /// The same for L\* alone.
    pub distance_lightness: Hundredths,
    /// Whether both teams have nearly the same dominant colour on much of the figure: easily confused at best.
    pub same_dominant: bool,
    /// The two dominant colours in this kind of colour vision.
    pub dominant_srgb: [Encoded; 2],
    /// CIEDE2000 between the dominant colours.
    pub delta_e: Hundredths,
    /// CIEDE2000 between them at equal lightness.
    pub hue_and_chroma: Hundredths,
    /// L\* of the second less L\* of the first.
    pub lightness_difference: Hundredths,
    /// Michelson contrast of their luminances, 0…1.
    pub michelson: Ratio,
    /// The grade of these numbers.
    pub grade: Grade,
    /// The reasons for the grade.
    pub by: Vec<Cue>,
    /// The nearest regions of the two teams, nearest first.
    pub nearest: Vec<NearReport>,
    /// The two regions that are most likely mistaken for each other, if any are.
    pub mix_up: Option<NearReport>,
}

/// Two regions, one of each team.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NearReport {
    /// Region of the first team.
    pub first: String,
    /// Region of the second team.
    pub second: String,
    /// CIEDE2000 between them.
    pub delta_e: Hundredths,
    /// The share of the figure that both cover, 0…1: the smaller of the two.
    pub share: Ratio,
}

#[derive(Serialize)]
struct Document<'a> {
    format: &'static str,
    velatura: &'static str,
    thresholds: Thresholds,
    #[serde(flatten)]
    report: &'a PairReport,
}

/// The thresholds of the verdict.
#[derive(Serialize)]
struct Thresholds {
    note: &'static str,
    apart: f64,
    alike: f64,
    same_dominant_delta_e: f64,
    same_dominant_share: f64,
}

/// The file's text: indented, ending with a line break.
///
/// # Errors
/// [`Error::Machine`] if a number is infinite or NaN.
pub fn pair_to_json(report: &PairReport) -> Result<String, Error> {
    let document = Document {
        format: PAIR_FORMAT,
        velatura: env!("CARGO_PKG_VERSION"),
        thresholds: Thresholds {
            note: "not measured on people; chosen on constructed pairs; distance of the colours in CIELAB",
            apart: APART,
            alike: ALIKE,
            same_dominant_delta_e: SAME_DOMINANT,
            same_dominant_share: MUCH,
        },
        report,
    };
    json_text(&document)
}
