//! Box means of a plane by running sums, so that a wide reach takes no longer than a narrow one.
//!
//! In and out: planes of numbers, row-major. Edge pixels are repeated beyond the edge.

use rayon::prelude::*;

/// Running mean of every row.
#[allow(clippy::cast_precision_loss, reason = "a reach is small")]
#[must_use]
pub fn rows_boxed(plane: &[f32], width: usize, reach: usize) -> Vec<f32> {
    let mut boxed = vec![0.0_f32; plane.len()];
    boxed
        .par_chunks_mut(width)
        .zip(plane.par_chunks(width))
        .for_each(|(out, row)| {
            let span = (2 * reach + 1) as f64;
            let at = |x: usize| f64::from(row[x.min(width - 1)]);
            // Edge pixels are repeated beyond the edge with full weight, so the mean stays a mean.
            let mut sum = (0..=reach).map(at).sum::<f64>() + at(0) * reach as f64;
            for (x, out) in out.iter_mut().enumerate() {
                #[allow(clippy::cast_possible_truncation, reason = "planes need no more")]
                let mean = (sum / span) as f32;
                *out = mean;
                sum += at(x + reach + 1) - at(x.saturating_sub(reach));
            }
        });
    boxed
}

/// Running mean of every column, a stripe of columns at a time. Rows are read in order, and nothing is transposed.
#[allow(clippy::cast_precision_loss, reason = "a reach is small")]
#[must_use]
pub fn columns_boxed(plane: &[f32], width: usize, reach: usize) -> Vec<f32> {
    const STRIPE: usize = 256;
    let height = plane.len() / width;
    let stripes: Vec<Vec<f32>> = (0..width)
        .into_par_iter()
        .step_by(STRIPE)
        .map(|left| {
            let right = (left + STRIPE).min(width);
            let row = |y: usize| {
                &plane[y.min(height - 1) * width + left..y.min(height - 1) * width + right]
            };
            let mut sums: Vec<f64> = row(0)
                .iter()
                .map(|value| f64::from(*value) * reach as f64)
                .collect();
            for y in 0..=reach {
                sums.iter_mut()
                    .zip(row(y))
                    .for_each(|(sum, value)| *sum += f64::from(*value));
            }
            let span = (2 * reach + 1) as f64;
            let mut means = vec![0.0; height * sums.len()];
            for y in 0..height {
                let means = &mut means[y * sums.len()..][..sums.len()];
                for (mean, sum) in means.iter_mut().zip(&sums) {
                    #[allow(clippy::cast_possible_truncation, reason = "planes need no more")]
                    let as_f32 = (sum / span) as f32;
                    *mean = as_f32;
                }
                let (next, last) = (row(y + reach + 1), row(y.saturating_sub(reach)));
                for ((sum, next), last) in sums.iter_mut().zip(next).zip(last) {
                    *sum += f64::from(*next) - f64::from(*last);
                }
            }
            means
        })
        .collect();
    let mut boxed = vec![0.0; plane.len()];
    boxed
        .par_chunks_mut(width)
        .enumerate()
        .for_each(|(y, row)| {
            for (out, stripe) in row.chunks_mut(STRIPE).zip(&stripes) {
                out.copy_from_slice(&stripe[y * out.len()..(y + 1) * out.len()]);
            }
        });
    boxed
}
