//! Coats on a figure: which paint, how thick, and where on the relief.
//!
//! In: relief 0 (deep recess) … 1 (raised edge). Out: film thickness there. How a wash pools and what the words
//! `recesses`, `raised` and `upper` cover are our own models, invented, not measured.

use crate::colour::Linear;
use crate::film::Film;
use crate::paint::Optics;
use crate::spectrum::{BANDS, Spectrum, colour};
use crate::surface::Specular;

/// Where on the relief a coat is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Where {
    /// Everywhere.
    All,
    /// In the hollows: full film below relief 0.15, none above 0.45.
    Recesses,
    /// On edges and bulges: full film above relief 0.85, none below 0.55.
    Raised,
    /// Everywhere but the hollows: full film above relief 0.50, none below 0.25.
    Upper,
}

/// One coat on a figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Coat {
    /// K and S of the mix.
    pub optics: Optics,
    /// Thickness; 1 = as thick as the drawdown.
    pub film: f64,
    /// Where it is.
    pub place: Where,
    /// 0 is an even film, 1 a wash that runs off the raised parts into the recesses.
    pub pooling: f64,
}

impl Coat {
    /// Film thickness at a relief of 0…1.
    #[must_use]
    pub fn film_at(&self, relief: f64) -> f64 {
        let cover = match self.place {
            Where::All => 1.0,
            Where::Recesses => 1.0 - smooth_step(0.15, 0.45, relief),
            Where::Raised => smooth_step(0.55, 0.85, relief),
            Where::Upper => smooth_step(0.25, 0.50, relief),
        };
        // Three times as deep in the deepest hollow, nothing on the highest edge. If every relief is equally common, it is
        // as much paint in total as an even film: the integral of 3(1 − r)² over 0…1 is 1.
        let run_off = 3.0 * (1.0 - relief).powi(2);
        self.film * cover * (1.0 - self.pooling + self.pooling * run_off)
    }

    /// Whether the film is the same everywhere.
    #[must_use]
    pub fn is_even(&self) -> bool {
        self.place == Where::All && self.pooling <= 0.0
    }
}

/// All coats, lowest first, at one relief (0…1): one map per wavelength band.
#[must_use]
pub fn stack_at(coats: &[Coat], relief: f64) -> [Film; BANDS] {
    let mut stack = [Film::NONE; BANDS];
    for coat in coats {
        let films = coat.optics.film(coat.film_at(relief));
        for (below, film) in stack.iter_mut().zip(films) {
            *below = below.under(film);
        }
    }
    stack
}

/// Measured reflectance of a stack over a substrate of the given measured reflectance.
#[must_use]
pub fn reflectance(stack: &[Film; BANDS], substrate: &Spectrum, specular: Specular) -> Spectrum {
    std::array::from_fn(|band| {
        specular.measured(stack[band].over(specular.inside(substrate[band])))
    })
}

/// Dried colour of a stack over a flat grey.
#[must_use]
pub fn colour_over_grey(stack: &[Film; BANDS], grey: f64, specular: Specular) -> Linear {
    let inside = specular.inside(grey);
    let dried: Spectrum = std::array::from_fn(|band| specular.measured(stack[band].over(inside)));
    colour(&dried)
}

/// 0 below `from`, 1 above `to`, and a smooth cubic between them.
fn smooth_step(from: f64, to: f64, at: f64) -> f64 {
    let t = ((at - from) / (to - from)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn coat(place: Where, pooling: f64) -> Coat {
        Coat {
            optics: Optics {
                k: [1.0; BANDS],
                s: [0.2; BANDS],
            },
            film: 1.0,
            place,
            pooling,
        }
    }

    #[test]
    fn a_wash_keeps_its_amount_of_paint_and_gathers_in_the_recesses() {
        let wash = coat(Where::All, 1.0);
        let steps = 1000;
        let mean: f64 = (0..steps)
            .map(|i| wash.film_at((f64::from(i) + 0.5) / f64::from(steps)))
            .sum::<f64>()
            / f64::from(steps);
        assert!((mean - 1.0).abs() < 1e-5, "{mean}");
        assert!(wash.film_at(0.0) > wash.film_at(0.5) && wash.film_at(0.5) > wash.film_at(1.0));
    }

    #[test]
    fn the_words_for_places_mean_what_they_say() {
        let film = |place, relief| coat(place, 0.0).film_at(relief);
        assert!(film(Where::Recesses, 0.1) > 0.99 && film(Where::Recesses, 0.6) < 0.01);
        assert!(film(Where::Raised, 0.1) < 0.01 && film(Where::Raised, 0.9) > 0.99);
        assert!(film(Where::Upper, 0.1) < 0.01 && film(Where::Upper, 0.55) > 0.99);
    }

    #[test]
    fn medium_changes_no_grey_in_either_convention() {
        let medium = Coat {
            optics: Optics::MEDIUM,
            film: 2.0,
            place: Where::All,
            pooling: 0.0,
        };
        let stack = stack_at(&[medium.clone(), medium], 0.3);
        for specular in [Specular::Excluded, Specular::Included] {
            for grey in [0.0, 0.005, 0.03, 0.5, 0.95] {
                let Linear(rgb) = colour_over_grey(&stack, grey, specular);
                assert!(
                    (rgb[1] - grey).abs() < 1e-12,
                    "{specular:?} {grey}: {rgb:?}"
                );
            }
        }
    }
}
