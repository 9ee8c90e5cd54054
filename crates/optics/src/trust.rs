//! How far a predicted colour is to be trusted: the mean error that predictions of its kind had on measured paints.
//!
//! In: a mix of a [`PaintBox`]. Out: its basis and a mean ΔE (CIEDE2000). The numbers are those of `data/trust.csv`, which
//! a test computes from the measured paints of `tests/data/measured-paints`, each fitted under a prior that never saw its
//! series (`tests/accuracy/trust.rs`):
//!
#![doc = include_str!("../data/trust.md")]
//!
//! One paint is evaluated as glazes over greys at half, whole and double film; mixtures at film 1 over black and white card,
//! each paint with at most one tint. A mixture whose pairs are not all tinted counts as linked as long as tints lead from
//! each paint to every other, else as one without a tint; its source is the weakest of its paints'. No mixture of three
//! paints was measured. These are hand-made oil paints, measured with an instrument: a photo adds its own error.

use std::sync::LazyLock;

use serde::Serialize;

use crate::calibrate::PaintBox;
use crate::mixture::{Mix, Tie};
use crate::paint::Basis;

/// What a colour is known from, and how far off such colours were.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Trust {
    /// What it is derived from.
    pub basis: Basis,
    /// Mean ΔE (CIEDE2000) of predictions of its kind on measured paints; 0 where there is no paint. In files
    /// `estimated_error`.
    #[serde(rename = "estimated_error")]
    pub delta_e: f64,
}

static TABLE: LazyLock<Vec<(Basis, Tie, f64)>> = LazyLock::new(|| {
    include_str!("../data/trust.csv")
        .lines()
        .filter_map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            let [basis, tie, delta_e, _] = cells[..] else {
                return None;
            };
            let basis = Basis::ALL.into_iter().find(|one| one.word() == basis)?;
            let tie = Tie::ALL.into_iter().find(|one| one.word() == tie)?;
            Some((basis, tie, delta_e.parse().ok()?))
        })
        .collect()
});

impl Trust {
    /// Nothing is predicted: the colour is the photo's.
    pub const AS_PHOTOGRAPHED: Self = Self {
        basis: Basis::AsPhotographed,
        delta_e: 0.0,
    };

    /// Of a colour that several mixes make, as coats over each other: the weakest basis and the largest error.
    #[must_use]
    pub fn weakest(mixes: impl IntoIterator<Item = Self>) -> Self {
        mixes
            .into_iter()
            .fold(Self::AS_PHOTOGRAPHED, |all, one| Self {
                basis: all.basis.max(one.basis),
                delta_e: all.delta_e.max(one.delta_e),
            })
    }
}

impl PaintBox {
    /// How far a mix's colour is to be trusted.
    ///
    /// # Panics
    /// If the mix names a paint that this box does not hold.
    #[must_use]
    pub fn trust(&self, mix: &Mix) -> Trust {
        let (basis, tie) = (self.basis(mix), self.tie(mix));
        if basis == Basis::AsPhotographed {
            return Trust::AS_PHOTOGRAPHED;
        }
        let delta_e = TABLE
            .iter()
            .find_map(|row| (row.0 == basis && row.1 == tie).then_some(row.2))
            .expect("the shipped table has a row for every basis and tie that a mix can have");
        Trust { basis, delta_e }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibrate::calibrate;
    use crate::paints_file::read_paints_file;
    use velatura_document::SourceText;

    /// Invented: red and blue have a tint with white, green has none, rope is a chip with a tint.
    const PAINTS: &str = r##"format = "velatura-paints/1"
[cards]
black = "#1c1c1c"
white = "#f0f0f0"
[[paint]]
name = "red"
over_black = "#481a1a"
over_white = "#cf364f"
[[paint.tint]]
with = "white"
parts = [1, 4]
over_black = "#d3bdc1"
over_white = "#edc2c8"
[[paint]]
name = "blue"
over_black = "#1a3436"
over_white = "#3fafc3"
[[paint.tint]]
with = "white"
parts = [1, 4]
over_black = "#c4ced0"
over_white = "#cde3e5"
[[paint]]
name = "green"
over_black = "#3d5130"
over_white = "#8ec559"
[[paint]]
name = "rope"
colour = "#b8a074"
opacity = "semi-opaque"
[[paint.tint]]
with = "white"
parts = [1, 1]
over_black = "#cfc5b0"
over_white = "#d9cfb8"
[[paint]]
name = "white"
over_black = "#d0d0d0"
over_white = "#eeeeee"
"##;

    #[test]
    fn trust_falls_from_pure_paints_over_tinted_pairs_to_guesses() {
        let source = SourceText::new("paints.toml", PAINTS);
        let file = read_paints_file(&source).unwrap().value;
        let paints = calibrate(&file).value;
        let of = |names: &[&str]| {
            let parts = names
                .iter()
                .map(|name| (paints.index_of(name).unwrap(), 1.0));
            let mix = Mix {
                paints: parts.collect(),
                medium: 1.0,
            };
            (paints.tie(&mix), paints.trust(&mix))
        };
        let cases = [
            (vec![], Tie::Alone, "as-photographed"),
            (vec!["red"], Tie::Alone, "drawdown+tint"),
            (vec!["white"], Tie::Alone, "drawdown+tint"),
            (vec!["green"], Tie::Alone, "drawdown"),
            (vec!["rope"], Tie::Alone, "chip+tint"),
            (vec!["red", "white"], Tie::Tinted, "drawdown+tint"),
            (vec!["white", "red"], Tie::Tinted, "drawdown+tint"),
            (vec!["red", "blue"], Tie::Linked, "drawdown+tint"),
            (vec!["red", "blue", "white"], Tie::Linked, "drawdown+tint"),
            (vec!["rope", "blue"], Tie::Linked, "chip+tint"),
            (vec!["red", "green"], Tie::Unlinked, "drawdown"),
            (vec!["rope", "green"], Tie::Unlinked, "chip"),
        ];
        for (names, tie, basis) in cases {
            let (found, trust) = of(&names);
            assert_eq!((found, trust.basis.word()), (tie, basis), "{names:?}");
            assert!(trust.delta_e > 0.0 || names.is_empty(), "{names:?}");
        }
        let error = |names: &[&str]| of(names).1.delta_e;
        assert!(error(&["red"]) < error(&["red", "white"]));
        assert!(error(&["red", "white"]) < error(&["red", "green"]));
        let both = Trust::weakest([of(&["rope"]).1, of(&["red", "green"]).1]);
        assert_eq!(both.basis, Basis::ChipTint);
        assert!((both.delta_e - error(&["red", "green"])).abs() < 1e-12);
    }
}
