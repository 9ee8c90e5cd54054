//! Running extremes of a plane, so that a wide window takes no longer than a narrow one.
//!
//! In and out: planes of numbers, row-major. The window is a square of `2 · reach + 1` cells, cut off at the edges. Source:
//! van Herk 1992, Pattern Recognition Letters 13:517: of blocks as long as the window, the extremes up to each cell from
//! the left and from the right; every window is covered by one of each.

use rayon::prelude::*;

/// Which extreme.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Extreme {
    Least,
    Most,
}

impl Extreme {
    fn of(self, a: f32, b: f32) -> f32 {
        match self {
            Extreme::Least => a.min(b),
            Extreme::Most => a.max(b),
        }
    }

    /// A number that never is the extreme.
    pub(super) fn none(self) -> f32 {
        match self {
            Extreme::Least => f32::INFINITY,
            Extreme::Most => f32::NEG_INFINITY,
        }
    }
}

/// The extreme of every cell's window.
pub(super) fn running(plane: &[f32], width: usize, reach: usize, which: Extreme) -> Vec<f32> {
    let height = plane.len() / width.max(1);
    let rows = along_rows(plane, width, reach, which);
    let columns = along_rows(&transposed(&rows, width), height, reach, which);
    transposed(&columns, height)
}

fn transposed(plane: &[f32], width: usize) -> Vec<f32> {
    let height = plane.len() / width.max(1);
    let mut turned = vec![0.0; plane.len()];
    turned
        .par_chunks_mut(height.max(1))
        .enumerate()
        .for_each(|(x, column)| {
            for (y, value) in column.iter_mut().enumerate() {
                *value = plane[y * width + x];
            }
        });
    turned
}

fn along_rows(plane: &[f32], width: usize, reach: usize, which: Extreme) -> Vec<f32> {
    let window = 2 * reach + 1;
    // A window's width of nothing on either side, filled up to whole blocks.
    let padded = (width + 2 * reach).div_ceil(window) * window;
    let mut out = vec![0.0_f32; plane.len()];
    out.par_chunks_mut(width.max(1))
        .zip(plane.par_chunks(width.max(1)))
        .for_each(|(out, row)| {
            let mut before = vec![which.none(); padded];
            before[reach..reach + width].copy_from_slice(row);
            let mut after = before.clone();
            for at in 1..padded {
                if at % window != 0 {
                    before[at] = which.of(before[at - 1], before[at]);
                }
            }
            for at in (0..padded - 1).rev() {
                if (at + 1) % window != 0 {
                    after[at] = which.of(after[at + 1], after[at]);
                }
            }
            for (x, out) in out.iter_mut().enumerate() {
                *out = which.of(after[x], before[x + window - 1]);
            }
        });
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_running_extreme_is_that_of_every_window() {
        let (width, height) = (23, 17);
        #[allow(clippy::cast_precision_loss, reason = "small numbers")]
        let plane: Vec<f32> = (0..width * height)
            .map(|at| ((at * 7919) % 1009) as f32)
            .collect();
        for reach in [0, 1, 4, 30] {
            for which in [Extreme::Least, Extreme::Most] {
                let found = running(&plane, width, reach, which);
                for (at, found) in found.iter().enumerate() {
                    let (x, y) = (at % width, at / width);
                    let mut expected = which.none();
                    for near_y in y.saturating_sub(reach)..(y + reach + 1).min(height) {
                        for near_x in x.saturating_sub(reach)..(x + reach + 1).min(width) {
                            expected = which.of(expected, plane[near_y * width + near_x]);
                        }
                    }
                    assert!(
                        (found - expected).abs() < f32::EPSILON,
                        "{reach} at {x}, {y}"
                    );
                }
            }
        }
        // Must fail: another reach gives another plane.
        let [narrow, wide] = [1, 4].map(|reach| running(&plane, width, reach, Extreme::Most));
        assert_ne!(narrow, wide);
    }
}
