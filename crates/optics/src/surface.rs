//! The surface between paint and air: reflectance as measured, and inside the film.
//!
//! In and out: reflectance 0…1, one wavelength band. Light is reflected once on the way in (k1) and, from inside, on
//! the way out (k2). Source: Saunderson 1942, J. Opt. Soc. Am. 32:727. k1 = 0.04 and k2 = 0.60 are the usual values
//! for a paint binder of refractive index 1.5 (same paper).

use velatura_document::Choice;

/// Share of light that the surface reflects before it enters the film.
pub const K1: f64 = 0.04;
/// Share of the light inside the film that the surface reflects back.
pub const K2: f64 = 0.60;

/// Whether measured values include the surface's own reflection (about 4 %).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Specular {
    /// A photo without glare; a sphere with its trap open.
    Excluded,
    /// A sphere with its trap closed.
    Included,
}

/// Words for the surface's reflection.
pub const SPECULAR_WORDS: [Choice<Specular>; 2] = [
    Choice {
        word: "excluded",
        about: "without the surface's reflection, as in a photo without glare or an instrument with its gloss trap open",
        value: Specular::Excluded,
    },
    Choice {
        word: "included",
        about: "with the surface's reflection, as from an instrument with its gloss trap closed",
        value: Specular::Included,
    },
];

impl Specular {
    fn surface(self) -> f64 {
        match self {
            Self::Excluded => 0.0,
            Self::Included => K1,
        }
    }

    /// Reflectance inside the film from the measured one. Below 0 if the measured one is darker than the surface.
    #[must_use]
    pub fn inside(self, measured: f64) -> f64 {
        let body = measured - self.surface();
        body / ((1.0 - K1) * (1.0 - K2) + K2 * body)
    }

    /// Measured reflectance from the one inside the film.
    #[must_use]
    pub fn measured(self, inside: f64) -> f64 {
        self.surface() + (1.0 - K1) * (1.0 - K2) * inside / (1.0 - K2 * inside)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inside_and_measured_undo_each_other_even_below_the_surface_reflection() {
        for specular in [Specular::Excluded, Specular::Included] {
            for measured in [0.0, 0.01, 0.04, 0.2, 0.5, 0.9, 0.96] {
                assert!(
                    (specular.measured(specular.inside(measured)) - measured).abs() < 1e-14,
                    "{measured}"
                );
            }
        }
    }

    #[test]
    fn a_perfect_white_inside_reflects_all_but_nothing_is_lost() {
        // Energy: with the surface included, a film that absorbs nothing reflects everything.
        assert!((Specular::Included.measured(1.0) - 1.0).abs() < 1e-15);
        assert!((Specular::Excluded.measured(1.0) - 0.96).abs() < 1e-15);
    }
}
