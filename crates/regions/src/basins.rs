//! Small areas without an edge inside: the basins of a watershed, one per minimum of strength.
//!
//! In: strength of edges per cell. Out: a basin per cell. Flooding by rising level (Beucher, Meyer 1993), without lines between
//! basins; equals are flooded in order of place.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::grid::{around, beside};
use crate::strokes::UNMARKED;

/// Basins of a grid.
#[derive(Debug)]
pub(super) struct Basins {
    /// The basin of each cell.
    pub(super) of: Vec<u32>,
    /// Each basin's mark, or [`UNMARKED`]: every stroke floods its own basin.
    pub(super) mark: Vec<u8>,
    /// Cells of each basin.
    pub(super) size: Vec<f32>,
}

const NONE: u32 = u32::MAX;

impl Basins {
    /// Basins of `strength`; none contains two marks.
    pub(super) fn of(strength: &[f32], width: usize, marks: &[u8]) -> Self {
        let mut of = vec![NONE; strength.len()];
        let mut mark = Vec::new();
        let mut queue = BinaryHeap::new();
        // Bits of non-negative floats sort like the floats.
        let entry = |level: f32, at: usize| Reverse((level.to_bits(), index(at)));
        for start in 0..of.len() {
            if marks[start] != UNMARKED && of[start] == NONE {
                let basin = index(mark.len());
                mark.push(marks[start]);
                of[start] = basin;
                let mut stroke = vec![start];
                while let Some(at) = stroke.pop() {
                    queue.push(entry(0.0, at));
                    for near in beside(at, width, of.len()) {
                        if of[near] == NONE && marks[near] == marks[start] {
                            of[near] = basin;
                            stroke.push(near);
                        }
                    }
                }
            }
        }
        for start in 0..of.len() {
            let lowest = || {
                around(start, width, of.len()).all(|near| {
                    strength[near] > strength[start]
                        || (strength[near].to_bits() == strength[start].to_bits() && near >= start)
                })
            };
            if of[start] == NONE && lowest() {
                queue.push(entry(strength[start], start));
                of[start] = index(mark.len());
                mark.push(UNMARKED);
            }
        }
        while let Some(Reverse((level, at))) = queue.pop() {
            for near in beside(at as usize, width, of.len()) {
                if of[near] == NONE {
                    of[near] = of[at as usize];
                    queue.push(entry(strength[near].max(f32::from_bits(level)), near));
                }
            }
        }
        let mut size = vec![0.0; mark.len()];
        for basin in &of {
            size[*basin as usize] += 1.0;
        }
        Self { of, mark, size }
    }

    /// How many there are.
    pub(super) fn len(&self) -> usize {
        self.mark.len()
    }
}

fn index(at: usize) -> u32 {
    u32::try_from(at).expect("a grid has fewer than 2^32 cells")
}
