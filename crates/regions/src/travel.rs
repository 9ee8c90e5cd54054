//! The cost of walking from a stroke to every cell: shortest paths over a plane of costs.
//!
//! In: a cost per cell. Out: the cheapest path's cost to each cell, eight neighbours, a step costing its length times the mean
//! of the two cells' costs and a little more. Costs are strengths to a high power, so a path is as expensive as the strongest
//! edge that it cannot avoid (as watersheds have it), and among equals the shorter path is cheaper (as with geodesic
//! distances). Algorithm: Dijkstra 1959, Numer. Math. 1:269.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// The role of a cell in one walk.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Cell {
    /// Anyone may pass.
    Open,
    /// The walk begins here, at this cost.
    Start(f32),
    /// A stroke of another region: no passage.
    Closed,
}

/// The cost of reaching each cell, with `step` per cell for distance alone; infinite if there is no path. The walk ends once
/// all `wanted` cells are reached; costs above that may be too high or infinite.
pub(super) fn travel(
    cost: &[f32],
    width: usize,
    step: f32,
    cell: impl Fn(usize) -> Cell,
    wanted: impl Fn(usize) -> bool,
) -> Vec<f32> {
    let height = cost.len() / width;
    let mut reached = vec![f32::INFINITY; cost.len()];
    let mut closed = vec![false; cost.len()];
    let mut queue = BinaryHeap::new();
    let mut missing = 0;
    for at in 0..cost.len() {
        let cell = cell(at);
        missing += usize::from(cell != Cell::Closed && wanted(at));
        match cell {
            Cell::Open => {}
            Cell::Closed => closed[at] = true,
            Cell::Start(first) => {
                reached[at] = first;
                queue.push(entry(first, at));
            }
        }
    }
    while let Some(Reverse(next)) = queue.pop() {
        let (so_far, at) = parts(next);
        if so_far > reached[at] {
            continue;
        }
        missing -= usize::from(wanted(at));
        if missing == 0 {
            break;
        }
        let (x, y) = (at % width, at / width);
        for near_y in y.saturating_sub(1)..=(y + 1).min(height - 1) {
            for near_x in x.saturating_sub(1)..=(x + 1).min(width - 1) {
                let near = near_y * width + near_x;
                if closed[near] || near == at {
                    continue;
                }
                let length = if near_x != x && near_y != y {
                    std::f32::consts::SQRT_2
                } else {
                    1.0
                };
                let total = so_far + length * (0.5 * (cost[at] + cost[near]) + step);
                if total < reached[near] {
                    reached[near] = total;
                    queue.push(entry(total, near));
                }
            }
        }
    }
    reached
}

/// Cost and place in one number that sorts like the cost: bits of non-negative floats are in order.
fn entry(cost: f32, at: usize) -> Reverse<u64> {
    let at = u32::try_from(at).expect("a grid has fewer than 2^32 cells");
    Reverse(u64::from(cost.to_bits()) << 32 | u64::from(at))
}

fn parts(entry: u64) -> (f32, usize) {
    let low = u32::try_from(entry & u64::from(u32::MAX)).expect("32 bits");
    let high = u32::try_from(entry >> 32).expect("32 bits");
    (f32::from_bits(high), low as usize)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wall_is_walked_around_where_there_is_a_gap() {
        // 5 × 3; a wall down the middle, open in the last row.
        let cost: Vec<f32> = (0..15)
            .map(|at| if at % 5 == 2 && at < 10 { 100.0 } else { 0.0 })
            .collect();
        let walk = |cost: &[f32]| {
            travel(
                cost,
                5,
                0.03,
                |at| {
                    if at == 0 {
                        Cell::Start(0.0)
                    } else {
                        Cell::Open
                    }
                },
                |_| true,
            )
        };
        let reached = walk(&cost);
        assert!(reached[4] < 1.0, "{reached:?}");
        // Must fail: with the gap closed there is no cheap way.
        let shut: Vec<f32> = (0..15)
            .map(|at| if at % 5 == 2 { 100.0 } else { 0.0 })
            .collect();
        assert!(walk(&shut)[4] > 50.0, "{:?}", walk(&shut));
    }

    #[test]
    fn nobody_passes_another_stroke() {
        let reached = travel(
            &[0.0; 5],
            5,
            0.03,
            |at| match at {
                0 => Cell::Start(0.0),
                2 => Cell::Closed,
                _ => Cell::Open,
            },
            |_| true,
        );
        assert!(
            reached[1].is_finite() && reached[3].is_infinite(),
            "{reached:?}"
        );
    }

    #[test]
    fn what_is_wanted_costs_the_same_however_soon_the_walk_ends() {
        let cost: Vec<f32> = (0..63_u16).map(|at| f32::from(at * 37 % 11)).collect();
        let walk = |wanted: fn(usize) -> bool| {
            let start = |at| {
                if at == 31 {
                    Cell::Start(0.0)
                } else {
                    Cell::Open
                }
            };
            travel(&cost, 9, 0.03, start, wanted)
        };
        let (all, few) = (walk(|_| true), walk(|at| at % 9 < 5 && at < 40));
        for at in (0..40).filter(|at| at % 9 < 5) {
            assert!(all[at].to_bits() == few[at].to_bits(), "cell {at}");
        }
        // Must fail: if only the start is wanted, the walk ends there.
        let none = walk(|at| at == 31);
        assert!(none[62].is_infinite() && all[62].is_finite(), "{none:?}");
    }
}
