//! Mixtures: paints of a box and medium, by parts, made into one K and S.
//!
//! In: which paints, how many parts of each by volume, how much medium. Out: K and S of the mix, and what it is known
//! from. Paints count among themselves by part × strength; medium then thins the lot by volume and has no strength.
//! Source of the sum: Duncan 1940, Proc. Phys. Soc. 52:390.

use crate::calibrate::PaintBox;
use crate::paint::{Basis, Optics};

/// A mix of paints of one [`PaintBox`] and medium, in parts by volume.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mix {
    /// Index of each paint in [`PaintBox::paints`], and its parts, more than 0. No paint stands twice.
    pub paints: Vec<(usize, f64)>,
    /// Parts of clear medium, 0 or more.
    pub medium: f64,
}

impl Mix {
    /// Parts of paint and medium together.
    #[must_use]
    pub fn volume(&self) -> f64 {
        self.paint_volume() + self.medium
    }

    /// Parts of paint without the medium.
    #[must_use]
    pub fn paint_volume(&self) -> f64 {
        self.paints.iter().map(|(_, parts)| parts).sum()
    }
}

impl PaintBox {
    /// K and S of a mix, per unit of film. Medium alone has neither.
    ///
    /// # Panics
    /// If the mix names a paint that this box does not hold.
    #[must_use]
    pub fn mixed(&self, mix: &Mix) -> Optics {
        if mix.paints.is_empty() {
            return Optics::MEDIUM;
        }
        let parts = mix.paints.iter().map(|(index, parts)| {
            let paint = &self.paints[*index];
            (parts * paint.strength, &paint.optics)
        });
        Optics::mix(parts).diluted(mix.paint_volume() / mix.volume())
    }

    /// What a mix's colour is known from: the weakest of its paints. Medium alone has no colour to be unsure of.
    ///
    /// # Panics
    /// If the mix names a paint that this box does not hold.
    #[must_use]
    pub fn basis(&self, mix: &Mix) -> Basis {
        Basis::weakest(
            mix.paints
                .iter()
                .map(|(index, _)| self.paints[*index].basis),
        )
    }

    /// Index of the paint of a name.
    #[must_use]
    pub fn index_of(&self, name: &str) -> Option<usize> {
        self.paints.iter().position(|paint| paint.name == name)
    }
}
