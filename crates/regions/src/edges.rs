//! How hard it is to walk across a cell: edges of tone and colour at three sizes, and dark creases at two.
//!
//! In: the grid. Out: strength per cell, 1 where it is as strong as the surroundings' mean. The parts of a grey figure differ
//! only in what is between them. The hollow where two surfaces meet is a dark line. A gradient shows it as two edges, one on
//! each side; the larger curvature of the tone finds its middle (as ridge detectors do: Lindeberg 1998, Int. J. Comput. Vision
//! 30:117, with the same factors sigma and sigma² that make sizes comparable). The weights are ours, chosen on the tuning
//! pictures (`docs/regions.md`).

use rayon::prelude::*;

use crate::filters::{Derivative, Kernel, filtered, wide_mean};
use crate::grid::Grid;

/// Sizes (sigma in cells) and weights of edges.
const EDGES: [(f32, f32); 3] = [(0.8, 0.4), (1.6, 0.28), (3.2, 0.16)];
/// Sizes and weights of creases.
const CREASES: [(f32, f32); 2] = [(0.8, 1.0), (1.6, 0.7)];
/// Weight of creases against edges.
const CREASE_WEIGHT: f32 = 4.0;
/// Weight of a\* and b\* against L\*: a grey figure has little colour, so the little there is means much.
const COLOUR_WEIGHT: f32 = 1.5;
/// Reach of the surroundings that strength is measured against, as a share of the longer side.
const SURROUNDINGS: f32 = 0.2;
/// Share of the whole picture's mean that is added to the surroundings', so that noise on an even surface does not become edges.
const FLOOR: f32 = 0.3;

/// Strength of edges and creases per cell, in units of L\* per cell.
pub(super) fn strength(grid: &Grid) -> Vec<f32> {
    let mut strength = vec![0.0_f32; grid.len()];
    for (sigma, weight) in EDGES {
        let (bell, slope) = (
            Kernel::new(sigma, Derivative::None),
            Kernel::new(sigma, Derivative::First),
        );
        let mut squares = vec![0.0_f32; grid.len()];
        for (plane, factor) in grid.lab.iter().zip([1.0, COLOUR_WEIGHT, COLOUR_WEIGHT]) {
            let across = filtered(plane, grid.width, &slope, &bell);
            let down = filtered(plane, grid.width, &bell, &slope);
            squares
                .par_iter_mut()
                .zip(across.par_iter().zip(&down))
                .for_each(|(sum, (x, y))| *sum += factor * factor * (x * x + y * y));
        }
        add(&mut strength, &squares, |square| {
            weight * sigma * square.sqrt()
        });
    }
    for (sigma, weight) in CREASES {
        let kernel = |derivative| Kernel::new(sigma, derivative);
        let (bell, slope, bend) = (
            kernel(Derivative::None),
            kernel(Derivative::First),
            kernel(Derivative::Second),
        );
        let tone = &grid.lab[0];
        let xx = filtered(tone, grid.width, &bend, &bell);
        let yy = filtered(tone, grid.width, &bell, &bend);
        let xy = filtered(tone, grid.width, &slope, &slope);
        let larger: Vec<f32> = xx
            .iter()
            .zip(&yy)
            .zip(&xy)
            .map(|((xx, yy), xy)| 0.5 * (xx + yy) + libm::hypotf(0.5 * (xx - yy), *xy))
            .collect();
        add(&mut strength, &larger, |curvature| {
            CREASE_WEIGHT * weight * sigma * sigma * curvature.max(0.0)
        });
    }
    strength
}

fn add(sum: &mut [f32], plane: &[f32], term: impl Fn(f32) -> f32 + Sync) {
    sum.par_iter_mut()
        .zip(plane)
        .for_each(|(sum, value)| *sum += term(*value));
}

/// Strength over its mean in the surroundings, counting only cells that `counts`.
pub(super) fn against_surroundings(
    grid: &Grid,
    strength: &[f32],
    counts: impl Fn(usize) -> bool,
) -> Vec<f32> {
    let weight: Vec<f32> = (0..grid.len())
        .map(|at| if counts(at) { 1.0 } else { 0.0 })
        .collect();
    let weighted: Vec<f32> = strength.iter().zip(&weight).map(|(s, w)| s * w).collect();
    #[allow(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share of a side"
    )]
    let reach = ((SURROUNDINGS * grid.width.max(grid.height) as f32).round() as usize).max(1);
    let (sums, weights) = rayon::join(
        || wide_mean(&weighted, grid.width, reach),
        || wide_mean(&weight, grid.width, reach),
    );
    let total = |plane: &[f32]| plane.iter().map(|value| f64::from(*value)).sum::<f64>();
    #[allow(clippy::cast_possible_truncation, reason = "a mean of f32")]
    let floor = FLOOR * (total(&weighted) / total(&weight).max(1.0)) as f32;
    strength
        .iter()
        .zip(sums.iter().zip(&weights))
        .map(|(strength, (sum, weight))| strength / (sum / weight.max(1e-4) + floor).max(1e-6))
        .collect()
}
