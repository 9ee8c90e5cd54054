//! The parts of the figure.
//!
//! In: the grid, its marks, strengths of edges, how much each cell is figure. Out: a plane per region, 0…1. Parts of a grey
//! figure differ in little except the hollows between them, so appearance has no vote here. Two others have: walks from each
//! part's strokes (`travel.rs`), and the joining of basins over weak borders (`join.rs`). The result is smoothed where there is
//! no edge.

use rayon::prelude::*;

use crate::basins::Basins;
use crate::edges::against_surroundings;
use crate::filters::blurred;
use crate::grid::Grid;
use crate::join::joined;
use crate::smooth::Links;
use crate::strokes::UNMARKED;
use crate::travel::{Cell, travel};

/// A step costs the strength to this power.
const POWER: i32 = 3;
/// Cost of distance alone: almost nothing, otherwise a part would stop in the middle of its own open surface.
const STEP: f32 = 0.01;
/// Cost of leaving the figure.
const LEAVING: f32 = 30.0;
/// Costs are compared above this.
const NEAR: f32 = 0.05;
/// Vote of joining; the votes of walks add up to 1 over the parts.
const VOICE_OF_JOINING: f32 = 0.5;
/// A basin belongs to the figure if at least this share of it does.
const INSIDE: f32 = 0.3;
/// Blur of strength before basins are found, in cells.
const BASIN_BLUR: f32 = 0.6;
/// Weight of each cell's first opinion during smoothing, and the number of steps.
const SURENESS: f32 = 0.01;
const STEPS: usize = 60;

/// How much each cell is of each part.
pub(super) fn parts(
    grid: &Grid,
    marks: &[u8],
    strength: &[f32],
    figure: &[f32],
    regions: usize,
) -> Vec<Vec<f32>> {
    let inside: Vec<bool> = (0..grid.len())
        .map(|at| match marks[at] {
            0 => false,
            UNMARKED => figure[at] > 0.5,
            _ => true,
        })
        .collect();
    let mut edges = against_surroundings(grid, strength, |at| inside[at]);
    let basins = Basins::of(&blurred(&edges, grid.width, BASIN_BLUR), grid.width, marks);
    let cost: Vec<f32> = edges
        .iter()
        .zip(&inside)
        .map(|(edge, inside)| edge.powi(POWER) + if *inside { 0.0 } else { LEAVING })
        .collect();
    for (edge, inside) in edges.iter_mut().zip(&inside) {
        if !inside {
            *edge = LEAVING;
        }
    }
    let (mut parts, joined) = rayon::join(
        || walks(grid, marks, &cost, &inside, regions),
        || {
            let share = shares(&basins, &inside);
            joined(&basins, &edges, grid.width, |basin| share[basin] > INSIDE)
        },
    );
    for (at, basin) in basins.of.iter().enumerate() {
        let mark = joined[*basin as usize];
        if inside[at] && mark != 0 && mark != UNMARKED {
            parts[usize::from(mark) - 1][at] += VOICE_OF_JOINING;
        }
    }
    share_out(&mut parts);
    let links = Links::across(&edges, grid.width);
    parts.par_iter_mut().for_each(|part| {
        links.smooth(part, SURENESS, STEPS, |at| {
            marks[at] != UNMARKED || !inside[at]
        });
    });
    parts
}

/// The vote of each part's walk for each cell: the inverse square of its cost, as a share.
fn walks(
    grid: &Grid,
    marks: &[u8],
    cost: &[f32],
    inside: &[bool],
    regions: usize,
) -> Vec<Vec<f32>> {
    let mut parts = (1..=regions)
        .into_par_iter()
        .map(|region| {
            let reached = travel(
                cost,
                grid.width,
                STEP,
                |at| match marks[at] {
                    UNMARKED => Cell::Open,
                    mark if usize::from(mark) == region => Cell::Start(0.0),
                    _ => Cell::Closed,
                },
                |at| inside[at],
            );
            reached.iter().map(|cost| (cost + NEAR).powi(-2)).collect()
        })
        .collect();
    share_out(&mut parts);
    parts
}

/// Makes scores add up to 1 in each cell that has any.
fn share_out(parts: &mut Vec<Vec<f32>>) {
    let mut sums = vec![0.0_f32; parts.first().map_or(0, Vec::len)];
    for part in parts.iter() {
        sums.iter_mut()
            .zip(part)
            .for_each(|(sum, score)| *sum += score);
    }
    parts.par_iter_mut().for_each(|part| {
        for (score, sum) in part.iter_mut().zip(&sums) {
            if *sum > 0.0 {
                *score /= sum;
            }
        }
    });
}

/// The share of each basin that is figure.
fn shares(basins: &Basins, inside: &[bool]) -> Vec<f32> {
    let mut shares = vec![0.0; basins.len()];
    for (basin, inside) in basins.of.iter().zip(inside) {
        if *inside {
            shares[*basin as usize] += 1.0 / basins.size[*basin as usize];
        }
    }
    shares
}
