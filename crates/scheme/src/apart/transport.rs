//! The transport problem: the least cost of turning one distribution into another, exactly.
//!
//! In: the shares of two sets of places, and the cost of moving a share from each of the first to each of the second. Out: the
//! cost of the cheapest plan, per unit of share. With a distance as cost, that is the *earth mover's distance* (Rubner, Tomasi,
//! Guibas 2000, International Journal of Computer Vision 40:99). Method: successive shortest paths with potentials (Edmonds,
//! Karp 1972, Journal of the ACM 19:248), meant for a few dozen places. Shares are whole numbers inside, so that it ends.

/// Units that all shares of one side sum to. A share is off by half a unit at most.
const UNITS: u32 = 1 << 20;

/// Least cost of turning `from` into `to`; `cost` is 0 or more. Shares are 0 or more and count relative to their sum.
/// 0 if one side is empty or sums to 0.
pub(super) fn least_cost(from: &[f64], to: &[f64], cost: impl Fn(usize, usize) -> f64) -> f64 {
    let (Some(supply), Some(demand)) = (in_units(from), in_units(to)) else {
        return 0.0;
    };
    let cost: Vec<Vec<f64>> = (0..from.len())
        .map(|a| (0..to.len()).map(|b| cost(a, b)).collect())
        .collect();
    let mut plan = Plan {
        moved: vec![vec![0; to.len()]; from.len()],
        potential: [vec![0.0; from.len()], vec![0.0; to.len()]],
        supply,
        demand,
        cost,
    };
    while plan.supply.iter().any(|left| *left > 0) {
        plan.extend();
    }
    let paid: f64 = plan
        .moved
        .iter()
        .zip(&plan.cost)
        .flat_map(|(moved, cost)| moved.iter().zip(cost))
        .map(|(moved, cost)| f64::from(*moved) * cost)
        .sum();
    paid / f64::from(UNITS)
}

/// Whole units that sum to [`UNITS`]: rounding errors are carried on, so that none is lost.
fn in_units(shares: &[f64]) -> Option<Vec<u32>> {
    let sum: f64 = shares.iter().sum();
    if !(sum > 0.0 && sum.is_finite()) {
        return None;
    }
    let (mut passed, mut given) = (0.0, 0);
    let units = shares.iter().map(|share| {
        passed += share / sum;
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between 0 and UNITS"
        )]
        let up_to = (passed.clamp(0.0, 1.0) * f64::from(UNITS)).round() as u32;
        let own = up_to.saturating_sub(given);
        given += own;
        own
    });
    let mut units: Vec<u32> = units.collect();
    // The sum of the shares may round to a little less than 1.
    *units.last_mut()? += UNITS - given;
    Some(units)
}

/// A plan that is cheapest for what it has moved so far.
struct Plan {
    /// Units moved from each place of the first side to each of the second.
    moved: Vec<Vec<u32>>,
    /// What makes every cost of a possible move 0 or more, by side and place.
    potential: [Vec<f64>; 2],
    /// Units that are still to be moved away.
    supply: Vec<u32>,
    /// Units that are still missing.
    demand: Vec<u32>,
    cost: Vec<Vec<f64>>,
}

impl Plan {
    /// Moves more along the cheapest path from a place with supply to one with demand.
    fn extend(&mut self) {
        let (first, second) = (self.supply.len(), self.demand.len());
        let places = first + second;
        // Dijkstra over all places: those of the first side, then those of the second.
        let mut distance = vec![f64::INFINITY; places];
        let mut before = vec![usize::MAX; places];
        let mut done = vec![false; places];
        for (place, left) in self.supply.iter().enumerate() {
            if *left > 0 {
                distance[place] = 0.0;
            }
        }
        let mut end = None;
        loop {
            let open = (0..places).filter(|place| !done[*place] && distance[*place].is_finite());
            let Some(at) = open.min_by(|a, b| distance[*a].total_cmp(&distance[*b])) else {
                break;
            };
            done[at] = true;
            if at >= first && self.demand[at - first] > 0 {
                end = Some(at);
                break;
            }
            let next: Vec<(usize, f64)> = if at < first {
                let reduced =
                    |b: usize| self.cost[at][b] + self.potential[0][at] - self.potential[1][b];
                (0..second).map(|b| (first + b, reduced(b))).collect()
            } else {
                let b = at - first;
                let reduced =
                    |a: usize| self.potential[1][b] - self.potential[0][a] - self.cost[a][b];
                let back = (0..first).filter(|a| self.moved[*a][b] > 0);
                back.map(|a| (a, reduced(a))).collect()
            };
            for (place, step) in next {
                // Rounding may leave a cost a little below 0.
                let length = distance[at] + step.max(0.0);
                if length < distance[place] {
                    distance[place] = length;
                    before[place] = at;
                }
            }
        }
        let end = end.expect("what is still supplied equals what is still missing");
        let reached = distance[end];
        for (place, distance) in distance.iter().enumerate() {
            let step = distance.min(reached);
            match place.checked_sub(first) {
                None => self.potential[0][place] += step,
                Some(b) => self.potential[1][b] += step,
            }
        }
        self.follow(&before, end);
    }

    /// Moves as much as the path to `end` can carry.
    fn follow(&mut self, before: &[usize], end: usize) {
        let first = self.supply.len();
        let mut path = vec![end];
        while let Some(earlier) = path
            .last()
            .map(|place| before[*place])
            .filter(|place| *place != usize::MAX)
        {
            path.push(earlier);
        }
        let start = path[path.len() - 1];
        let mut most = self.supply[start].min(self.demand[end - first]);
        // The path is from its end: a step to a place of the first side takes back what was moved.
        for step in path.windows(2).filter(|step| step[0] < first) {
            most = most.min(self.moved[step[0]][step[1] - first]);
        }
        for step in path.windows(2) {
            match step[0] < first {
                true => self.moved[step[0]][step[1] - first] -= most,
                false => self.moved[step[1]][step[0] - first] += most,
            }
        }
        self.supply[start] -= most;
        self.demand[end - first] -= most;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn on_a_line(from: &[(f64, f64)], to: &[(f64, f64)]) -> f64 {
        let shares = |side: &[(f64, f64)]| side.iter().map(|(_, share)| *share).collect::<Vec<_>>();
        least_cost(&shares(from), &shares(to), |a, b| {
            (from[a].0 - to[b].0).abs()
        })
    }

    /// On a line the distance is the area between the two cumulated distributions (Vallender 1974, Theory of Probability and
    /// its Applications 18:784).
    fn between_the_sums(from: &[(f64, f64)], to: &[(f64, f64)]) -> f64 {
        let mut steps: Vec<(f64, f64)> = from.to_vec();
        steps.extend(to.iter().map(|(place, share)| (*place, -share)));
        steps.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut gap = 0.0;
        let pairs = steps.windows(2).map(|two| {
            gap += two[0].1;
            gap.abs() * (two[1].0 - two[0].0)
        });
        pairs.sum()
    }

    #[test]
    fn on_a_line_it_is_the_area_between_the_cumulated_shares() {
        // Places and shares that repeat in no simple pattern.
        let side = |seed: u64, count: u64| -> Vec<(f64, f64)> {
            let number = |at: u64, prime: u64| {
                f64::from(u32::try_from((seed + at * 7919) * prime % 1009).unwrap())
            };
            let places = (0..count).map(|at| (number(at, 31) / 10.0, number(at, 17) + 1.0));
            let places: Vec<(f64, f64)> = places.collect();
            let sum: f64 = places.iter().map(|(_, share)| share).sum();
            places
                .iter()
                .map(|(at, share)| (*at, share / sum))
                .collect()
        };
        for seed in 0..40 {
            let (from, to) = (side(seed, 3 + seed % 20), side(seed + 500, 2 + seed % 17));
            let (found, expected) = (on_a_line(&from, &to), between_the_sums(&from, &to));
            // Half a unit of 2^20 per place, over 100.
            assert!(
                (found - expected).abs() < 2e-3,
                "{seed}: {found} {expected}"
            );
        }
    }

    #[test]
    fn a_greedy_plan_is_not_the_cheapest() {
        // Nearest first would move the middle to 1 and the left all the way to 4: 1 + 4 instead of 1 + 2.
        let cost = on_a_line(&[(0.0, 0.5), (2.0, 0.5)], &[(1.0, 0.5), (4.0, 0.5)]);
        assert!((cost - 1.5).abs() < 1e-5, "{cost}");
    }

    #[test]
    fn what_is_equal_costs_nothing_and_an_empty_side_neither() {
        let side = [(1.0, 0.3), (5.0, 0.7)];
        assert!(on_a_line(&side, &side) < 1e-9);
        assert!(on_a_line(&side, &[]).abs() < 1e-9);
        assert!(on_a_line(&side, &[(1.0, 0.0)]).abs() < 1e-9);
    }
}
