//! The data of a paint or a tint as fields: a film of thickness 1 over known cards, and what was measured there.

use super::observation::{Field, Seen};
use super::substrate::smoothest_spectrum;
use crate::colour::{Encoded, Lab, Linear, delta_e};
use crate::film::Film;
use crate::paint::Optics;
use crate::paints_file::{Cards, Given, MeasuredDrawdown, Pair};
use crate::spectrum::{BANDS, Spectrum, colour};
use crate::surface::Specular;

/// The fields of a paint or tint, and the convention of the measurement.
pub(super) fn fields(given: &Given, cards: &Cards) -> (Vec<Field>, Specular) {
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

/// The largest ΔE by which a film of 1 misses the measured colours.
pub(super) fn worst_miss(optics: &Optics, fields: &[Field], specular: Specular) -> f64 {
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
