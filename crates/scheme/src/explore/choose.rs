//! Chooses a few of many schemes so that the two most similar are as far apart as possible.
//!
//! Greedy first (each time the one furthest from all chosen), from several starts, then one of the nearest two is
//! swapped for whatever widens the gap, until nothing does. The best possible choice is a hard problem (maximum-minimum
//! dispersion; the greedy start alone reaches half of it: Ravi, Rosenkrantz, Tayi 1994, Operations Research 42:299).
//! The work is bounded: after [`MOST_COMPARED`] colours no other start is tried, and no exchange.

use velatura_document::Error;
use velatura_optics::colour::{Lab, delta_e};

use super::compose::Composed;
use crate::watch::Watch;

/// How many starting points to try, spread evenly over the schemes.
const STARTS: usize = 8;

/// Most colours that are compared: some seconds of one core.
pub(super) const MOST_COMPARED: usize = 30_000_000;

/// Distance of two schemes: ΔE by region, weighted by area.
fn distance(a: &[Lab], b: &[Lab], areas: &[f64]) -> f64 {
    a.iter()
        .zip(b)
        .zip(areas)
        .map(|((a, b), area)| area * delta_e(*a, *b))
        .sum()
}

/// Least distance between any two schemes, given by their colours; 0 for fewer than two.
pub(super) fn least_distance(schemes: &[&[Lab]], areas: &[f64]) -> f64 {
    let all: Vec<usize> = (0..schemes.len()).collect();
    let between = |a: usize, b: usize| distance(schemes[a], schemes[b], areas);
    nearest_two(&all, between).map_or(0.0, |(distance, _)| distance)
}

/// Indices of at most `count` schemes.
///
/// # Errors
/// The work was stopped.
pub(super) fn furthest_apart(
    all: &[Composed],
    areas: &[f64],
    count: usize,
    watch: &Watch<'_>,
) -> Result<Vec<usize>, Error> {
    if all.len() <= count {
        return Ok((0..all.len()).collect());
    }
    if count == 0 {
        return Ok(Vec::new());
    }
    let mut known = Distances::new(all, areas);
    let mut best: Option<(f64, Vec<usize>)> = None;
    for start in 0..STARTS {
        if best.is_some() && known.is_enough() {
            break;
        }
        let begun = greedy(&mut known, count, start * all.len() / STARTS, watch)?;
        let chosen = exchanged(&mut known, begun, watch)?;
        let colours: Vec<&[Lab]> = chosen.iter().map(|one| &*all[*one].colours).collect();
        let least = least_distance(&colours, areas);
        if best.as_ref().is_none_or(|(other, _)| least >= *other) {
            best = Some((least, chosen));
        }
    }
    Ok(best.map(|(_, chosen)| chosen).unwrap_or_default())
}

/// Distances from chosen schemes to all, each computed once.
struct Distances<'a> {
    all: &'a [Composed],
    areas: &'a [f64],
    from: Vec<Option<Vec<f64>>>,
    compared: usize,
}

impl<'a> Distances<'a> {
    fn new(all: &'a [Composed], areas: &'a [f64]) -> Self {
        Self {
            all,
            areas,
            from: vec![None; all.len()],
            compared: 0,
        }
    }

    /// The distances from one scheme to all.
    fn from(&mut self, one: usize) -> &[f64] {
        let (all, areas, compared) = (self.all, self.areas, &mut self.compared);
        self.from[one].get_or_insert_with(|| {
            *compared += all.len() * areas.len();
            all.iter()
                .map(|other| distance(&all[one].colours, &other.colours, areas))
                .collect()
        })
    }

    /// Whether so many colours were compared that no more are.
    fn is_enough(&self) -> bool {
        self.compared >= MOST_COMPARED
    }
}

fn greedy(
    known: &mut Distances<'_>,
    count: usize,
    start: usize,
    watch: &Watch<'_>,
) -> Result<Vec<usize>, Error> {
    let mut chosen = vec![start];
    let mut gap: Vec<f64> = vec![f64::INFINITY; known.all.len()];
    while chosen.len() < count {
        watch.go_on()?;
        let last = known.from(chosen[chosen.len() - 1]);
        for (gap, distance) in gap.iter_mut().zip(last) {
            *gap = gap.min(*distance);
        }
        let furthest = (0..gap.len()).max_by(|a, b| gap[*a].total_cmp(&gap[*b]));
        chosen.extend(furthest);
    }
    Ok(chosen)
}

fn exchanged(
    known: &mut Distances<'_>,
    mut chosen: Vec<usize>,
    watch: &Watch<'_>,
) -> Result<Vec<usize>, Error> {
    // Every round widens the least gap, or fewer pairs have it. This many rounds are never reached in practice.
    for _ in 0..4 * chosen.len() {
        watch.go_on()?;
        let nearest = nearest_two(&chosen, |a, b| known.from(a)[b]);
        let Some((least, pair)) = nearest.filter(|_| !known.is_enough()) else {
            return Ok(chosen);
        };
        let mut best: Option<(f64, usize, usize)> = None;
        for out in pair {
            let mut gap: Vec<f64> = vec![f64::INFINITY; known.all.len()];
            for kept in chosen.iter().filter(|kept| **kept != chosen[out]) {
                for (gap, distance) in gap.iter_mut().zip(known.from(*kept)) {
                    *gap = gap.min(*distance);
                }
            }
            for (index, gap) in gap.into_iter().enumerate().filter(|(_, gap)| *gap > least) {
                if best.is_none_or(|(widest, ..)| gap >= widest) {
                    best = Some((gap, out, index));
                }
            }
        }
        match best {
            Some((_, out, index)) => chosen[out] = index,
            None => return Ok(chosen),
        }
    }
    Ok(chosen)
}

/// The least distance, and the two places in `chosen` that have it.
fn nearest_two(
    chosen: &[usize],
    mut distance: impl FnMut(usize, usize) -> f64,
) -> Option<(f64, [usize; 2])> {
    let pairs = (0..chosen.len()).flat_map(|a| (a + 1..chosen.len()).map(move |b| [a, b]));
    pairs
        .map(|[a, b]| (distance(chosen[a], chosen[b]), [a, b]))
        .min_by(|a, b| a.0.total_cmp(&b.0))
}
