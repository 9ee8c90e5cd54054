//! Coats on a figure: which paint, how thick, and where on the relief.
//!
//! In: a number of the relief plane, 0 (deep recess) … 1 (ridge of an edge). Out: film thickness there. How a wash pools and
//! what the words `recesses`, `raised`, `upper` and `edges` cover are our own models, invented, not measured.

use crate::colour::Linear;
use crate::film::Film;
use crate::paint::Optics;
use crate::relief::{EDGE_REACH_MM, Relief};
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
    /// On the ridges of edges alone, in a line as wide as [`Coat::width_mm`]; it thins towards its borders.
    Edges,
}

/// The narrowest and the widest line along an edge, in millimetres on the figure: the widest ends where the plane's distances do.
pub const EDGE_WIDTHS_MM: [f64; 2] = [0.1, EDGE_REACH_MM];
/// The usual line along an edge, in millimetres on the figure (common practice, no source).
pub const USUAL_EDGE_MM: f64 = 0.3;

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
    /// Width of the line along an edge in millimetres, between the places where half of the film is; only for [`Where::Edges`].
    pub width_mm: f64,
}

impl Coat {
    /// An even coat over everything.
    #[must_use]
    pub fn even(optics: Optics, film: f64) -> Self {
        Self {
            optics,
            film,
            place: Where::All,
            pooling: 0.0,
            width_mm: USUAL_EDGE_MM,
        }
    }

    /// Film thickness at a number of the relief plane, 0…1.
    #[must_use]
    pub fn film_at(&self, relief: f64) -> f64 {
        let Relief {
            height: relief,
            to_ridge_mm,
        } = Relief::of(relief);
        let cover = match self.place {
            Where::All => 1.0,
            Where::Recesses => 1.0 - smooth_step(0.15, 0.45, relief),
            Where::Raised => smooth_step(0.55, 0.85, relief),
            Where::Upper => smooth_step(0.25, 0.50, relief),
            Where::Edges => 1.0 - smooth_step(0.0, self.width_mm, to_ridge_mm),
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

/// All coats, lowest first, at one number of the relief plane (0…1): one map per wavelength band.
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
#[allow(clippy::cast_possible_truncation, reason = "places on a scale of 0…1")]
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
            width_mm: USUAL_EDGE_MM,
        }
    }

    #[test]
    fn a_wash_keeps_its_amount_of_paint_and_gathers_in_the_recesses() {
        let wash = coat(Where::All, 1.0);
        let steps = 1000;
        let mean: f64 = (0..steps)
            .map(|i| (f64::from(i) + 0.5) / f64::from(steps))
            .map(|relief| wash.film_at(Relief::number(relief as f32, 0.0).into()))
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
    fn an_edge_is_a_line_as_wide_as_it_says() {
        for width_mm in EDGE_WIDTHS_MM {
            let line = Coat {
                width_mm,
                ..coat(Where::Edges, 0.0)
            };
            let at = |mm: f64| {
                let near = 1.0 - mm / EDGE_REACH_MM;
                line.film_at(Relief::number(1.0, near as f32).into())
            };
            assert!((at(0.0) - 1.0).abs() < 1e-6, "{}", at(0.0));
            assert!(
                (at(width_mm / 2.0) - 0.5).abs() < 1e-3,
                "{}",
                at(width_mm / 2.0)
            );
            assert!(at(width_mm) < 1e-3, "{}", at(width_mm));
            // Raised, but no edge.
            assert!(line.film_at(Relief::number(1.0, 0.0).into()) < 1e-12);
        }
    }

    #[test]
    fn medium_changes_no_grey_in_either_convention() {
        let medium = Coat::even(Optics::MEDIUM, 2.0);
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
