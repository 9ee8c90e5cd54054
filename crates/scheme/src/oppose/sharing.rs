//! Regions that share a paint in the source share one in the result: among the sets of near mixes that do, the one with the
//! least total error.
//!
//! In: per region its share of the surface and its candidates, best first; which regions must share. Out: one candidate per
//! region. Exact if there are few candidates; otherwise a descent from several starts, region by region, which sharing makes short.

use velatura_optics::mixture::Mix;

/// A mix that a region could have.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Candidate {
    /// The mix.
    pub(super) mix: Mix,
    /// Its film.
    pub(super) film: f64,
    /// How far its dried colour on the figure is from the target, ΔE, and a little for every part of the mix.
    pub(super) cost: f64,
}

impl Candidate {
    fn has(&self, paint: usize) -> bool {
        self.mix.paints.iter().any(|(own, _)| *own == paint)
    }

    fn shares_with(&self, other: &Self) -> bool {
        self.mix.paints.iter().any(|(paint, _)| other.has(*paint))
    }
}

/// The cost of a pair that should share a paint and does not: more than that of any mix.
const UNSHARED: f64 = 1e3;
/// Rounds of the descent over all regions; it ends when nothing changes.
const ROUNDS: usize = 20;
/// Most comparisons of two mixes in all descents, about a second of one core; then no other start is tried.
const MOST_COMPARED: usize = 50_000_000;
/// How many rounds a descent has, about.
const USUAL_ROUNDS: usize = 5;

/// Index of the chosen candidate per region; a region without candidates has none.
pub(super) fn chosen(
    areas: &[f64],
    candidates: &[Vec<Candidate>],
    must_share: &[[usize; 2]],
) -> Vec<Option<usize>> {
    let mut paints: Vec<usize> = candidates
        .iter()
        .flatten()
        .flat_map(|candidate| candidate.mix.paints.iter().map(|(paint, _)| *paint))
        .collect();
    paints.sort_unstable();
    paints.dedup();
    // Each region's best; and for each paint, each region's best that has it.
    let best: Vec<Option<usize>> = candidates
        .iter()
        .map(|own| (!own.is_empty()).then_some(0))
        .collect();
    let with = |paint: usize| -> Vec<Option<usize>> {
        candidates
            .iter()
            .zip(&best)
            .map(|(own, best)| {
                own.iter()
                    .position(|candidate| candidate.has(paint))
                    .or(*best)
            })
            .collect()
    };
    let starts = std::iter::once(best.clone()).chain(paints.into_iter().map(with));
    let mixes: usize = candidates.iter().map(Vec::len).sum();
    let pairs = 1 + 2 * must_share.len() / candidates.len().max(1);
    let a_descent = USUAL_ROUNDS * mixes.max(1) * pairs;
    starts
        .take((MOST_COMPARED / a_descent).max(1))
        .map(|start| descended(areas, candidates, must_share, start))
        .map(|set| (cost(areas, candidates, must_share, &set), set))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, set)| set)
        .unwrap_or(best)
}

fn descended(
    areas: &[f64],
    candidates: &[Vec<Candidate>],
    must_share: &[[usize; 2]],
    mut set: Vec<Option<usize>>,
) -> Vec<Option<usize>> {
    for _ in 0..ROUNDS {
        let before = set.clone();
        for region in 0..set.len() {
            let partners = partners(region, must_share);
            let least = (0..candidates[region].len())
                .map(|index| {
                    set[region] = Some(index);
                    (cost_of(region, areas, candidates, &partners, &set), index)
                })
                .min_by(|a, b| a.0.total_cmp(&b.0));
            set[region] = least.map(|(_, index)| index);
        }
        if set == before {
            break;
        }
    }
    set
}

/// The regions that one must share a paint with.
fn partners(region: usize, must_share: &[[usize; 2]]) -> Vec<usize> {
    let with = must_share.iter().filter_map(|pair| match *pair {
        [a, b] if a == region => Some(b),
        [a, b] if b == region => Some(a),
        _ => None,
    });
    with.collect()
}

/// What of the cost depends on one region.
fn cost_of(
    region: usize,
    areas: &[f64],
    candidates: &[Vec<Candidate>],
    partners: &[usize],
    set: &[Option<usize>],
) -> f64 {
    let of = |region: usize| set[region].map(|index| &candidates[region][index]);
    let Some(own) = of(region) else {
        return 0.0;
    };
    let others = partners.iter().filter_map(|other| of(*other));
    let unshared = others.filter(|other| !own.shares_with(other)).count();
    #[allow(clippy::cast_precision_loss, reason = "a few pairs")]
    let unshared = unshared as f64;
    areas[region] * own.cost + UNSHARED * unshared
}

fn cost(
    areas: &[f64],
    candidates: &[Vec<Candidate>],
    must_share: &[[usize; 2]],
    set: &[Option<usize>],
) -> f64 {
    let of = |region: usize| set[region].map(|index| &candidates[region][index]);
    let missed: f64 = (0..set.len())
        .filter_map(|region| Some(areas[region] * of(region)?.cost))
        .sum();
    let unshared = must_share
        .iter()
        .filter(|[a, b]| match (of(*a), of(*b)) {
            (Some(a), Some(b)) => !a.shares_with(b),
            _ => false,
        })
        .count();
    #[allow(clippy::cast_precision_loss, reason = "a few pairs")]
    let unshared = unshared as f64;
    missed + UNSHARED * unshared
}

#[cfg(test)]
mod tests {
    use super::*;

    fn candidate(paints: &[usize], cost: f64) -> Candidate {
        Candidate {
            mix: Mix {
                paints: paints.iter().map(|paint| (*paint, 1.0)).collect(),
                medium: 0.0,
            },
            film: 1.0,
            cost,
        }
    }

    #[test]
    fn the_cheapest_set_that_shares_is_chosen_and_a_free_region_keeps_its_best() {
        let candidates = [
            vec![
                candidate(&[0], 1.0),
                candidate(&[1], 1.5),
                candidate(&[2], 5.0),
            ],
            vec![
                candidate(&[3], 1.0),
                candidate(&[2, 0], 4.0),
                candidate(&[1], 8.0),
            ],
            vec![candidate(&[9], 0.1), candidate(&[0], 0.2)],
        ];
        let areas = [0.5, 0.3, 0.2];
        assert_eq!(chosen(&areas, &candidates, &[]), [Some(0); 3]);
        // 0 with 0 costs 1 and 4; 1 with 1 would cost 1.5 and 8.
        assert_eq!(
            chosen(&areas, &candidates, &[[0, 1]]),
            [Some(0), Some(1), Some(0)]
        );
        assert_eq!(
            chosen(&areas, &candidates, &[[0, 1], [1, 2]]),
            [Some(0), Some(1), Some(1)]
        );
    }
}
