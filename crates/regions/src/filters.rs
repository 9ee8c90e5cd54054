//! Gaussian filters and their derivatives on a plane, and wide means.
//!
//! In and out: row-major planes of `f32`; edge values are repeated beyond the edge. Not here: the use of the derivatives
//! (`edges.rs`).

use rayon::prelude::*;

use velatura_photo::box_mean::{columns_boxed, rows_boxed};

/// A kernel of a Gaussian or one of its derivatives, centred.
#[derive(Debug)]
pub(super) struct Kernel(Vec<f32>);

/// Which derivative of a Gaussian.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Derivative {
    None,
    First,
    Second,
}

impl Kernel {
    /// Cut off at 3.5 sigma, where the Gaussian is a fifth of a percent of its middle.
    pub(super) fn new(sigma: f32, derivative: Derivative) -> Self {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_precision_loss,
            reason = "a few cells"
        )]
        let at = {
            let reach = (3.5 * sigma).ceil() as i16;
            (-reach..=reach).map(f32::from)
        };
        let bell: Vec<(f32, f32)> = at
            .map(|x| (x, libm::expf(-0.5 * x * x / (sigma * sigma))))
            .collect();
        let sum: f32 = bell.iter().map(|(_, weight)| weight).sum();
        let square = sigma * sigma;
        let mut kernel: Vec<f32> = bell
            .iter()
            .map(|(x, weight)| {
                weight / sum
                    * match derivative {
                        Derivative::None => 1.0,
                        Derivative::First => x / square,
                        Derivative::Second => (x * x / square - 1.0) / square,
                    }
            })
            .collect();
        if derivative == Derivative::Second {
            // A flat plane has no curvature, however short the kernel.
            #[allow(clippy::cast_precision_loss, reason = "a few cells")]
            let mean = kernel.iter().sum::<f32>() / kernel.len() as f32;
            kernel.iter_mut().for_each(|weight| *weight -= mean);
        }
        Self(kernel)
    }

    fn reach(&self) -> usize {
        self.0.len() / 2
    }

    /// A table filtered along one of its axes, which has `count` places, `stride` apart.
    pub(super) fn along(&self, table: &[f32], count: usize, stride: usize) -> Vec<f32> {
        let reach = self.reach();
        (0..table.len())
            .map(|at| {
                let place = at / stride % count;
                let first = at - place * stride;
                let from = |offset: usize| {
                    table[first + (place + offset).saturating_sub(reach).min(count - 1) * stride]
                };
                self.0
                    .iter()
                    .enumerate()
                    .map(|(offset, weight)| weight * from(offset))
                    .sum()
            })
            .collect()
    }
}

/// A plane filtered along its rows with one kernel and along its columns with another.
pub(super) fn filtered(plane: &[f32], width: usize, rows: &Kernel, columns: &Kernel) -> Vec<f32> {
    let height = plane.len() / width;
    let along_rows = {
        let reach = rows.reach();
        let mut out = vec![0.0; plane.len()];
        out.par_chunks_mut(width)
            .zip(plane.par_chunks(width))
            .for_each(|(out, row)| {
                let mut longer = vec![row[0]; reach];
                longer.extend_from_slice(row);
                longer.resize(width + 2 * reach, row[width - 1]);
                for (out, window) in out.iter_mut().zip(longer.windows(rows.0.len())) {
                    *out = rows.0.iter().zip(window).map(|(k, v)| k * v).sum();
                }
            });
        out
    };
    let reach = columns.reach();
    let mut out = vec![0.0; plane.len()];
    out.par_chunks_mut(width).enumerate().for_each(|(y, out)| {
        for (offset, weight) in columns.0.iter().enumerate() {
            let from = (y + offset).saturating_sub(reach).min(height - 1);
            let row = &along_rows[from * width..][..width];
            out.iter_mut()
                .zip(row)
                .for_each(|(out, value)| *out += weight * value);
        }
    });
    out
}

/// A plane blurred by a Gaussian of a small sigma.
pub(super) fn blurred(plane: &[f32], width: usize, sigma: f32) -> Vec<f32> {
    let bell = Kernel::new(sigma, Derivative::None);
    filtered(plane, width, &bell, &bell)
}

/// A plane's mean within about `reach` cells, by three passes of a box.
pub(super) fn wide_mean(plane: &[f32], width: usize, reach: usize) -> Vec<f32> {
    (0..3).fold(plane.to_vec(), |plane, _| {
        columns_boxed(&rows_boxed(&plane, width, reach), width, reach)
    })
}

/// Length of a plane's gradient by differences of neighbours.
pub(super) fn gradient_length(plane: &[f32], width: usize) -> Vec<f32> {
    let height = plane.len() / width;
    (0..plane.len())
        .into_par_iter()
        .with_min_len(1 << 12)
        .map(|at| {
            let (x, y) = (at % width, at / width);
            let across = plane[at + usize::from(x + 1 < width)] - plane[at - usize::from(x > 0)];
            let down = plane[if y + 1 < height { at + width } else { at }]
                - plane[if y > 0 { at - width } else { at }];
            0.5 * libm::hypotf(across, down)
        })
        .collect()
}
