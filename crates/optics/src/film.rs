//! One coat of paint over a substrate, one wavelength band at a time: Kubelka–Munk with a finite film.
//!
//! In: K and S per unit of film, film ≥ 0 (1 = the drawdown's), substrate reflectance inside the film's surface.
//! Out: reflectance, also inside. A coat is a fractional-linear map, so a stack of coats is a product of 2 × 2 matrices.
//! Source: Kubelka 1948, J. Opt. Soc. Am. 38:448. Not here: the surface (`surface.rs`), mixing (`mixture.rs`), where a film is thicker (`coat.rs`).

use crate::surface::{K1, K2, Specular};

/// What a film does to the reflectance below it, in one band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Film {
    m: [[f64; 2]; 2],
}

impl Film {
    /// No film at all.
    pub const NONE: Self = Self {
        m: [[1.0, 0.0], [0.0, 1.0]],
    };

    /// A film of absorption `k` and scattering `s` (each ≥ 0, per unit of film) and thickness `film` ≥ 0.
    #[must_use]
    pub fn new(k: f64, s: f64, film: f64) -> Self {
        let root = (k * (k + 2.0 * s)).sqrt();
        let decay = 2.0 * root * film;
        let e = libm::exp(-decay);
        // (1 − E)/k; its limit for a film that absorbs nothing is 2x.
        let g = if decay < 1e-9 {
            2.0 * film
        } else {
            -libm::expm1(-decay) / root
        };
        Self {
            m: [
                [1.0 + e - (s + k) * g, s * g],
                [-s * g, 1.0 + e + (s + k) * g],
            ],
        }
        .scaled()
    }

    /// This film with another one on top.
    #[must_use]
    pub fn under(self, upper: Self) -> Self {
        let [[a, b], [c, d]] = upper.m;
        let [[e, f], [g, h]] = self.m;
        Self {
            m: [
                [a * e + b * g, a * f + b * h],
                [c * e + d * g, c * f + d * h],
            ],
        }
        .scaled()
    }

    /// Reflectance over a substrate of the given reflectance.
    #[must_use]
    pub fn over(&self, substrate: f64) -> f64 {
        (self.m[0][0] * substrate + self.m[0][1]) / (self.m[1][0] * substrate + self.m[1][1])
    }

    /// The entries of the map: its numerator's factor and constant, then its denominator's.
    pub(crate) fn entries(&self) -> [[f64; 2]; 2] {
        self.m
    }

    /// This film seen from outside: the map from the reflectance below it, inside, to the measured one.
    /// The surface has the same fractional-linear form as a film.
    #[must_use]
    pub fn seen(self, specular: Specular) -> Self {
        let (passed, surface) = ((1.0 - K1) * (1.0 - K2), specular.measured(0.0));
        let outside = Self {
            m: [[passed - surface * K2, surface], [-K2, 1.0]],
        };
        self.under(outside)
    }

    /// The same map with its last entry 1, so that long stacks neither overflow nor vanish.
    fn scaled(self) -> Self {
        let by = 1.0 / self.m[1][1];
        Self {
            m: self.m.map(|row| row.map(|entry| entry * by)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Kubelka's hyperbolic form, written out independently of the matrix.
    fn kubelka(k: f64, s: f64, x: f64, substrate: f64) -> f64 {
        let a = (s + k) / s;
        let b = (a * a - 1.0).sqrt();
        let coth = 1.0 / libm::tanh(b * s * x);
        (1.0 - substrate * (a - b * coth)) / (a - substrate + b * coth)
    }

    #[test]
    fn the_matrix_is_kubelkas_hyperbolic_solution() {
        for (k, s) in [(0.1, 0.1), (3.0, 0.2), (0.02, 5.0), (1.0, 1.0)] {
            for x in [0.3, 1.0, 2.5] {
                for substrate in [0.0, 0.05, 0.5, 0.9] {
                    let (ours, theirs) = (
                        Film::new(k, s, x).over(substrate),
                        kubelka(k, s, x, substrate),
                    );
                    assert!(
                        (ours - theirs).abs() < 1e-12,
                        "K {k} S {s} x {x}: {ours} {theirs}"
                    );
                }
            }
        }
        assert!(
            (Film::new(1.0, 1.01, 1.0).over(0.5) - kubelka(1.0, 1.0, 1.0, 0.5)).abs() > 1e-4,
            "must differ"
        );
    }

    #[test]
    fn two_coats_are_one_of_both_thicknesses() {
        let (lower, upper) = (Film::new(0.7, 0.4, 0.3), Film::new(0.7, 0.4, 1.2));
        let both = Film::new(0.7, 0.4, 1.5);
        for substrate in [0.0, 0.3, 0.9] {
            assert!((lower.under(upper).over(substrate) - both.over(substrate)).abs() < 1e-12);
        }
    }

    #[test]
    fn a_film_seen_from_outside_is_the_film_and_then_the_surface() {
        let film = Film::new(0.7, 0.4, 1.3);
        for specular in [Specular::Excluded, Specular::Included] {
            for inside in [0.0, 0.2, 0.9] {
                let step_by_step = specular.measured(film.over(inside));
                assert!(
                    (film.seen(specular).over(inside) - step_by_step).abs() < 1e-12,
                    "{specular:?} {inside}"
                );
            }
        }
    }

    #[test]
    fn limits_hold_without_absorption_scattering_or_film() {
        assert!(
            (Film::new(0.0, 0.0, 1.0).over(0.37) - 0.37).abs() < 1e-15,
            "medium changes nothing"
        );
        assert!(
            (Film::new(2.0, 1.0, 0.0).over(0.37) - 0.37).abs() < 1e-15,
            "no film changes nothing"
        );
        // A film that only absorbs is Beer's law, twice through.
        assert!((Film::new(0.5, 0.0, 1.0).over(0.8) - 0.8 * libm::exp(-1.0_f64)).abs() < 1e-12);
        // A film that only scatters: R = (Rg + S x (1 − Rg)) / (1 + S x (1 − Rg)), Kubelka 1948 for K = 0.
        let (sx, rg) = (2.0, 0.25);
        let expected = (rg + sx * (1.0 - rg)) / (1.0 + sx * (1.0 - rg));
        assert!((Film::new(0.0, 2.0, 1.0).over(rg) - expected).abs() < 1e-12);
        // So thick that nothing below shows: 1 + K/S − √((K/S)² + 2K/S), Kubelka–Munk 1931.
        let ratio: f64 = 0.5;
        let infinite = 1.0 + ratio - (ratio * ratio + 2.0 * ratio).sqrt();
        assert!((Film::new(1.0, 2.0, 1e4).over(0.9) - infinite).abs() < 1e-12);
    }
}
