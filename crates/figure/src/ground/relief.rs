//! Relief: 0 in deep recesses, 1 on raised edges, read from the photo's tone against its surroundings.
//!
//! In: luminance and regions. Out: a 16-bit plane, the figure's median at 0.5. Drybrush and light both leave hollows
//! darker than their surroundings, so the logarithm of the tone minus its mean within some reach separates hollows from
//! edges of that size; three sizes are added. Only pixels of the figure count: the backdrop must not bleed in.
//! The measure is a sum of centre–surround differences as in Itti, Koch, Niebur 1998, IEEE Trans. PAMI 20:1254; sizes and
//! weights are ours, chosen by eye.

use rayon::prelude::*;

use super::{PLANE_MAX, as_code};
use velatura_photo::box_mean::{columns_boxed, rows_boxed};

use crate::plate::Plate;

/// Rows that the figure has on the grid that relief is computed on: finer detail is brushwork and noise.
const GRID_ROWS: usize = 1600;
/// Reach of the surroundings as shares of the figure's height, and the weight of each.
const SCALES: [(f64, f32); 3] = [(0.004, 1.0), (0.012, 0.8), (0.035, 0.5)];
/// Added to luminance before the logarithm: below it there is only noise.
const FLOOR: f32 = 0.003;

/// A coarser picture in which only the figure has weight.
struct Grid {
    width: usize,
    height: usize,
    /// Pixels per cell and side.
    factor: usize,
    /// Mean logarithm of tone of the figure's pixels in each cell.
    tone: Vec<f32>,
    /// Share of each cell that is figure.
    weight: Vec<f32>,
}

/// The relief plane of a plate.
pub(super) fn relief(plate: &Plate) -> Vec<u16> {
    let width = plate.width as usize;
    let Some(rows) = figure_rows(plate) else {
        return vec![as_code(PLANE_MAX / 2.0); plate.region.len()];
    };
    let grid = Grid::of(plate, (rows / GRID_ROWS).max(1));
    #[allow(clippy::cast_precision_loss, reason = "picture sides are small")]
    let figure_cells = rows as f64 / grid.factor as f64;
    let mut raw = vec![0.0_f32; grid.tone.len()];
    for (share, scale_weight) in SCALES {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a small share of a side"
        )]
        let reach = ((share * figure_cells).round() as usize).max(1);
        let around = grid.surroundings(reach);
        raw.par_iter_mut()
            .zip(&grid.tone)
            .zip(around)
            .for_each(|((raw, tone), around)| {
                *raw += scale_weight * (tone - around);
            });
    }
    let levels = levels(&raw, &grid.weight);
    let mapped: Vec<f32> = raw.par_iter().map(|raw| levels.relief(*raw)).collect();
    let mut relief = vec![0_u16; plate.region.len()];
    relief
        .par_chunks_mut(width.max(1))
        .enumerate()
        .for_each(|(y, row)| grid.enlarge_row(&mapped, y, row));
    relief
}

fn figure_rows(plate: &Plate) -> Option<usize> {
    let mut rows = plate
        .region
        .chunks(plate.width as usize)
        .map(|row| row.iter().any(|region| *region != 0));
    let first = rows.position(|any| any)?;
    let after = plate
        .region
        .chunks(plate.width as usize)
        .rposition(|row| row.iter().any(|region| *region != 0))?;
    Some(after + 1 - first)
}

impl Grid {
    fn of(plate: &Plate, factor: usize) -> Self {
        let (full_width, full_height) = (plate.width as usize, plate.height as usize);
        let (width, height) = (full_width.div_ceil(factor), full_height.div_ceil(factor));
        let cells: Vec<(f32, f32)> = (0..width * height)
            .into_par_iter()
            .with_min_len(1 << 10)
            .map(|cell| {
                let (left, top) = (cell % width * factor, cell / width * factor);
                let (mut sum, mut count) = (0.0_f32, 0.0_f32);
                for y in top..(top + factor).min(full_height) {
                    for x in left..(left + factor).min(full_width) {
                        let at = y * full_width + x;
                        if plate.region[at] != 0 {
                            sum += (f32::from(plate.luminance[at]) / 65535.0 + FLOOR).ln();
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
        Self {
            width,
            height,
            factor,
            tone,
            weight,
        }
    }

    /// The weighted mean within about `reach` cells: three passes of a box come near a bell curve.
    fn surroundings(&self, reach: usize) -> Vec<f32> {
        let mut weight = self.weight.clone();
        let mut sum: Vec<f32> = self
            .tone
            .iter()
            .zip(&self.weight)
            .map(|(tone, weight)| tone * weight)
            .collect();
        for _ in 0..3 {
            sum = self.boxed(&sum, reach);
            weight = self.boxed(&weight, reach);
        }
        sum.iter()
            .zip(&weight)
            .zip(&self.tone)
            .map(|((sum, weight), tone)| if *weight > 1e-6 { sum / weight } else { *tone })
            .collect()
    }

    fn boxed(&self, plane: &[f32], reach: usize) -> Vec<f32> {
        columns_boxed(&rows_boxed(plane, self.width, reach), self.width, reach)
    }

    /// One row of the full picture, between the grid's cells by straight lines.
    #[allow(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "places on the grid, clamped to it"
    )]
    fn enlarge_row(&self, mapped: &[f32], y: usize, row: &mut [u16]) {
        let place = |at: usize, cells: usize| {
            let centre =
                ((at as f32 + 0.5) / self.factor as f32 - 0.5).clamp(0.0, (cells - 1) as f32);
            let first = (centre as usize).min(cells.saturating_sub(2));
            (first, (first + 1).min(cells - 1), centre - first as f32)
        };
        let (upper, lower, down) = place(y, self.height);
        for (x, relief) in row.iter_mut().enumerate() {
            let (left, right, across) = place(x, self.width);
            let at = |row: usize, column: usize| mapped[row * self.width + column];
            let above = at(upper, left) + (at(upper, right) - at(upper, left)) * across;
            let below = at(lower, left) + (at(lower, right) - at(lower, left)) * across;
            *relief = as_code(f64::from((above + (below - above) * down) * 65535.0).round());
        }
    }
}

/// The raw measure's 5 %, 50 % and 95 % marks on the figure.
struct Levels {
    low: f32,
    middle: f32,
    high: f32,
}

impl Levels {
    /// A smooth curve through 0.1, 0.5 and 0.9 at the three marks.
    fn relief(&self, raw: f32) -> f32 {
        let side = if raw < self.middle {
            self.middle - self.low
        } else {
            self.high - self.middle
        };
        let steps = (raw - self.middle) / side.max(1e-4) * 9.0_f32.ln();
        1.0 / (1.0 + (-steps).exp())
    }
}

fn levels(raw: &[f32], weight: &[f32]) -> Levels {
    let mut sorted: Vec<f32> = raw
        .iter()
        .zip(weight)
        .filter(|(_, weight)| **weight > 0.5)
        .map(|(raw, _)| *raw)
        .collect();
    if sorted.is_empty() {
        return Levels {
            low: -1.0,
            middle: 0.0,
            high: 1.0,
        };
    }
    sorted.sort_by(f32::total_cmp);
    let mark = |percent: usize| sorted[(sorted.len() - 1) * percent / 100];
    Levels {
        low: mark(5),
        middle: mark(50),
        high: mark(95),
    }
}
