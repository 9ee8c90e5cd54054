//! Islands: cells of one label that hang together and hold no stroke of it.
//!
//! In: labels and marks of the grid. Out: the same labels, small islands given to the neighbour that they border on most, and a list
//! of what was done. A figure hangs together with its strokes, so what looks like it but touches none of them (a patch of the base, a
//! thing in the backdrop) is background. Any other larger island stays what tone and edges say (the gap between two legs is background,
//! stroke or not), but a person should look at it, so it is listed too.

use crate::grid::{Grid, around, beside};
use crate::strokes::UNMARKED;

/// Islands of fewer cells go to their neighbour: at this size they are grain or a highlight.
const SMALL: usize = 24;
/// Islands of fewer cells are not worth telling.
const WORTH_TELLING: usize = 6;

/// What became of an island.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fate {
    /// It kept its label.
    Kept,
    /// It went to the neighbour that it borders on most.
    GivenTo(u8),
}

/// Pixels of one region, or of the background, that hang together and hold no stroke of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Island {
    /// 0 for background, else the region's index + 1.
    pub label: u8,
    /// About how many pixels.
    pub pixels: usize,
    /// A pixel of it, column and row.
    pub at: (usize, usize),
    /// What became of it.
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
        if cells.len() >= WORTH_TELLING {
            islands.push(told(grid, &cells, label, fate));
        }
    }
    islands.sort_by_key(|island| (std::cmp::Reverse(island.pixels), island.at));
    islands
}

/// Gives the figure's cells that hang together with no stroke of it to the background. Corners hold: a thin limb may lie aslant.
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
        if cells.len() >= WORTH_TELLING {
            let label = labels[cells[cells.len() / 2]];
            islands.push(told(grid, &cells, label, Fate::GivenTo(0)));
        }
        cells.iter().for_each(|at| labels[*at] = 0);
    }
    islands
}

fn told(grid: &Grid, cells: &[usize], label: u8, fate: Fate) -> Island {
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

/// The label that most of the cells' outer neighbours have; of equals the lowest.
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
