//! The dried colour of even coats over an undercoat with a known colour or spectrum.
//!
//! In: mixes of a box with their films, lowest first; the undercoat. Out: linear sRGB in the undercoat's convention, and its
//! basis. Not here: coats on a figure, whose film depends on relief (`resolve.rs`).

use velatura_optics::calibrate::{PaintBox, smoothest_spectrum};
use velatura_optics::colour::Linear;
use velatura_optics::film::Film;
use velatura_optics::mixture::Mix;
use velatura_optics::spectrum::{BANDS, Spectrum, colour, rgb_weights};
use velatura_optics::surface::Specular;
use velatura_optics::trust::Trust;

/// A channel of an undercoat's spectrum that is off by less than this (linear) counts as exact.
const MISSED_ABOVE: f64 = 1e-9;

/// The undercoat below the coats.
#[derive(Debug, Clone, PartialEq)]
pub struct Substrate {
    specular: Specular,
    /// Reflectance below the surface, per wavelength band.
    inside: Spectrum,
    /// The part of the colour that the spectrum cannot have: no reflectance of 0…1 reaches the most saturated codes, or black.
    missed: Option<[f64; 3]>,
}

impl Substrate {
    /// An undercoat with a known colour, in the convention of the cards.
    #[must_use]
    pub fn of_colour(known: Linear, specular: Specular) -> Self {
        let reflectance = smoothest_spectrum(known);
        let Linear(shown) = colour(&reflectance);
        let missed: [f64; 3] = std::array::from_fn(|channel| known.0[channel] - shown[channel]);
        Self {
            missed: missed
                .iter()
                .any(|part| part.abs() > MISSED_ABOVE)
                .then_some(missed),
            ..Self::measured(&reflectance, specular)
        }
    }

    /// An undercoat with a measured reflectance (0…1).
    #[must_use]
    pub fn measured(reflectance: &Spectrum, specular: Specular) -> Self {
        Self {
            specular,
            inside: reflectance.map(|part| specular.inside(part)),
            missed: None,
        }
    }

    /// Whether its reflectance shows its whole colour, as all but the most saturated do.
    pub(crate) fn is_whole(&self) -> bool {
        self.missed.is_none()
    }

    /// Its reflectance below the surface, per wavelength band.
    pub(crate) fn inside(&self) -> &Spectrum {
        &self.inside
    }

    /// The convention of this colour and of all coats over it.
    #[must_use]
    pub fn specular(&self) -> Specular {
        self.specular
    }

    /// Colour of a stack of films over it. No film, and clear medium, show its own colour.
    #[must_use]
    pub fn seen_through(&self, stack: &[Film; BANDS]) -> Linear {
        let seen: Spectrum =
            std::array::from_fn(|band| self.specular.measured(stack[band].over(self.inside[band])));
        let Linear(mut rgb) = colour(&seen);
        if let Some(missed) = self.missed {
            let passed = self.passed(stack);
            for channel in 0..3 {
                rgb[channel] += missed[channel] * passed[channel];
            }
        }
        Linear(rgb)
    }

    /// How much of a small change of the undercoat is seen through the stack, per channel: 1 for no paint, 0 for an
    /// opaque one.
    fn passed(&self, stack: &[Film; BANDS]) -> [f64; 3] {
        const STEP: f64 = 1e-6;
        let mut passed = [0.0; 3];
        for (band, weights) in rgb_weights().iter().enumerate() {
            let change = |film: Film| {
                let at = |inside: f64| self.specular.measured(film.over(inside));
                at(self.inside[band] + STEP) - at(self.inside[band])
            };
            let share = change(stack[band]) / change(Film::NONE);
            for (sum, weight) in passed.iter_mut().zip(weights) {
                *sum += share * weight;
            }
        }
        passed
    }
}

/// One even coat: a mix, and its thickness.
#[derive(Debug, Clone, PartialEq)]
pub struct EvenCoat {
    /// Paints and medium.
    pub mix: Mix,
    /// Thickness; 1 = as thick as the drawdown.
    pub film: f64,
}

/// A computed colour, and how far to trust it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Predicted {
    /// Linear sRGB in the undercoat's convention.
    pub colour: Linear,
    /// Its basis, and the usual error of such colours.
    pub trust: Trust,
}

/// The dried colour of coats, lowest first.
///
/// # Panics
/// If a mix names a paint that is not in the box.
#[must_use]
pub fn predicted(paints: &PaintBox, coats: &[EvenCoat], substrate: &Substrate) -> Predicted {
    let mut stack = [Film::NONE; BANDS];
    for coat in coats {
        let films = paints.mixed(&coat.mix).film(coat.film);
        for (below, film) in stack.iter_mut().zip(films) {
            *below = below.under(film);
        }
    }
    Predicted {
        colour: substrate.seen_through(&stack),
        trust: Trust::weakest(coats.iter().map(|coat| paints.trust(&coat.mix))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use velatura_optics::colour::Encoded;
    use velatura_optics::paint::Optics;

    #[test]
    fn medium_gives_every_undercoat_back_even_black_and_the_most_saturated() {
        let medium = Optics::MEDIUM.film(1.7);
        for hex in [
            "#000000", "#010203", "#ff0000", "#00ff00", "#0000ff", "#ffff00", "#ffffff", "#7a5b2c",
        ] {
            let code: Encoded = hex.parse().unwrap();
            for specular in [Specular::Excluded, Specular::Included] {
                let shown = Substrate::of_colour(code.linear(), specular).seen_through(&medium);
                for (given, shown) in code.linear().0.iter().zip(shown.0) {
                    assert!((given - shown).abs() < 1e-9, "{hex} {specular:?}");
                }
            }
        }
    }

    #[test]
    fn an_opaque_film_hides_what_no_spectrum_could_show() {
        let opaque = Optics {
            k: [1.0; BANDS],
            s: [40.0; BANDS],
        }
        .film(5.0);
        let over = |hex: &str| {
            let code: Encoded = hex.parse().unwrap();
            Substrate::of_colour(code.linear(), Specular::Excluded).seen_through(&opaque)
        };
        for (red, black) in over("#ff0000").0.iter().zip(over("#000000").0) {
            assert!((red - black).abs() < 1e-6, "{red} {black}");
        }
    }
}
