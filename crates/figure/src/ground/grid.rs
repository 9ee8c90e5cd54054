//! A coarser picture of the figure's tone, in which only the figure has weight.
//!
//! In: a plate. Out: the mean logarithm of tone per cell, weighted means of such planes, and rows of the full picture between
//! the cells.

use rayon::prelude::*;
use velatura_photo::box_mean::{columns_boxed, rows_boxed};

use crate::plate::{CropBox, Plate, Subject};

/// A coarser picture in which only the figure has weight. It ends where a mean of the widest reach no longer sees the figure.
pub(super) struct Grid {
    /// Cells per row.
    pub(super) width: usize,
    height: usize,
    /// Columns and rows of cells in the photo before the first one here.
    origin: [usize; 2],
    figure: CropBox,
    /// Pixels per cell and side.
    factor: usize,
    /// For each column of the photo the cells before and after it.
    columns: Vec<Between>,
    /// Mean logarithm of tone of the figure's pixels in each cell.
    pub(super) tone: Vec<f32>,
    /// Share of each cell that is figure.
    pub(super) weight: Vec<f32>,
}

impl Grid {
    /// Cells of `factor × factor` pixels around `figure`, with space for means of up to `widest` of its height; `floor` is added to
    /// luminance before the logarithm.
    pub(super) fn of(
        plate: &Plate,
        figure: CropBox,
        factor: usize,
        widest: f64,
        floor: f32,
    ) -> Self {
        let [full_width, full_height] =
            [plate.subject.width, plate.subject.height].map(|side| side as usize);
        let (origin, [width, height]) = extent(&plate.subject, figure, factor, widest);
        let [first_column, first_row] = origin;
        let cells: Vec<(f32, f32)> = (0..width * height)
            .into_par_iter()
            .with_min_len(1 << 10)
            .map(|cell| {
                let left = (cell % width + first_column) * factor;
                let top = (cell / width + first_row) * factor;
                let (mut sum, mut count) = (0.0_f32, 0.0_f32);
                for y in top..(top + factor).min(full_height) {
                    for x in left..(left + factor).min(full_width) {
                        let at = y * full_width + x;
                        if plate.subject.region[at] != 0 {
                            sum += libm::logf(f32::from(plate.luminance[at]) / 65535.0 + floor);
                            count += 1.0;
                        }
                    }
                }
                #[allow(clippy::cast_precision_loss, reason = "a cell is small")]
                let area = (factor * factor) as f32;
                if count > 0.0 {
                    (sum / count, count / area)
                } else {
                    (0.0, 0.0)
                }
            })
            .collect();
        let (tone, weight) = cells.into_iter().unzip();
        let column = |x: usize| Between::of(x, factor, first_column, width);
        Self {
            width,
            height,
            origin,
            figure,
            factor,
            columns: (0..full_width).map(column).collect(),
            tone,
            weight,
        }
    }

    /// A share of the figure's height in cells, at least one.
    pub(super) fn reach(&self, share: f64) -> usize {
        reach(share, self.figure, self.factor)
    }

    /// The weighted mean within about `reach` cells: three passes of a box come near a bell curve.
    pub(super) fn surroundings(&self, plane: &[f32], reach: usize) -> Vec<f32> {
        let mut weight = self.weight.clone();
        let mut sum: Vec<f32> = plane
            .iter()
            .zip(&self.weight)
            .map(|(value, weight)| value * weight)
            .collect();
        for _ in 0..3 {
            sum = self.boxed(&sum, reach);
            weight = self.boxed(&weight, reach);
        }
        sum.iter()
            .zip(&weight)
            .zip(plane)
            .map(|((sum, weight), value)| if *weight > 1e-6 { sum / weight } else { *value })
            .collect()
    }

    fn boxed(&self, plane: &[f32], reach: usize) -> Vec<f32> {
        columns_boxed(&rows_boxed(plane, self.width, reach), self.width, reach)
    }

    /// One row of the full picture, between the cells by straight lines.
    pub(super) fn row_between<'a>(&'a self, plane: &'a [f32], y: usize) -> RowBetween<'a> {
        let Between { first, next, share } =
            Between::of(y, self.factor, self.origin[1], self.height);
        let row = |row: usize| &plane[row * self.width..(row + 1) * self.width];
        RowBetween {
            above: row(first),
            below: row(next),
            down: share,
            columns: &self.columns,
        }
    }
}

/// The cells before and after a pixel along one side, and how far it is between their centres.
#[derive(Debug, Clone, Copy)]
struct Between {
    first: usize,
    next: usize,
    share: f32,
}

impl Between {
    /// Of the pixel `at` on a grid of `cells` cells of `factor` pixels, which begins `origin` cells into the photo.
    #[allow(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "places on the grid, clamped to it"
    )]
    fn of(at: usize, factor: usize, origin: usize, cells: usize) -> Self {
        let centre = (at as f32 + 0.5) / factor as f32 - 0.5;
        let centre = (centre - origin as f32).clamp(0.0, (cells - 1) as f32);
        let first = (centre as usize).min(cells.saturating_sub(2));
        Self {
            first,
            next: (first + 1).min(cells - 1),
            share: centre - first as f32,
        }
    }
}

/// The first column and row of a grid as [`Grid::of`] makes it, and its size in cells.
pub(super) fn extent(
    subject: &Subject,
    figure: CropBox,
    factor: usize,
    widest: f64,
) -> ([usize; 2], [usize; 2]) {
    let space = 3 * reach(widest, figure, factor) + 1;
    let along = |from: u32, length: u32, full: u32| {
        let (from, end, full) = (from as usize, (from + length) as usize, full as usize);
        let first = (from / factor).saturating_sub(space);
        let after = (end.div_ceil(factor) + space).min(full.div_ceil(factor));
        (first, after - first)
    };
    let (column, width) = along(figure.x, figure.width, subject.width);
    let (row, height) = along(figure.y, figure.height, subject.height);
    ([column, row], [width, height])
}

#[allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a small share of a side"
)]
fn reach(share: f64, figure: CropBox, factor: usize) -> usize {
    ((share * f64::from(figure.height) / factor as f64).round() as usize).max(1)
}

/// A row of the full picture.
pub(super) struct RowBetween<'a> {
    above: &'a [f32],
    below: &'a [f32],
    down: f32,
    columns: &'a [Between],
}

impl RowBetween<'_> {
    /// The value at a pixel of the row.
    pub(super) fn at(&self, x: usize) -> f32 {
        let Between { first, next, share } = self.columns[x];
        let along = |row: &[f32]| row[first] + (row[next] - row[first]) * share;
        let (above, below) = (along(self.above), along(self.below));
        above + (below - above) * self.down
    }
}
