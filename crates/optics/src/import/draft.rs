//! The content of `paints.toml`: cards, paints and tints with the numbers as measured.

use crate::colour::Encoded;
use crate::import::names::Hiding;
use crate::paints_file::{Pair, Unit, Wavelengths};
use crate::surface::Specular;

/// The file.
#[derive(Debug)]
pub(super) struct Draft {
    pub(super) cards: CardsDraft,
    pub(super) paints: Vec<PaintDraft>,
}

/// `[cards]`.
#[derive(Debug)]
pub(super) struct CardsDraft {
    pub(super) black: Encoded,
    pub(super) white: Encoded,
    pub(super) specular: Option<Specular>,
    pub(super) from: CardsFrom,
}

/// Where the cards' colours come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum CardsFrom {
    /// Spectra of the bare cards.
    Measured,
    /// Colour codes, in the files or in the options.
    Given,
    /// Assumed, because there are only chips, which have no card.
    Assumed,
}

/// One `[[paint]]`.
#[derive(Debug)]
pub(super) struct PaintDraft {
    pub(super) name: String,
    pub(super) given: GivenDraft,
    pub(super) tints: Vec<TintDraft>,
}

/// One `[[paint.tint]]`.
#[derive(Debug)]
pub(super) struct TintDraft {
    pub(super) with: String,
    pub(super) parts: [f64; 2],
    pub(super) given: GivenDraft,
}

/// The data of a paint or a tint.
#[derive(Debug)]
pub(super) enum GivenDraft {
    Codes(Pair),
    Spectra(SpectraDraft),
    Chip(Encoded, Hiding),
}

/// `[paint.spectrum]`, numbers as written.
#[derive(Debug)]
pub(super) struct SpectraDraft {
    pub(super) wavelengths: Wavelengths,
    pub(super) unit: Unit,
    pub(super) specular: Specular,
    pub(super) over_black: Vec<f64>,
    pub(super) over_white: Vec<f64>,
    /// The bare black and white card, if they were measured.
    pub(super) cards: Option<[Vec<f64>; 2]>,
}
