//! Edges: how near each raised place is to the ridge of an edge that the drybrush caught.
//!
//! In: the grid of the figure's tone, smoothed, and its relief. Out: nearness per cell, 0 (no edge near) … 1 (on a ridge).
//! A cell is on a ridge if it is brighter than the places on both sides of it, in one of four directions. The distance to
//! the nearest ridge is exact within the reach: rows first, then columns, as in Felzenszwalb, Huttenlocher 2012, Theory of
//! Computing 8:415. How far apart the sides are, how much darker, and how an edge fades are ours, chosen by eye on the two
//! demo figures, where lines of 0.3 mm covered about 6 and 5 % of the figure in a trial. No other figure was tried.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "cells of a grid of some thousand rows, and shares"
)]

use rayon::prelude::*;
use velatura_optics::relief::{EDGE_REACH_MM, PLAIN_UP_TO, Relief};

/// Distance of the places on both sides of a ridge, in millimetres on the figure.
const SIDE_MM: f64 = 0.5;
/// How much darker both are, as a difference of natural logarithms of the tone.
const DARKER: f32 = 0.12;
/// Relief from which an edge has its full width: towards the ends of a ridge the line thins out.
const FULL_FROM: f32 = 0.9;
/// A row has no ridge in reach.
const NONE: u16 = u16::MAX;

/// The planes that edges are read from; all are row-major with `width` cells per row.
pub(super) struct Cells<'a> {
    pub(super) width: usize,
    /// Logarithm of the tone, smoothed over about a tenth of a millimetre.
    pub(super) tone: &'a [f32],
    /// Relief 0…1.
    pub(super) height: &'a [f32],
    /// Share of each cell that is figure.
    pub(super) weight: &'a [f32],
    /// Cells per millimetre on the figure.
    pub(super) per_mm: f64,
}

/// Nearness to a ridge per cell.
pub(super) fn nearness(cells: &Cells<'_>) -> Vec<f32> {
    let width = cells.width.max(1);
    let reach = EDGE_REACH_MM * cells.per_mm;
    let reach_cells = reach.ceil().min(f64::from(NONE - 1)) as usize;
    let along = distance_along_rows(cells, reach_cells);
    let mut near = vec![0.0_f32; cells.tone.len()];
    near.par_chunks_mut(width).enumerate().for_each(|(y, row)| {
        let rows = y.saturating_sub(reach_cells)..(y + reach_cells + 1).min(along.len() / width);
        for (x, near) in row.iter_mut().enumerate() {
            let height = cells.height[y * width + x];
            if !Relief::may_be_edge(height) || cells.weight[y * width + x] <= 0.0 {
                continue;
            }
            let nearest = rows
                .clone()
                .filter(|row| along[row * width + x] != NONE)
                .map(|row| {
                    let (across, down) = (f64::from(along[row * width + x]), row.abs_diff(y));
                    across * across + (down * down) as f64
                })
                .fold(f64::INFINITY, f64::min);
            let distance = (nearest.sqrt() / reach).min(1.0) as f32;
            let raised = (height - PLAIN_UP_TO as f32) / (FULL_FROM - PLAIN_UP_TO as f32);
            *near = (1.0 - distance) * raised.clamp(0.0, 1.0);
        }
    });
    near
}

/// Cells to the nearest ridge in the same row, or [`NONE`].
fn distance_along_rows(cells: &Cells<'_>, reach: usize) -> Vec<u16> {
    let width = cells.width.max(1);
    let side = ((SIDE_MM * cells.per_mm).round() as usize).max(1);
    let mut along = vec![NONE; cells.tone.len()];
    along
        .par_chunks_mut(width)
        .enumerate()
        .for_each(|(y, row)| {
            let ridges: Vec<usize> = (0..width)
                .filter(|x| is_ridge(cells, *x, y, side))
                .collect();
            for ridge in ridges {
                let from = ridge.saturating_sub(reach);
                for (x, along) in (from..).zip(&mut row[from..(ridge + reach + 1).min(width)]) {
                    *along = (*along).min(x.abs_diff(ridge) as u16);
                }
            }
        });
    along
}

/// Whether a cell is brighter than its neighbours and clearly brighter than what is `side` cells away, on both sides.
fn is_ridge(cells: &Cells<'_>, x: usize, y: usize, side: usize) -> bool {
    let at = y * cells.width + x;
    if !Relief::may_be_edge(cells.height[at]) || cells.weight[at] <= 0.0 {
        return false;
    }
    let own = cells.tone[at];
    let tone = |dx: isize, dy: isize, steps: usize| -> Option<f32> {
        let place = |at: usize, d: isize| at.checked_add_signed(d * steps as isize);
        let (x, y) = (place(x, dx)?, place(y, dy)?);
        let other = y * cells.width + x;
        let inside = x < cells.width && cells.weight.get(other).is_some_and(|one| *one > 0.0);
        inside.then(|| cells.tone[other])
    };
    [(1, 0), (0, 1), (1, 1), (1, -1)]
        .into_iter()
        .any(|(dx, dy)| {
            let next = [tone(dx, dy, 1), tone(-dx, -dy, 1)];
            let sides = [tone(dx, dy, side), tone(-dx, -dy, side)];
            // Beyond the figure there is nothing: its outline is an edge if the side within the figure is darker.
            next.iter().flatten().all(|next| *next <= own)
                && sides.iter().flatten().all(|side| *side <= own - DARKER)
                && sides.iter().any(Option::is_some)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    const WIDTH: usize = 60;

    /// A bright vertical line in the middle, ten cells per millimetre, raised everywhere.
    fn nearness_of(line: impl Fn(usize, usize) -> f32) -> Vec<f32> {
        let tone: Vec<f32> = (0..WIDTH * 40)
            .map(|at| line(at % WIDTH, at / WIDTH))
            .collect();
        nearness(&Cells {
            width: WIDTH,
            height: &vec![1.0; tone.len()],
            weight: &vec![1.0; tone.len()],
            per_mm: 10.0,
            tone: &tone,
        })
    }

    #[test]
    fn nearness_falls_with_the_distance_to_a_ridge() {
        let near = nearness_of(|x, _| -0.1 * (x as f32 - 30.0).abs());
        let row = &near[20 * WIDTH..21 * WIDTH];
        for mm in 0..=5_u8 {
            let expected = 1.0 - f32::from(mm) * 0.1 / EDGE_REACH_MM as f32;
            for x in [30 + usize::from(mm), 30 - usize::from(mm)] {
                assert!((row[x] - expected).abs() < 1e-5, "{x}: {}", row[x]);
            }
        }
        assert!(row[..24].iter().chain(&row[37..]).all(|near| *near == 0.0));
    }

    #[test]
    fn an_even_slope_has_no_ridge_and_a_faint_one_does_not_count() {
        let inner = |near: Vec<f32>| (10..30).all(|y| (10..50).all(|x| near[y * WIDTH + x] == 0.0));
        assert!(inner(nearness_of(|x, y| 0.01 * x as f32 + 0.02 * y as f32)));
        assert!(inner(nearness_of(|x, _| if x == 30 {
            DARKER * 0.9
        } else {
            0.0
        })));
        assert!(!inner(nearness_of(|x, _| if x == 30 {
            DARKER * 1.1
        } else {
            0.0
        })));
    }
}
