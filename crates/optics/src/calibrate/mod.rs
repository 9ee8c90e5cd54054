//! From `paints.toml` to K and S: what each paint was given as, made into absorption and scattering per wavelength band.
//!
//! In: a paints file. Out: a [`PaintBox`], and a warning for every paint whose colours no film can have.

mod observation;
mod posterior;
mod prior;
mod substrate;
mod tint;

pub use substrate::smoothest_spectrum;

use nalgebra::DVector;

use crate::colour::{Encoded, Lab, Linear, delta_e};
use crate::diagnostic::Diagnostic;
use crate::film::Film;
use crate::paint::{Basis, Optics, Paint};
use crate::paints_file::{Cards, Given, MeasuredDrawdown, PaintEntry, PaintsFile, Pair};
use crate::spectrum::{BANDS, Spectrum, colour};
use crate::surface::Specular;
use observation::{Field, Seen};

/// Residual ΔE above which a fit is told to be the nearest only, not the colour given.
const TELL_ABOVE: f64 = 0.5;

/// All paints of a file with their K and S, and the convention that their colours are given in.
#[derive(Debug, Clone)]
pub struct PaintBox {
    /// Whether photo, cards and codes hold the surface's own reflection.
    pub specular: Specular,
    /// The paints in the order written.
    pub paints: Vec<Paint>,
}

impl PaintBox {
    /// The paint of a name.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<&Paint> {
        self.paints.iter().find(|paint| paint.name == name)
    }
}

/// Derives K and S of every paint.
///
/// Returns the paints, and a warning for each whose given colours are missed by more than ΔE 0.5.
#[must_use]
pub fn calibrate(file: &PaintsFile) -> (PaintBox, Vec<Diagnostic>) {
    let mut warnings = Vec::new();
    // First every paint on its own, then those with tints again beside their partners.
    let mut paints: Vec<Paint> = file
        .paints
        .iter()
        .map(|entry| calibrated(entry, &file.cards))
        .collect();
    let alone = paints.clone();
    for (paint, entry) in paints.iter_mut().zip(&file.paints) {
        use_tints(paint, entry, &file.cards, &alone);
    }
    let paints = paints
        .into_iter()
        .zip(&file.paints)
        .map(|(paint, entry)| {
            if paint.residual > TELL_ABOVE {
                let found = format!("no film has these two colours; the nearest misses them by ΔE {:.1}", paint.residual);
                warnings.push(
                    file.source
                        .error_at(&entry.name.at, found)
                        .as_warning()
                        .within(format!("paint \"{}\"", paint.name))
                        .expected("the colours of one and the same film over the two cards of [cards]")
                        .mend("photograph drawdown and bare cards together, in even light, and read the codes again"),
                );
            }
            paint
        })
        .collect();
    (
        PaintBox {
            specular: file.cards.specular,
            paints,
        },
        warnings,
    )
}

fn calibrated(entry: &PaintEntry, cards: &Cards) -> Paint {
    let (fields, specular) = fields(&entry.given, cards);
    let theta = posterior::most_likely(prior::paint_prior(), |theta| {
        observation::linearised(theta, &fields, specular)
    });
    let optics = optics_of(&theta);
    let (basis, residual) = match &entry.given {
        Given::Spectrum(_) => (Basis::Spectrum, 0.0),
        Given::Drawdown(_) => (Basis::Drawdown, worst_miss(&optics, &fields, specular)),
        Given::Chip { .. } => (Basis::Chip, worst_miss(&optics, &fields, specular)),
    };
    Paint {
        name: entry.name.value.clone(),
        owned: entry.owned,
        optics,
        strength: 1.0,
        basis,
        residual,
    }
}

/// Fits a paint again together with its tints; `alone` holds all paints as fitted without any.
fn use_tints(paint: &mut Paint, entry: &PaintEntry, cards: &Cards, alone: &[Paint]) {
    let tints: Vec<tint::Tint<'_>> = entry
        .tints
        .iter()
        .filter_map(|given| {
            let partner = alone.iter().find(|other| other.name == given.with.value)?;
            let (fields, specular) = fields(&given.given, cards);
            Some(tint::Tint {
                parts: given.parts,
                partner: &partner.optics,
                fields,
                specular,
            })
        })
        .collect();
    if tints.is_empty() {
        return;
    }
    let (fields, specular) = fields(&entry.given, cards);
    let theta = tint::with_tints(&fields, specular, &tints);
    paint.optics = optics_of(&theta);
    paint.strength = tint::strength(&theta);
    paint.basis = match paint.basis {
        Basis::Spectrum => Basis::SpectrumTint,
        Basis::Drawdown => Basis::DrawdownTint,
        other => other,
    };
    if paint.basis != Basis::SpectrumTint {
        paint.residual = worst_miss(&paint.optics, &fields, specular);
    }
}

fn fields(given: &Given, cards: &Cards) -> (Vec<Field>, Specular) {
    match given {
        Given::Drawdown(pair) => (drawdown_fields(pair, cards), cards.specular),
        Given::Spectrum(measured) => (spectrum_fields(measured, cards), measured.specular),
        Given::Chip {
            colour,
            contrast_ratio,
        } => (chip_fields(*colour, *contrast_ratio, cards), cards.specular),
    }
}

fn drawdown_fields(pair: &Pair, cards: &Cards) -> Vec<Field> {
    let field = |card: Encoded, code: Encoded| Field {
        card: smoothest_spectrum(card.linear()).map(|band| cards.specular.inside(band)),
        seen: Seen::Code(code),
    };
    vec![
        field(cards.black, pair.over_black),
        field(cards.white, pair.over_white),
    ]
}

fn spectrum_fields(measured: &MeasuredDrawdown, cards: &Cards) -> Vec<Field> {
    let card = |own: Option<Spectrum>, code: Encoded| {
        own.unwrap_or_else(|| smoothest_spectrum(code.linear()))
            .map(|band| measured.specular.inside(band).max(0.0))
    };
    let field = |card: Spectrum, seen: Spectrum| Field {
        card,
        seen: Seen::Spectrum(Box::new(seen)),
    };
    vec![
        field(card(measured.black_card, cards.black), measured.over_black),
        field(card(measured.white_card, cards.white), measured.over_white),
    ]
}

/// A chip becomes the drawdown it would have come from: its colour over white, and over black the same hue darkened
/// until the luminances have the stated ratio (ISO 6504-3). That the hue stays is an assumption.
fn chip_fields(colour: Encoded, contrast_ratio: f64, cards: &Cards) -> Vec<Field> {
    let over_black = Linear(colour.linear().0.map(|channel| channel * contrast_ratio)).encoded();
    drawdown_fields(
        &Pair {
            over_black,
            over_white: colour,
        },
        cards,
    )
}

fn optics_of(theta: &DVector<f64>) -> Optics {
    Optics {
        k: std::array::from_fn(|band| theta[band].exp()),
        s: std::array::from_fn(|band| theta[BANDS + band].exp()),
    }
}

/// The largest ΔE by which a film 1 misses what was seen of it.
fn worst_miss(optics: &Optics, fields: &[Field], specular: Specular) -> f64 {
    fields.iter().fold(0.0, |worst: f64, field| {
        let film: [Film; BANDS] = optics.film(1.0);
        let shown: Spectrum =
            std::array::from_fn(|band| specular.measured(film[band].over(field.card[band])));
        let seen: Lab = match &field.seen {
            Seen::Code(code) => code.lab(),
            Seen::Spectrum(measured) => colour(measured).lab(),
        };
        worst.max(delta_e(colour(&shown).lab(), seen))
    })
}
