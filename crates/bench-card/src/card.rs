//! What is on a bench card. No layout, no optics.

use serde::Serialize;
use velatura_pipeline::optics::colour::Encoded;

/// One scheme as a page to paint from.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct BenchCard {
    /// The figure's name.
    pub figure: String,
    /// The scheme's name.
    pub scheme: String,
    /// The team that wears it; may be empty.
    pub team: String,
    /// How many figures are to be painted.
    pub count: u32,
    /// What is painted first.
    pub undercoat: Undercoating,
    /// Every part of the figure, in the figure file's order.
    pub parts: Vec<NumberedPart>,
    /// The coats in painting order.
    pub coats: Vec<CoatStep>,
    /// How the coats are ordered, in a sentence.
    pub order: String,
    /// How to let coats dry.
    pub drying: String,
    /// Slips of the brush that would show most, the worst first.
    pub spills: Vec<SpillNote>,
    /// How to correct a slip.
    pub fix: String,
    /// The last coat, in a sentence.
    pub varnish: String,
    /// Paints and medium that all coats need together.
    pub needs: Vec<Need>,
    /// The figure file's own steps.
    pub own_steps: Vec<String>,
    /// Time with the brush in the hand.
    pub minutes: Minutes,
    /// What the amounts and minutes are based on, in sentences.
    pub basis: Vec<String>,
    /// What can hurt, in sentences.
    pub cautions: Vec<String>,
    /// PNG of the painted figure with the numbers of its parts.
    #[serde(skip)]
    pub thumbnail_png: Vec<u8>,
    /// The same picture's size in pixels, and its samples, 8-bit sRGB.
    #[serde(skip)]
    pub(crate) thumbnail: image::RgbImage,
}

/// The undercoat and how to lay it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Undercoating {
    /// Its name.
    pub name: String,
    /// One sentence per step.
    pub steps: Vec<String>,
}

/// A part and its number in the picture.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NumberedPart {
    /// From 1, in the figure file's order.
    pub number: usize,
    /// Its name.
    pub name: String,
    /// Whether the scheme paints it.
    pub painted: bool,
    /// Whether the photo shows any of it.
    pub visible: bool,
}

/// One coat on one part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CoatStep {
    /// The number of the part.
    pub part: usize,
    /// Its name.
    pub name: String,
    /// What to mix, medium last.
    pub mix: Vec<Measure>,
    /// Film, 1 = as thick as the drawdown.
    pub film: f64,
    /// The same as a brush knows it: "two thin coats".
    pub coats: String,
    /// Where it goes, and what stays free of it.
    pub place: BareWhere,
    /// Whether to let it run into the recesses, as a sentence; empty for an even coat.
    pub pooling: String,
    /// Colour after this coat over the part's dark, middle and bright undercoat.
    pub dried: [Encoded; 3],
    /// The earlier step that mixes this paint, counted from 1; without one it is mixed in this step, and `mix` has the drops.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mix_of_step: Option<usize>,
    /// Later steps that use this mix again; the drops are enough for all of them.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub also_for_steps: Vec<usize>,
    /// Volume that the coat needs for all figures, in ml.
    pub needed_ml: f64,
    /// Volume that the drops make, in ml; 0 if an earlier step mixed it.
    pub made_ml: f64,
}

/// A part of a mix.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Measure {
    /// The paint, or "medium".
    pub paint: String,
    /// Parts by volume.
    pub parts: f64,
    /// Whole drops for all figures; 0 if an earlier step mixed it.
    pub drops: u32,
    /// Whether the painter has it.
    pub owned: bool,
}

/// Where a coat goes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BareWhere {
    /// Where it goes.
    pub paint: String,
    /// What stays free of it; empty if nothing does.
    pub leave_bare: String,
}

/// Paint of one part on another.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SpillNote {
    /// The part whose paint runs.
    pub from: String,
    /// The part that it runs onto.
    pub onto: String,
    /// CIEDE2000 between the intended and the actual colour there.
    pub delta_e: f64,
}

/// A paint that the scheme needs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Need {
    /// The paint, or "medium".
    pub paint: String,
    /// Drops for all figures and coats.
    pub drops: u32,
    /// The same in ml.
    pub ml: f64,
    /// Whether the painter has it.
    pub owned: bool,
}

/// Time with the brush in the hand, not counting drying.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Minutes {
    /// For one figure.
    pub figure: f64,
    /// For all of them.
    pub team: f64,
}
