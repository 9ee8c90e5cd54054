//! Islands: cells of one label that hang together and hold no stroke of it.
//!
//! In: labels and marks of the grid. Out: the same labels, small islands given to the neighbour that they border on most, and a list
//! of what was done. A larger island stays what tone and edges say (the gap between two legs is background, stroke or
//! not), but a person should look at it, so it is listed too.

use super::grid::{Grid, beside};

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

/// Settles islands in `labels`; tells those worth telling, the largest first.
pub(super) fn settle(grid: &Grid, labels: &mut [u8], marks: &[u8]) -> Vec<Island> {
    let mut seen = vec![false; labels.len()];
    let mut islands = Vec::new();
    for start in 0..labels.len() {
        if seen[start] {
            continue;
        }
        let label = labels[start];
        let cells = hanging_together(grid, labels, start, &mut seen);
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
            let (columns, rows) = grid.pixels_of(cells[cells.len() / 2]);
            islands.push(Island {
                label,
                pixels: cells.len() * grid.photo_width * grid.photo_height / grid.len(),
                at: (columns.start, rows.start),
                fate,
            });
        }
    }
    islands.sort_by_key(|island| (std::cmp::Reverse(island.pixels), island.at));
    islands
}

fn hanging_together(grid: &Grid, labels: &[u8], start: usize, seen: &mut [bool]) -> Vec<usize> {
    let mut cells = vec![start];
    seen[start] = true;
    let mut next = 0;
    while let Some(&at) = cells.get(next) {
        next += 1;
        for near in beside(at, grid.width, grid.len()) {
            if !seen[near] && labels[near] == labels[start] {
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
