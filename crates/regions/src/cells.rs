//! From marks to a label for every cell of the grid: first the figure against the background, then its parts.
//!
//! In: the grid and its marks. Out: soft scores per cell, so that the full size can cut between cells. The figure's scores come
//! from `figure.rs`, those of the parts from `parts.rs`.

use crate::edges::strength;
use crate::figure::figure;
use crate::grid::Grid;
use crate::parts::parts;

/// The beliefs about every cell.
#[derive(Debug)]
pub(super) struct Belief {
    /// 0 background … 1 figure.
    pub(super) figure: Vec<f32>,
    /// One plane per region, 0…1; they add up to 1 in each cell of the figure.
    pub(super) parts: Vec<Vec<f32>>,
}

/// Beliefs about the cells. `marks` holds 0 for the background's strokes, a region's index + 1 or
/// [`UNMARKED`](super::strokes::UNMARKED).
pub(super) fn belief(grid: &Grid, marks: &[u8], regions: usize) -> Belief {
    let strength = strength(grid);
    let figure = if marks.contains(&0) {
        figure(grid, marks, &strength)
    } else {
        vec![1.0; grid.len()]
    };
    let parts = parts(grid, marks, &strength, &figure, regions);
    Belief { figure, parts }
}

impl Belief {
    /// The more likely label of a cell: 0 for background, else a region's index + 1. The first among equals.
    pub(super) fn label(&self, at: usize) -> u8 {
        if self.figure[at] <= 0.5 {
            return 0;
        }
        likeliest(self.parts.iter().map(|part| part[at]))
    }

    /// Updates beliefs to labels that were changed later.
    pub(super) fn agree_with(&mut self, labels: &[u8]) {
        for (at, label) in labels.iter().enumerate() {
            if self.label(at) == *label {
                continue;
            }
            self.figure[at] = if *label == 0 { 0.0 } else { 1.0 };
            for (region, part) in self.parts.iter_mut().enumerate() {
                part[at] = if region + 1 == usize::from(*label) {
                    1.0
                } else {
                    0.0
                };
            }
        }
    }
}

/// The label of the largest score; the first among equals.
pub(super) fn likeliest(scores: impl Iterator<Item = f32>) -> u8 {
    let (label, _) = scores.enumerate().fold((0, -1.0), |best, (index, score)| {
        if score > best.1 { (index, score) } else { best }
    });
    u8::try_from(label + 1).expect("at most 250 regions")
}
