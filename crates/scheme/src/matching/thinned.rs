//! A search that leaves most of a large grid out: coarse mixes of many choices of paints first, then every mix of the best.
//!
//! In: a grid, and about how many colours may be tried. Out: the best mixes found. For each number of paints:
//! 1. Each choice of paints gets a coarse distance, the least of a few ratios and films (`coarse.rs`). Where there are too
//!    many choices, those among the paints that differ most come first, and then those that share all paints but one with the
//!    best, round by round.
//! 2. From its best coarse mix each of the best choices descends: one part more or less, the next film.
//! 3. Of the best choices then, every mix is tried.
//!
//! How near the result comes to that of a whole search is measured in `tests/it/matching_thinned.rs`. Not here: the whole
//! search (`mod.rs`).

use std::collections::HashSet;

use rayon::prelude::*;
use velatura_document::Error;
use velatura_optics::calibrate::PaintBox;
use velatura_optics::colour::{Lab, delta_e};
use velatura_optics::mixture::Mix;

use super::coarse::{Coarse, Mixed};
use super::grid::{Grid, choices, choose, ratios, whole_mixes};
use super::search::{self, Candidate};
use super::{Matching, dried};
use crate::watch::Watch;

/// Most paints that come into mixes of several: of more, those that differ most.
const MOST_PAINTS: usize = 200;
/// Shares of the colours that coarse distances and full searches may take; descents take the rest.
const FOR_COARSE: f64 = 0.5;
const FOR_WHOLE: f64 = 0.35;
/// Share of the coarse distances that go to the paints that differ most, where there are too many choices.
const FOR_FIRST: f64 = 0.4;
/// How often choices near the best are tried.
const ROUNDS: usize = 4;
/// Colours of one descent, about.
const DESCENT: f64 = 60.0;
/// A choice of paints of which every mix is tried has at most this share of the colours for that: else only the descents count.
const LEAST_WHOLE: f64 = 0.1;

/// The best mixes found, best first, at most `matching.count`; about `colours` are tried.
///
/// # Errors
/// The search was stopped.
pub(super) fn best(
    paints: &PaintBox,
    matching: &Matching,
    colours: u64,
    watch: &Watch<'_>,
) -> Result<Vec<Candidate>, Error> {
    let largest = matching.grid.largest();
    let apart = furthest_apart(paints, matching);
    let weights: usize = (1..=largest).map(|count| count * count).sum();
    let mut best = Vec::new();
    let mut before: Vec<Vec<usize>> = Vec::new();
    let mut done = 0.0;
    for count in 1..=largest {
        let share = number(count * count) / number(weights);
        let part = Part {
            paints,
            matching,
            apart: &apart,
            count,
            colours: real(colours) * share,
            watch,
        };
        let (found, choices) = part.searched(&before)?;
        for one in found {
            search::keep(&mut best, one, matching.count);
        }
        before = choices;
        done += share;
        watch.report(done);
    }
    Ok(best)
}

/// The search among mixes of so many paints.
struct Part<'a> {
    paints: &'a PaintBox,
    matching: &'a Matching,
    apart: &'a [usize],
    count: usize,
    /// How many colours to try, about.
    colours: f64,
    watch: &'a Watch<'a>,
}

/// A choice of paints, and the best of its mixes that were tried.
#[derive(Debug, Clone)]
struct Scored {
    subset: Vec<usize>,
    mixed: Mixed,
    distance: f64,
}

impl Part<'_> {
    /// The best mixes, and the choices of paints that came nearest; `before` are those of one paint less.
    fn searched(&self, before: &[Vec<usize>]) -> Result<(Vec<Candidate>, Vec<Vec<usize>>), Error> {
        let grid = &self.matching.grid;
        let films = u64::try_from(grid.films.len()).unwrap_or(u64::MAX);
        let each = real(whole_mixes(self.count, grid.max_parts).saturating_mul(films));
        if real(choices(grid.paints.len(), self.count)) * each <= self.colours {
            let mut all = Vec::new();
            choose(&grid.paints, self.count, &mut Vec::new(), &mut all);
            let found = self.whole(&all)?;
            let mut near: Vec<Vec<usize>> = Vec::new();
            for one in &found {
                let subset = paints_of(&one.mix);
                if !near.contains(&subset) {
                    near.push(subset);
                }
            }
            return Ok((found, near));
        }
        let coarse = Coarse::new(self.count, grid);
        let most = self.colours * FOR_COARSE / number(coarse.len().max(1));
        let mut ranked = self.ranked(&coarse, most, before)?;
        let descents = self.colours * (1.0 - FOR_COARSE - FOR_WHOLE) / DESCENT;
        ranked.truncate(whole_number(descents).max(1));
        let mut ranked = self.each(&ranked, |one| Some(self.descended(one)))?;
        sort(&mut ranked);
        let mut found = Vec::new();
        for one in &ranked {
            let candidate = self.candidate(one);
            search::keep(&mut found, candidate, self.matching.count);
        }
        let for_whole = self.colours * FOR_WHOLE;
        let near: Vec<Vec<usize>> = ranked.into_iter().map(|one| one.subset).collect();
        if each <= for_whole * LEAST_WHOLE {
            let whole = near.len().min(whole_number(for_whole / each));
            for one in self.whole(&near[..whole])? {
                search::keep(&mut found, one, self.matching.count);
            }
        }
        Ok((found, near))
    }

    /// Choices of paints by their coarse distance, best first; at most about `most` are tried.
    fn ranked(
        &self,
        coarse: &Coarse,
        most: f64,
        before: &[Vec<usize>],
    ) -> Result<Vec<Scored>, Error> {
        let grid = &self.matching.grid;
        let mut seeds = Vec::new();
        if real(choices(grid.paints.len(), self.count)) <= most {
            choose(&grid.paints, self.count, &mut Vec::new(), &mut seeds);
            let mut ranked = self.scored(coarse, &seeds)?;
            sort(&mut ranked);
            return Ok(ranked);
        }
        let first = (self.count..=self.apart.len())
            .take_while(|few| real(choices(*few, self.count)) <= most * FOR_FIRST)
            .last()
            .unwrap_or(self.count);
        let mut few: Vec<usize> = self.apart.iter().copied().take(first).collect();
        few.sort_unstable();
        choose(&few, self.count, &mut Vec::new(), &mut seeds);
        let mut known: HashSet<Vec<usize>> = seeds.iter().cloned().collect();
        let a_round = most * (1.0 - FOR_FIRST) / number(ROUNDS + 1);
        let parents = whole_number(a_round / number(self.apart.len())).max(1);
        let parents = before.iter().take(parents);
        seeds.extend(fresh(
            &mut known,
            parents.flat_map(|parent| self.with_one_more(parent)),
        ));
        let mut ranked = self.scored(coarse, &seeds)?;
        let parents = whole_number(a_round / number(self.apart.len() * self.count)).max(1);
        for _ in 0..ROUNDS {
            sort(&mut ranked);
            let near: Vec<Vec<usize>> = ranked
                .iter()
                .take(parents)
                .flat_map(|one| self.with_one_exchanged(&one.subset))
                .collect();
            let near: Vec<Vec<usize>> = fresh(&mut known, near.into_iter()).collect();
            if near.is_empty() {
                break;
            }
            ranked.extend(self.scored(coarse, &near)?);
        }
        sort(&mut ranked);
        Ok(ranked)
    }

    fn scored(&self, coarse: &Coarse, subsets: &[Vec<usize>]) -> Result<Vec<Scored>, Error> {
        self.each(subsets, |subset| {
            let (distance, mixed) = coarse.best(self.paints, self.matching, subset)?;
            Some(Scored {
                subset: subset.clone(),
                mixed,
                distance,
            })
        })
    }

    /// The same choice of paints with its mix at the foot of the descent.
    fn descended(&self, from: &Scored) -> Scored {
        let mut here = from.clone();
        loop {
            let before = here.distance;
            for there in here.mixed.neighbours(&self.matching.grid) {
                let limit = here.distance;
                let near = there.distance_within(self.paints, self.matching, &from.subset, limit);
                if let Some(distance) = near.filter(|distance| *distance < limit) {
                    (here.distance, here.mixed) = (distance, there);
                }
            }
            if here.distance >= before {
                return here;
            }
        }
    }

    fn candidate(&self, one: &Scored) -> Candidate {
        let (mix, film) = one.mixed.in_lowest_terms(&one.subset, &self.matching.grid);
        search::candidate(self.paints, self.matching, mix, film)
    }

    /// The best of all mixes of these choices of paints.
    fn whole(&self, subsets: &[Vec<usize>]) -> Result<Vec<Candidate>, Error> {
        let ratios = ratios(self.count, self.matching.grid.max_parts);
        whole(
            self.paints,
            self.matching,
            subsets,
            |_| &ratios,
            self.watch,
            &|_| (),
        )
    }

    /// This choice with one of the other paints.
    fn with_one_more(&self, subset: &[usize]) -> Vec<Vec<usize>> {
        let more = self.apart.iter().filter(|paint| !subset.contains(*paint));
        more.map(|paint| sorted(subset.iter().chain([paint]).copied().collect()))
            .collect()
    }

    /// This choice with one paint exchanged for another.
    fn with_one_exchanged(&self, subset: &[usize]) -> Vec<Vec<usize>> {
        let others = self.apart.iter().filter(|paint| !subset.contains(*paint));
        others
            .flat_map(|paint| {
                (0..subset.len()).map(move |out| {
                    let mut exchanged = subset.to_vec();
                    exchanged[out] = *paint;
                    sorted(exchanged)
                })
            })
            .collect()
    }

    /// A function of each, on all cores, until somebody stops it.
    fn each<A: Sync, B: Send>(
        &self,
        all: &[A],
        of: impl Fn(&A) -> Option<B> + Sync,
    ) -> Result<Vec<B>, Error> {
        all.par_iter()
            .map(|one| self.watch.go_on().map(|()| of(one)))
            .filter_map(Result::transpose)
            .collect()
    }
}

/// The best of all mixes of these choices of paints; `ratios` gives those of a choice. `piece` is called after each choice.
///
/// # Errors
/// The search was stopped.
pub(super) fn whole<'a>(
    paints: &PaintBox,
    matching: &Matching,
    subsets: &[Vec<usize>],
    ratios: impl Fn(&[usize]) -> &'a [Vec<u32>] + Sync,
    watch: &Watch<'_>,
    piece: &(dyn Fn(usize) + Sync),
) -> Result<Vec<Candidate>, Error> {
    let merged = |mut some: Vec<Candidate>, more: Vec<Candidate>| {
        for one in more {
            search::keep(&mut some, one, matching.count);
        }
        Ok(some)
    };
    subsets
        .par_iter()
        .enumerate()
        .map(|(number, subset)| {
            let best = search::best_of_subset(paints, matching, subset, ratios(subset), watch)?;
            piece(number);
            Ok(best)
        })
        .try_reduce(Vec::new, merged)
}

/// Paints of the grid, each the one that differs most from all before it, as films of two thicknesses over the first aim's
/// undercoat; the first is the nearest to the target. At most [`MOST_PAINTS`].
fn furthest_apart(paints: &PaintBox, matching: &Matching) -> Vec<usize> {
    let Grid {
        paints: all, films, ..
    } = &matching.grid;
    let (Some(aim), Some(thick)) = (
        matching.aims.first(),
        films.iter().copied().reduce(f64::max),
    ) else {
        return Vec::new();
    };
    let shown = |paint: usize| -> [Lab; 2] {
        let alone = Mix {
            paints: vec![(paint, 1.0)],
            medium: 0.0,
        };
        let optics = paints.mixed(&alone);
        [thick, thick / 4.0].map(|film| dried(&optics, film, std::slice::from_ref(aim))[0].lab())
    };
    let shown: Vec<[Lab; 2]> = all.iter().map(|paint| shown(*paint)).collect();
    let apart = |a: usize, b: usize| {
        let [thick, thin] = [0, 1].map(|film: usize| delta_e(shown[a][film], shown[b][film]));
        thick + thin
    };
    let near = |at: usize| shown[at].map(|lab| delta_e(lab, aim.target));
    let mut next = (0..all.len()).min_by(|a, b| {
        let least = |at: usize| near(at)[0].min(near(at)[1]);
        least(*a).total_cmp(&least(*b))
    });
    let mut gap = vec![f64::INFINITY; all.len()];
    let mut order = Vec::new();
    while let Some(at) = next.filter(|_| order.len() < MOST_PAINTS.min(all.len())) {
        order.push(all[at]);
        gap[at] = f64::NEG_INFINITY;
        for (other, gap) in gap.iter_mut().enumerate() {
            if *gap > f64::NEG_INFINITY {
                *gap = gap.min(apart(at, other));
            }
        }
        next = (0..all.len()).max_by(|a, b| gap[*a].total_cmp(&gap[*b]).then(b.cmp(a)));
    }
    order
}

/// Those that are not known yet, and from then on are.
fn fresh<'a>(
    known: &'a mut HashSet<Vec<usize>>,
    subsets: impl Iterator<Item = Vec<usize>> + 'a,
) -> impl Iterator<Item = Vec<usize>> + 'a {
    subsets.filter(|subset| known.insert(subset.clone()))
}

fn sort(ranked: &mut [Scored]) {
    ranked.sort_by(|a, b| {
        a.distance
            .total_cmp(&b.distance)
            .then_with(|| a.subset.cmp(&b.subset))
    });
}

fn sorted(mut subset: Vec<usize>) -> Vec<usize> {
    subset.sort_unstable();
    subset
}

fn paints_of(mix: &Mix) -> Vec<usize> {
    sorted(mix.paints.iter().map(|(paint, _)| *paint).collect())
}

#[allow(clippy::cast_precision_loss, reason = "an estimate of work")]
fn real(count: u64) -> f64 {
    count as f64
}

#[allow(clippy::cast_precision_loss, reason = "an estimate of work")]
fn number(count: usize) -> f64 {
    count as f64
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a number of pieces of work, 0 or more and far below 2^53"
)]
fn whole_number(count: f64) -> usize {
    count as usize
}
