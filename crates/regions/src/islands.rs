//! Islands: cells of one label that are connected and hold no stroke of it.
//!
//! In: labels and marks of the grid. Out: the same labels, with small islands given to the neighbour with the longest common
//! border, and a list of changes. A figure is connected to its strokes, so what looks like it but touches none of them (a patch
//! of the base, a thing in the backdrop) is background. Any other larger island keeps its label (the gap between two legs is
//! background, with or without a stroke), but it is listed too, so that a person can check it.

use crate::grid::{Grid, around, beside};
use crate::strokes::UNMARKED;

/// Islands of fewer cells go to their neighbour: at this size they are grain or a highlight.
const SMALL: usize = 24;
/// Islands of fewer cells are not worth reporting.
const WORTH_REPORTING: usize = 6;

/// What happened to an island.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fate {
    /// It kept its label.
    Kept,
    /// It was given to the neighbour with the longest common border.
    GivenTo(u8),
}

/// Pixels of one region, or of the background, that are connected and hold no stroke of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Island {
    /// 0 for background, else the region's index + 1.
    pub label: u8,
    /// About how many pixels.
    pub pixels: usize,
    /// A pixel of it, column and row.
    pub at: (usize, usize),
    /// What happened to it.
    pub fate: Fate,
}

/// Settles islands in `labels`; returns those worth reporting, the largest first.
pub(super) fn settle(grid: &Grid, labels: &mut [u8], marks: &[u8]) -> Vec<Island> {
    let mut islands = left_alone(grid, labels, marks);
    let mut seen = vec![false; labels.len()];
    for start in 0..labels.len() {
        if seen[start] {
            continue;
        }
        let label = labels[start];
        let near = |at| beside(at, grid.width, grid.len());
        let cells = hanging_together(start, &mut seen, near, |at| labels[at] == label);
        if cells.iter().any(|at| marks[*at] == label) {
            continue;
        }
        let fate = if cells.len() < SMALL {
            bordering(grid, labels, &cells).map_or(Fate::Kept, Fate::GivenTo)
        } else {
            Fate::Kept
        };
        if let Fate::GivenTo(other) = fate {
            cells.iter().for_each(|at| labels[*at] = other);
        }
        if cells.len() >= WORTH_REPORTING {
            islands.push(island(grid, &cells, label, fate));
        }
    }
    islands.sort_by_key(|island| (std::cmp::Reverse(island.pixels), island.at));
    islands
}

/// Gives cells of the figure without a connection to its strokes to the background. Corners connect: a thin limb may be diagonal.
fn left_alone(grid: &Grid, labels: &mut [u8], marks: &[u8]) -> Vec<Island> {
    let mut seen = vec![false; labels.len()];
    let mut islands = Vec::new();
    for start in 0..labels.len() {
        if seen[start] || labels[start] == 0 {
            continue;
        }
        let near = |at| around(at, grid.width, grid.len());
        let cells = hanging_together(start, &mut seen, near, |at| labels[at] != 0);
        if cells.iter().any(|at| marks[*at] != UNMARKED) {
            continue;
        }
        if cells.len() >= WORTH_REPORTING {
            let label = labels[cells[cells.len() / 2]];
            islands.push(island(grid, &cells, label, Fate::GivenTo(0)));
        }
        cells.iter().for_each(|at| labels[*at] = 0);
    }
    islands
}

fn island(grid: &Grid, cells: &[usize], label: u8, fate: Fate) -> Island {
    let (columns, rows) = grid.pixels_of(cells[cells.len() / 2]);
    Island {
        label,
        pixels: cells.len() * grid.photo_width * grid.photo_height / grid.len(),
        at: (columns.start, rows.start),
        fate,
    }
}

fn hanging_together<Near: Iterator<Item = usize>>(
    start: usize,
    seen: &mut [bool],
    near: impl Fn(usize) -> Near,
    belongs: impl Fn(usize) -> bool,
) -> Vec<usize> {
    let mut cells = vec![start];
    seen[start] = true;
    let mut next = 0;
    while let Some(&at) = cells.get(next) {
        next += 1;
        for near in near(at) {
            if !seen[near] && belongs(near) {
                seen[near] = true;
                cells.push(near);
            }
        }
    }
    cells
}

/// The most common label among the outer neighbours of the cells; the lowest among equals.
fn bordering(grid: &Grid, labels: &[u8], cells: &[usize]) -> Option<u8> {
    let own = labels[cells[0]];
    let mut counts = [0_usize; 256];
    for near in cells
        .iter()
        .flat_map(|at| beside(*at, grid.width, grid.len()))
    {
        if labels[near] != own {
            counts[usize::from(labels[near])] += 1;
        }
    }
    (0..=u8::MAX)
        .filter(|label| counts[usize::from(*label)] > 0)
        .max_by_key(|label| (counts[usize::from(*label)], std::cmp::Reverse(*label)))
}
