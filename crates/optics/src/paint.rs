//! A paint as optics sees it: absorption and scattering per wavelength band, and how far they can be trusted.
//!
//! K and S are per unit of film; film 1 is the drawdown's. Mixing is by volume: K and S of a mix are the sums of the
//! parts' own, weighted by their share, and medium adds neither. Source: Duncan 1940, Proc. Phys. Soc. 52:390.

use std::fmt;

use serde::Serialize;

use crate::film::Film;
use crate::spectrum::{BANDS, Spectrum};

/// Absorption and scattering per wavelength band, per unit of film.
#[derive(Debug, Clone, PartialEq)]
pub struct Optics {
    /// Absorption K ≥ 0.
    pub k: Spectrum,
    /// Scattering S ≥ 0.
    pub s: Spectrum,
}

impl Optics {
    /// Clear glaze medium: no colour, no hiding.
    pub const MEDIUM: Self = Self {
        k: [0.0; BANDS],
        s: [0.0; BANDS],
    };

    /// A mix of parts by volume; the parts need not sum to 1 but must be positive in sum.
    #[must_use]
    pub fn mix<'a>(parts: impl IntoIterator<Item = (f64, &'a Self)> + Clone) -> Self {
        let total: f64 = parts.clone().into_iter().map(|(part, _)| part).sum();
        let mut mixed = Self::MEDIUM;
        for (part, optics) in parts {
            let share = part / total;
            for band in 0..BANDS {
                mixed.k[band] += share * optics.k[band];
                mixed.s[band] += share * optics.s[band];
            }
        }
        mixed
    }

    /// The same paint with medium added until it has this share (0…1) of the volume.
    #[must_use]
    pub fn diluted(&self, share: f64) -> Self {
        Self {
            k: self.k.map(|k| k * share),
            s: self.s.map(|s| s * share),
        }
    }

    /// The films of a coat of this paint, one per wavelength band.
    #[must_use]
    pub fn film(&self, film: f64) -> [Film; BANDS] {
        std::array::from_fn(|band| Film::new(self.k[band], self.s[band], film))
    }
}

/// What a paint was given as. Later ones are weaker.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Source {
    /// An instrument's spectra of a drawdown.
    Spectrum,
    /// Two colour codes of a drawdown.
    Drawdown,
    /// One colour, and how well it hides.
    Chip,
}

impl Source {
    /// The basis of a paint that has a tint.
    #[must_use]
    pub fn with_tint(self) -> Basis {
        match self {
            Self::Spectrum => Basis::SpectrumTint,
            Self::Drawdown => Basis::DrawdownTint,
            Self::Chip => Basis::ChipTint,
        }
    }

    /// The basis of a paint that has none.
    #[must_use]
    pub fn without_tint(self) -> Basis {
        match self {
            Self::Spectrum => Basis::Spectrum,
            Self::Drawdown => Basis::Drawdown,
            Self::Chip => Basis::Chip,
        }
    }
}

/// What a colour is derived from, and so how far to trust it. Later ones are weaker.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Basis {
    /// There is no paint.
    AsPhotographed,
    /// An instrument's spectra, with a tint.
    SpectrumTint,
    /// An instrument's spectra, pure paint only: mixtures are a guess.
    Spectrum,
    /// Two colour codes of a drawdown, with a tint.
    DrawdownTint,
    /// Two colour codes of a drawdown: mixtures are a guess.
    Drawdown,
    /// One colour and how well it hides, with a tint: thinned, a guess.
    ChipTint,
    /// One colour and how well it hides: thinned and mixed, a guess.
    Chip,
}

impl Basis {
    /// Every basis, the best first.
    pub const ALL: [Self; 7] = [
        Self::AsPhotographed,
        Self::SpectrumTint,
        Self::Spectrum,
        Self::DrawdownTint,
        Self::Drawdown,
        Self::ChipTint,
        Self::Chip,
    ];

    /// The word for it in reports.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::AsPhotographed => "as-photographed",
            Self::SpectrumTint => "spectrum+tint",
            Self::Spectrum => "spectrum",
            Self::DrawdownTint => "drawdown+tint",
            Self::Drawdown => "drawdown",
            Self::ChipTint => "chip+tint",
            Self::Chip => "chip",
        }
    }

    /// What the paint was given as; `None` without paint.
    #[must_use]
    pub fn source(self) -> Option<Source> {
        match self {
            Self::AsPhotographed => None,
            Self::SpectrumTint | Self::Spectrum => Some(Source::Spectrum),
            Self::DrawdownTint | Self::Drawdown => Some(Source::Drawdown),
            Self::ChipTint | Self::Chip => Some(Source::Chip),
        }
    }

    /// The basis of a colour made from several: the weakest of them.
    #[must_use]
    pub fn weakest(parts: impl IntoIterator<Item = Self>) -> Self {
        parts.into_iter().max().unwrap_or(Self::AsPhotographed)
    }
}

impl fmt::Display for Basis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl Serialize for Basis {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

/// A paint with its K and S.
#[derive(Debug, Clone)]
pub struct Paint {
    /// Its name in `paints.toml`.
    pub name: String,
    /// Whether the painter has it.
    pub owned: bool,
    /// Whether it glints like metal. The glint is not in its K and S.
    pub metallic: bool,
    /// K and S per unit of film.
    pub optics: Optics,
    /// How much a part of it counts against a part of another paint; 1 = by volume as poured. Medium only dilutes.
    pub strength: f64,
    /// What they were derived from.
    pub basis: Basis,
    /// ΔE by which the fitted film misses the given colours, the worst of them; 0 for spectra.
    pub residual: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn medium_dilutes_and_shares_are_by_volume() {
        let paint = Optics {
            k: [2.0; BANDS],
            s: [0.5; BANDS],
        };
        let mixed = Optics::mix([(3.0, &paint), (7.0, &Optics::MEDIUM)]);
        assert!((mixed.k[4] - 0.6).abs() < 1e-12 && (mixed.s[30] - 0.15).abs() < 1e-12);
        // Thinned with medium is the same as a thinner film of the pure paint.
        let (thinned, thin) = (mixed.film(1.0)[4], paint.film(0.3)[4]);
        assert!((thinned.over(0.6) - thin.over(0.6)).abs() < 1e-12);
    }

    #[test]
    fn the_weakest_part_sets_the_basis() {
        assert_eq!(
            Basis::weakest([Basis::Spectrum, Basis::Chip, Basis::Drawdown]),
            Basis::Chip
        );
    }
}
