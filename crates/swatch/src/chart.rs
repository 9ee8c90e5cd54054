//! A reference chart in the same photo: a 3 × 3 matrix from the camera's colours to the true ones.
//!
//! In: patches as found (reflectance after white balance) and as published. Out: the matrix, and ΔE before and after. Least
//! squares on linear light, each patch weighted by how ΔL\* follows Y there; the card's white counts as one more patch, so that
//! neutral stays neutral.

use nalgebra::{DMatrix, Matrix3, Vector3};
use serde::Serialize;
use velatura_optics::colour::{Linear, delta_e};

use super::samples::y;

/// The card's white counts as much as this many patches.
const WHITE_WEIGHT: f64 = 3.0;
/// Keeps the weight of the darkest patches finite.
const DARKEST: f64 = 0.02;
/// Fewest patches for nine unknowns, so that they do not follow the error of each single patch.
pub(super) const LEAST_PATCHES: usize = 6;

/// What the chart did.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChartReport {
    /// Patches used.
    pub patches: usize,
    /// The source of the reference values, from the layout.
    pub source: String,
    /// Their licence, from the layout.
    pub licence: String,
    /// Mean ΔE of the patches with white balance alone.
    pub mean_before: f64,
    /// Mean ΔE with the matrix.
    pub mean_after: f64,
    /// Largest ΔE with the matrix.
    pub worst_after: f64,
    /// The matrix on linear sRGB, row by row.
    pub matrix: [[f64; 3]; 3],
}

/// A correction of colours.
#[derive(Debug, Clone, Copy)]
pub(super) struct Correction(Matrix3<f64>);

impl Correction {
    /// None at all.
    pub(super) fn none() -> Self {
        Self(Matrix3::identity())
    }

    pub(super) fn apply(&self, colour: [f64; 3]) -> [f64; 3] {
        (self.0 * Vector3::from(colour)).into()
    }

    pub(super) fn rows(&self) -> [[f64; 3]; 3] {
        std::array::from_fn(|r| std::array::from_fn(|c| self.0[(r, c)]))
    }

    /// Fits patches, each as (found, true); `None` if they do not span three dimensions.
    pub(super) fn fit(patches: &[([f64; 3], [f64; 3])], white: [f64; 3]) -> Option<Self> {
        let weight = |truth: [f64; 3]| libm::pow(y(truth).max(0.0) + DARKEST, -2.0 / 3.0);
        let rows: Vec<([f64; 3], [f64; 3], f64)> = patches
            .iter()
            .map(|(found, truth)| (*found, *truth, weight(*truth)))
            .chain([(white, white, WHITE_WEIGHT * weight(white))])
            .collect();
        let found = DMatrix::from_fn(rows.len(), 3, |r, c| rows[r].2 * rows[r].0[c]);
        let truth = DMatrix::from_fn(rows.len(), 3, |r, c| rows[r].2 * rows[r].1[c]);
        let svd = found.svd(true, true);
        if svd.rank(1e-3 * svd.singular_values.max()) < 3 {
            return None;
        }
        let solved = svd.solve(&truth, 0.0).ok()?;
        Some(Self(Matrix3::from_fn(|r, c| solved[(c, r)])))
    }
}

/// ΔE of two linear colours.
pub(super) fn apart(a: [f64; 3], b: [f64; 3]) -> f64 {
    delta_e(Linear(a).lab(), Linear(b).lab())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cameras_mixing_of_channels_is_undone_and_grey_patches_alone_are_refused() {
        let camera = Matrix3::new(0.8, 0.15, 0.05, 0.1, 0.8, 0.1, 0.02, 0.2, 0.78);
        let truth = [
            [0.5, 0.1, 0.05],
            [0.1, 0.4, 0.1],
            [0.05, 0.1, 0.5],
            [0.6, 0.5, 0.05],
            [0.4, 0.1, 0.4],
            [0.05, 0.4, 0.5],
            [0.2; 3],
        ];
        let patches: Vec<_> = truth
            .iter()
            .map(|t| ((camera * Vector3::from(*t)).into(), *t))
            .collect();
        let fitted = Correction::fit(&patches, [0.9; 3]).unwrap();
        for (found, truth) in &patches {
            assert!(apart(fitted.apply(*found), *truth) < 0.01);
        }
        // Must fail: no correction.
        assert!(apart(patches[0].0, patches[0].1) > 5.0);
        let greys: Vec<_> = (1..8)
            .map(|i| ([0.1 * f64::from(i); 3], [0.1 * f64::from(i); 3]))
            .collect();
        assert!(Correction::fit(&greys, [0.9; 3]).is_none());
    }
}
