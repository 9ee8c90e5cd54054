//! What is known of each paint, and what it lacks to be trusted more.
//!
//! In: a paints file and the paints calibrated from it. Out: one report per paint, in the order of the file. Colours are
//! in the file's own convention. Not here: how a masstone, an undertone or a contrast ratio is computed (`hiding.rs`).

use serde::Serialize;

use crate::calibrate::PaintBox;
use crate::colour::{Encoded, Linear};
use crate::hiding::{UNDERTONE_FILM, given_contrast_ratio, masstone, opacity_word, undertone};
use crate::paint::{Basis, Paint};
use crate::paints_file::{Given, PaintEntry, PaintsFile};

/// ΔE by which a fitted film may miss the given colours without a remark.
const REPORT_ABOVE: f64 = 0.5;

/// One paint.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PaintReport {
    /// Its name.
    pub name: String,
    /// Whether the painter has it.
    pub owned: bool,
    /// Whether it glints like metal, which no colour here shows.
    pub metallic: bool,
    /// What it is known from.
    pub basis: Basis,
    /// Its colour so thick that nothing below shows.
    pub masstone: Swatch,
    /// The colour of a thin film of it over the white card.
    pub undertone: Swatch,
    /// How thick that film is; 1 = the drawdown.
    pub undertone_film: f64,
    /// Y over black divided by Y over white (ISO 6504-3).
    pub contrast_ratio: f64,
    /// What the ratio was computed from.
    pub contrast_ratio_from: RatioFrom,
    /// The painter's word nearest to it.
    pub opacity: &'static str,
    /// ΔE by which the fitted film misses the given colours; 0 for spectra.
    pub delta_e_to_given: f64,
    /// What would make it more trustworthy: each continues a sentence that begins with its name. Empty: nothing.
    pub lacks: Vec<String>,
}

/// A colour for people and programs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Swatch {
    /// The nearest code.
    pub srgb: Encoded,
    /// CIELAB, not clipped.
    pub lab: [f64; 3],
    /// Whether the code shows it without clipping.
    pub in_gamut: bool,
}

/// What a contrast ratio was computed from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum RatioFrom {
    /// The codes of the drawdown.
    Codes,
    /// The spectra of the drawdown.
    Spectra,
    /// The painter's own word or number for a chip.
    Stated,
}

impl Swatch {
    fn of(colour: Linear) -> Self {
        Self {
            srgb: colour.encoded(),
            lab: colour.lab().0,
            in_gamut: colour.in_gamut(),
        }
    }
}

/// Reports every paint of a file; `paints` is what [`calibrate`](crate::calibrate::calibrate) made of it.
#[must_use]
pub fn paint_reports(file: &PaintsFile, paints: &PaintBox) -> Vec<PaintReport> {
    file.paints
        .iter()
        .zip(&paints.paints)
        .map(|(entry, paint)| {
            let contrast_ratio = given_contrast_ratio(&entry.given);
            let white = entry.cards.white;
            PaintReport {
                name: paint.name.clone(),
                owned: paint.owned,
                metallic: paint.metallic,
                basis: paint.basis,
                masstone: Swatch::of(masstone(&paint.optics, paints.cards.specular)),
                undertone: Swatch::of(undertone(&paint.optics, white, paints.cards.specular)),
                undertone_film: UNDERTONE_FILM,
                contrast_ratio,
                contrast_ratio_from: match entry.given {
                    Given::Drawdown(_) => RatioFrom::Codes,
                    Given::Spectrum(_) => RatioFrom::Spectra,
                    Given::Chip { .. } => RatioFrom::Stated,
                },
                opacity: opacity_word(contrast_ratio),
                delta_e_to_given: paint.residual,
                lacks: lacks(file, entry, paint),
            }
        })
        .collect()
}

fn lacks(file: &PaintsFile, entry: &PaintEntry, paint: &Paint) -> Vec<String> {
    let mut lacks = Vec::new();
    match &entry.given {
        Given::Chip { .. } => lacks.push(
            "is known only from a chip: brush a drawdown over black and white to make it reliable"
                .to_owned(),
        ),
        Given::Drawdown(_) => {}
        Given::Spectrum(measured) => {
            let (start, end) = (measured.wavelengths.start_nm, measured.wavelengths.end_nm());
            if start > 400.0 || end < 700.0 {
                lacks.push(format!(
                    "has spectra only from {start} to {end} nm: beyond that, the last value is used"
                ));
            }
            if measured.black_card.is_none() || measured.white_card.is_none() {
                lacks.push(
                    "has spectra, but its cards have none: they are guessed from the colours in [cards]"
                        .to_owned(),
                );
            }
        }
    }
    // A paint that others are tinted with is the measure of their strength, and needs no tint itself.
    let is_partner = file.paints.iter().any(|other| {
        other
            .tints
            .iter()
            .any(|tint| tint.with.value == entry.name.value)
    });
    let is_chip = matches!(entry.given, Given::Chip { .. });
    if entry.tints.is_empty() && !is_partner && !is_chip {
        lacks.push("has no tint: its strength in a mix is a guess".to_owned());
    }
    if paint.metallic {
        lacks.push("is metallic: its colours here have no glint".to_owned());
    }
    if paint.residual > REPORT_ABOVE {
        lacks.push(format!(
            "has colours that no film can have over these cards (closest ΔE {:.1}): photograph drawdown and cards together",
            paint.residual
        ));
    }
    lacks
}
