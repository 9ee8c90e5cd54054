//! The result of reading a card: the colour of every drawdown, the light, and the position of the card.

use serde::Serialize;
use velatura_optics::colour::{Encoded, Linear};

use super::chart::ChartReport;
use super::layout_file::FieldEntry;

/// The result of reading a card.
#[derive(Debug, Clone)]
pub struct CardReading {
    /// Every drawdown, in the order of the layout.
    pub fields: Vec<FieldReading>,
    /// The light on the card.
    pub light: LightReport,
    /// The correction by the chart, if there is one.
    pub chart: Option<ChartReport>,
    /// The corners of the card in pixels of the upright photo, clockwise from the card's upper left.
    pub corners_px: [[f64; 2]; 4],
    /// How the corners are known.
    pub marks: MarksFrom,
}

/// How the corners are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum MarksFrom {
    /// The marks were found.
    Found,
    /// The layout gives them.
    Given,
}

/// The light on a card.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LightReport {
    /// Darkest light on any place as a share of the brightest, 0…1 (luminance).
    pub evenness: f64,
    /// Light that the photo shows where there is none (flare, haze), as a share of the bare white's.
    pub veil: f64,
    /// How far bare places are off the fitted light, as a share of the card's white: the median.
    pub residual: f64,
    /// Luminance of bare white in the photo, 0…1: the median.
    pub white_tone: f64,
    /// Width of the edge between black and white, 10 % to 90 %, in mm; missing if the strips do not touch.
    pub edge_mm: Option<f64>,
}

/// One drawdown.
#[derive(Debug, Clone)]
pub struct FieldReading {
    /// Which one.
    pub entry: FieldEntry,
    /// Over the black strip.
    pub over_black: FieldColour,
    /// Over the white strip.
    pub over_white: FieldColour,
}

/// The colour of a place on one strip.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FieldColour {
    /// The nearest code.
    pub srgb: Encoded,
    /// L\*, a\*, b\* (D65) before clipping to sRGB.
    pub lab: [f64; 3],
    /// Whether it is inside sRGB.
    pub in_gamut: bool,
    /// ΔE of the place's blocks from this colour: the median. Streaks and uneven films make it large.
    pub spread: f64,
    /// Share of the pixels left out as outliers.
    pub left_out: f64,
    /// Share of the pixels with glare, far above the rest.
    pub glare: f64,
    /// Share of the pixels with a channel at the photo's upper end.
    pub clipped: f64,
    /// Share of the pixels with a channel at 0.
    pub drowned: f64,
    /// Linear sRGB.
    #[serde(skip)]
    pub linear: Linear,
}
