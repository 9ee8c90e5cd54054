//! Joins basins over their weakest borders first, until each is connected to a mark.
//!
//! In: basins, strengths of edges, which basins take part. Out: a mark per basin. The strength of a border is its mean strength
//! times a low power of the smaller basin's size; basins of different marks never join. A walk (`travel.rs`) slips through a
//! single weak cell of a border, a mean does not; but a walk is more reliable where borders are short. So both have a vote.
//! Greedy joining of a region graph with marks: Ning, Zhang, Zhang, Wu 2010, Pattern Recognition 43:445, with another measure.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

use crate::basins::Basins;
use crate::strokes::UNMARKED;

/// Power of the smaller basin's size: small ones join first.
const SIZE_POWER: f32 = 0.2;

/// A border between two basins.
#[derive(Debug, Clone, Copy, Default)]
struct Border {
    strength: f32,
    length: f32,
}

impl Border {
    fn add(&mut self, other: Self) {
        self.strength += other.strength;
        self.length += other.length;
    }
}

/// The mark that each basin joins; [`UNMARKED`] for those that reach none or do not take part.
pub(super) fn joined(
    basins: &Basins,
    edges: &[f32],
    width: usize,
    takes_part: impl Fn(usize) -> bool,
) -> Vec<u8> {
    let mut borders = borders(basins, edges, width, takes_part);
    let mut size = basins.size.clone();
    let mut mark = basins.mark.clone();
    let mut into: Vec<usize> = (0..basins.len()).collect();
    // An entry of the queue is out of date once one of its two has changed since.
    let mut changes = vec![0_u32; basins.len()];
    let mut queue = BinaryHeap::new();
    let entry = |a: usize, b: usize, border: &Border, size: &[f32], changes: &[u32]| {
        let parted = border.strength / border.length * libm::powf(size[a].min(size[b]), SIZE_POWER);
        Reverse((parted.to_bits(), a, b, changes[a], changes[b]))
    };
    for (a, others) in borders.iter().enumerate() {
        for (b, border) in others.range(a + 1..) {
            queue.push(entry(a, *b, border, &size, &changes));
        }
    }
    while let Some(Reverse((_, a, b, changes_of_a, changes_of_b))) = queue.pop() {
        let stale = changes[a] != changes_of_a || changes[b] != changes_of_b;
        if stale || (mark[a] != mark[b] && mark[a] != UNMARKED && mark[b] != UNMARKED) {
            continue;
        }
        into[b] = a;
        if mark[a] == UNMARKED {
            mark[a] = mark[b];
        }
        size[a] += size[b];
        changes[a] += 1;
        changes[b] = u32::MAX;
        for (other, border) in std::mem::take(&mut borders[b]) {
            borders[other].remove(&b);
            if other != a {
                borders[a].entry(other).or_default().add(border);
                borders[other].entry(a).or_default().add(border);
            }
        }
        for (other, border) in &borders[a] {
            queue.push(entry(a.min(*other), a.max(*other), border, &size, &changes));
        }
    }
    (0..basins.len())
        .map(|mut basin| {
            while into[basin] != basin {
                basin = into[basin];
            }
            mark[basin]
        })
        .collect()
}

/// Every basin's borders, by the neighbour's number.
fn borders(
    basins: &Basins,
    edges: &[f32],
    width: usize,
    takes_part: impl Fn(usize) -> bool,
) -> Vec<BTreeMap<usize, Border>> {
    let mut borders = vec![BTreeMap::<usize, Border>::new(); basins.len()];
    for at in 0..edges.len() {
        let right = (at % width + 1 < width).then_some(at + 1);
        let below = (at + width < edges.len()).then_some(at + width);
        for near in right.into_iter().chain(below) {
            let (a, b) = (basins.of[at] as usize, basins.of[near] as usize);
            if a != b && takes_part(a) && takes_part(b) {
                let step = Border {
                    strength: edges[at].max(edges[near]),
                    length: 1.0,
                };
                borders[a].entry(b).or_default().add(step);
                borders[b].entry(a).or_default().add(step);
            }
        }
    }
    borders
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_border_s_mean_parts_where_one_weak_cell_would_not() {
        // Two halves with a wall between them that has a gap of one cell; the left half has its own low, complete wall.
        let (width, height) = (15, 9);
        let edges: Vec<f32> = (0..width * height)
            .map(|at| match at % width {
                3 => 1.0,
                9 if at / width != 4 => 4.0,
                _ => 0.1,
            })
            .collect();
        let marks: Vec<u8> = (0..edges.len())
            .map(|at| match (at % width, at / width) {
                (7, 2..=6) => 1,
                (12, 2..=6) => 2,
                _ => UNMARKED,
            })
            .collect();
        let basins = Basins::of(&edges, width, &marks);
        let joined = joined(&basins, &edges, width, |_| true);
        let label = |x: usize, y: usize| joined[basins.of[y * width + x] as usize];
        for y in 0..height {
            assert_eq!(
                (label(1, y), label(5, y), label(13, y)),
                (1, 1, 2),
                "row {y}"
            );
        }
        // Must fail: a basin that does not take part is not joined.
        let alone = super::joined(&basins, &edges, width, |basin| {
            basin != basins.of[1] as usize
        });
        assert_eq!(alone[basins.of[1] as usize], UNMARKED);
    }
}
