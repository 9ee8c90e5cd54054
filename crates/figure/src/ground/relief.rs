//! Relief: 0 in deep recesses, 1 on the ridges of edges, read from the photo's tone against its surroundings.
//!
//! In: luminance and regions. Out: a 16-bit plane of the numbers that `velatura_optics::relief` reads, the figure's median
//! at 0.5. Drybrush and light both leave hollows
//! darker than their surroundings, so the logarithm of the tone minus its mean within some reach separates hollows from
//! edges of that size; three sizes are added. Only pixels of the figure count: the backdrop must not bleed in.
//! The measure is a sum of centre–surround differences as in Itti, Koch, Niebur 1998, IEEE Trans. PAMI 20:1254; sizes and
//! weights are ours, chosen by eye.

use rayon::prelude::*;

use velatura_optics::relief::Relief;

use super::edges::{Cells, nearness};
use super::grid::{Grid, extent};
use super::{PLANE_MAX, as_code};

use crate::plate::{CropBox, Plate, Subject};

/// Rows that the figure has on the grid that relief is computed on: finer detail is brushwork and noise.
const GRID_ROWS: usize = 1600;
/// Reach of the surroundings as shares of the figure's height, and the weight of each.
const SCALES: [(f64, f32); 3] = [(0.004, 1.0), (0.012, 0.8), (0.035, 0.5)];
const WIDEST: f64 = SCALES[2].0;
/// The most memory per cell at one time, in bytes.
const BYTES_PER_CELL: u64 = 36;
/// Added to luminance before the logarithm: below it there is only noise.
const FLOOR: f32 = 0.003;

/// The relief plane of a plate, whose figure has `px_per_mm` pixels a millimetre.
pub(super) fn relief(plate: &Plate, px_per_mm: f64) -> Vec<u16> {
    let width = plate.subject.width as usize;
    let Some(figure) = plate.subject.figure_box() else {
        return vec![as_code(PLANE_MAX / 2.0); plate.subject.region.len()];
    };
    let grid = Grid::of(plate, figure, factor(figure), WIDEST, FLOOR);
    let mut raw = vec![0.0_f32; grid.tone.len()];
    let mut smooth = Vec::new();
    for (share, scale_weight) in SCALES {
        let around = grid.surroundings(&grid.tone, grid.reach(share));
        raw.par_iter_mut()
            .zip(&grid.tone)
            .zip(&around)
            .for_each(|((raw, tone), around)| {
                *raw += scale_weight * (tone - around);
            });
        if smooth.is_empty() {
            smooth = around;
        }
    }
    let levels = levels(&raw, &grid.weight);
    let mut height = raw;
    height
        .par_iter_mut()
        .for_each(|raw| *raw = levels.relief(*raw));
    #[allow(clippy::cast_precision_loss, reason = "a few pixels per cell")]
    let per_mm = px_per_mm / factor(figure) as f64;
    let near = nearness(&Cells {
        width: grid.width,
        tone: &smooth,
        height: &height,
        weight: &grid.weight,
        per_mm,
    });
    drop(smooth);
    let mut relief = vec![as_code(PLANE_MAX / 2.0); plate.subject.region.len()];
    relief
        .par_chunks_mut(width.max(1))
        .zip(plate.subject.region.par_chunks(width.max(1)))
        .enumerate()
        .for_each(|(y, (row, regions))| {
            let (height, near) = (grid.row_between(&height, y), grid.row_between(&near, y));
            let pixels = row.iter_mut().zip(regions).enumerate();
            for (x, (relief, _)) in pixels.filter(|(_, (_, region))| **region != 0) {
                let height = height.at(x);
                // Most places are not raised, and need no second look.
                let near = if Relief::may_be_edge(height) {
                    near.at(x)
                } else {
                    0.0
                };
                let number = Relief::number(height, near);
                *relief = as_code(f64::from(number * 65535.0).round());
            }
        });
    relief
}

/// Pixels per cell and side.
fn factor(figure: CropBox) -> usize {
    (figure.height as usize / GRID_ROWS).max(1)
}

/// The most memory that [`relief`] takes at one time, in bytes, without the plane that it returns.
pub(super) fn room(subject: &Subject) -> u64 {
    subject.figure_box().map_or(0, |figure| {
        let (_, [width, height]) = extent(subject, figure, factor(figure), WIDEST);
        BYTES_PER_CELL * width as u64 * height as u64
    })
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
        let steps = (raw - self.middle) / side.max(1e-4) * libm::logf(9.0_f32);
        1.0 / (1.0 + libm::expf(-steps))
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
