//! The JSON form of mixes that come near a colour.

use std::collections::BTreeMap;

use serde::Serialize;
use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::optics::colour::{Encoded, Linear};
use velatura_pipeline::optics::trust::Trust;
use velatura_pipeline::scheme::matching::{BestAt, Component, HelpfulPaint, Match, Slip};
use velatura_pipeline::scheme::{MEDIUM, brush_coats, named_parts};
use velatura_report::rounded;

use super::mixes::MixesFound;
use super::read::Target;

/// The value of `format`.
const FORMAT: &str = "velatura-match/1";

/// The mixes, and how close these paints can come. Colours are 8-bit sRGB and CIELAB (D65, 4 decimals), distances ΔE (CIEDE2000).
#[derive(Debug, Clone, Serialize)]
pub struct MixesReport<'a> {
    format: &'static str,
    target: ColourReport,
    over: &'a str,
    films: &'a [f64],
    matches: Vec<MixReport<'a>>,
    thinned: bool,
    best_possible_delta_e: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    nearest_in_cielab: Option<MixReport<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    helpful_colour: Option<HelpfulReport>,
}

impl<'a> MixesReport<'a> {
    /// From what was found for a target over an undercoat, as it was written.
    #[must_use]
    pub fn new(over: &'a str, target: Target, found: &'a MixesFound, paints: &'a PaintBox) -> Self {
        let reach = &found.reach;
        Self {
            format: FORMAT,
            target: ColourReport::new(target.colour),
            over,
            films: &found.grid.films,
            matches: found
                .mixes
                .iter()
                .map(|(mix, best_at)| MixReport::new(mix, best_at, paints))
                .collect(),
            thinned: found.thinned,
            best_possible_delta_e: rounded(reach.best, 4),
            helpful_colour: reach.helpful.as_ref().map(HelpfulReport::new),
            nearest_in_cielab: reach
                .straight
                .as_ref()
                .map(|straight| MixReport::new(straight, &[], paints)),
        }
    }
}

#[derive(Debug, Clone, Serialize)]
struct ColourReport {
    srgb: Encoded,
    lab: [f64; 3],
}

impl ColourReport {
    fn new(colour: Linear) -> Self {
        Self {
            srgb: colour.encoded(),
            lab: colour.lab().0.map(|part| rounded(part, 4)),
        }
    }
}

#[derive(Debug, Clone, Serialize)]
struct MixReport<'a> {
    mix: BTreeMap<&'a str, u64>,
    film: f64,
    /// The film as a brush knows it.
    coats: String,
    srgb: Encoded,
    lab: [f64; 3],
    in_gamut: bool,
    delta_e: f64,
    best_at: Vec<&'static str>,
    #[serde(flatten)]
    trust: Trust,
    one_part_off: SlipsReport<'a>,
}

#[derive(Debug, Clone, Serialize)]
struct SlipsReport<'a> {
    worst: f64,
    each: Vec<SlipReport<'a>>,
}

#[derive(Debug, Clone, Serialize)]
struct SlipReport<'a> {
    of: &'a str,
    more: f64,
    less: Option<f64>,
}

#[derive(Debug, Clone, Serialize)]
struct HelpfulReport {
    over_white: Encoded,
    contrast_ratio: f64,
}

impl HelpfulReport {
    fn new(helpful: &HelpfulPaint) -> Self {
        Self {
            over_white: helpful.over_white.encoded(),
            contrast_ratio: rounded(helpful.contrast_ratio(), 3),
        }
    }
}

impl<'a> MixReport<'a> {
    fn new(found: &Match, best_at: &[BestAt], paints: &'a PaintBox) -> Self {
        let colour = found.colours[0];
        let ColourReport { srgb, lab } = ColourReport::new(colour);
        Self {
            mix: named_parts(&found.mix, paints)
                .map(|(name, parts)| (name, whole(parts)))
                .collect(),
            film: found.film,
            coats: brush_coats(found.film),
            srgb,
            lab,
            in_gamut: colour.in_gamut(),
            delta_e: rounded(found.delta_e, 4),
            best_at: best_at.iter().map(|one| one.words()).collect(),
            trust: found.trust,
            one_part_off: SlipsReport {
                worst: rounded(found.worst_slip(), 2),
                each: found
                    .slips
                    .iter()
                    .map(|slip| SlipReport::new(slip, paints))
                    .collect(),
            },
        }
    }
}

impl<'a> SlipReport<'a> {
    fn new(slip: &Slip, paints: &'a PaintBox) -> Self {
        Self {
            of: match slip.component {
                Component::Paint(index) => &paints.paints[index].name,
                Component::Medium => MEDIUM,
            },
            more: rounded(slip.more, 2),
            less: slip.less.map(|less| rounded(less, 2)),
        }
    }
}

/// Parts as a whole number: `3`, not `3.0`.
fn whole(parts: f64) -> u64 {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "parts of a grid are small whole numbers"
    )]
    let whole = parts.round() as u64;
    whole
}
