//! The answers of `velatura match` as JSON.

use std::collections::BTreeMap;

use serde::Serialize;
use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::optics::colour::{Encoded, Linear};
use velatura_pipeline::optics::trust::Trust;
use velatura_pipeline::scheme::matching::{BestAt, Component, HelpfulPaint, Match as Found, Slip};
use velatura_pipeline::scheme::{MEDIUM, brush_coats, named_parts};

use crate::messages::rounded;

#[derive(Serialize)]
pub(super) struct ResultJson<'a> {
    pub(super) format: &'static str,
    pub(super) target: ColourJson,
    pub(super) over: &'a str,
    pub(super) films: &'a [f64],
    pub(super) matches: Vec<MatchJson<'a>>,
    pub(super) thinned: bool,
    pub(super) best_possible_delta_e: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) nearest_in_cielab: Option<MatchJson<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) helpful_colour: Option<HelpfulJson>,
}

#[derive(Serialize)]
pub(super) struct ColourJson {
    srgb: Encoded,
    lab: [f64; 3],
}

impl ColourJson {
    pub(super) fn new(colour: Linear) -> Self {
        Self {
            srgb: colour.encoded(),
            lab: colour.lab().0.map(|part| rounded(part, 4)),
        }
    }
}

#[derive(Serialize)]
pub(super) struct MatchJson<'a> {
    mix: BTreeMap<&'a str, serde_json::Number>,
    film: f64,
    coats: String,
    srgb: Encoded,
    lab: [f64; 3],
    in_gamut: bool,
    delta_e: f64,
    best_at: Vec<&'static str>,
    #[serde(flatten)]
    trust: Trust,
    one_part_off: SlipsJson<'a>,
}

#[derive(Serialize)]
pub(super) struct SlipsJson<'a> {
    worst: f64,
    each: Vec<SlipJson<'a>>,
}

#[derive(Serialize)]
pub(super) struct SlipJson<'a> {
    of: &'a str,
    more: f64,
    less: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct HelpfulJson {
    over_white: Encoded,
    contrast_ratio: f64,
}

impl HelpfulJson {
    pub(super) fn new(helpful: &HelpfulPaint) -> Self {
        Self {
            over_white: helpful.over_white.encoded(),
            contrast_ratio: rounded(helpful.contrast_ratio(), 3),
        }
    }
}

impl<'a> MatchJson<'a> {
    pub(super) fn new(found: &Found, best_at: &[BestAt], paints: &'a PaintBox) -> Self {
        let colour = found.colours[0];
        let ColourJson { srgb, lab } = ColourJson::new(colour);
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
            one_part_off: SlipsJson {
                worst: rounded(found.worst_slip(), 2),
                each: found
                    .slips
                    .iter()
                    .map(|slip| SlipJson::new(slip, paints))
                    .collect(),
            },
        }
    }
}

impl<'a> SlipJson<'a> {
    pub(super) fn new(slip: &Slip, paints: &'a PaintBox) -> Self {
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
fn whole(parts: f64) -> serde_json::Number {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "parts of a grid are small whole numbers"
    )]
    let whole = parts.round() as u64;
    whole.into()
}
