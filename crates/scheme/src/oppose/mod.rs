//! The opposite scheme: the dried colour of each region is inverted and matched with owned paints.
//!
//! In: a scheme on a figure, with its paints; the paints to match with; a kind of opposite. Out: the opposite scheme, how far
//! each colour is from its target, and the one paint that would help most. Dried colours are means over the region's own
//! underpainting in full light. All matched coats are even: washes and highlights of the source count with their mean colour.

mod flip;
mod opposite;
mod sharing;

pub use flip::Undercoat;
pub use opposite::{HueSpace, Way, opposite, shown};

use velatura_document::Error;
use velatura_figure::SimulatedUndercoat;
use velatura_optics::calibrate::PaintBox;
use velatura_optics::coat::{Coat, Where};
use velatura_optics::colour::{Lab, Linear, delta_e};
use velatura_optics::mixture::Mix;
use velatura_optics::trust::Trust;

use crate::ground::FigureGround;
use crate::matching::{
    Aim, Effort, Grid, HelpfulPaint, Matching, Measure, OUT_OF_REACH, best_distance_from, find,
    helpful_paint,
};
use crate::prediction::Substrate;
use crate::resolve::{RegionStack, Scheme};
use crate::watch::Watch;
use sharing::Candidate;

/// Mixes per region to compare on the figure: the search uses one grey, but the figure has many.
const WEIGHED: usize = 400;
/// Among mixes that are equal to within this ΔE (which nobody sees), the one with fewer paints wins, then the one with fewer
/// parts.
const AS_GOOD: f64 = 0.05;
/// Colours that are tried for all regions together, some seconds of one core. Each search gets an equal part.
const COLOURS: u64 = 12_000_000;
/// Least and most colours of one region's search.
const LEAST_COLOURS: u64 = 50_000;
const MOST_COLOURS: u64 = 2_000_000;

/// What to oppose, and with what.
#[derive(Debug)]
pub struct Opposing<'a> {
    /// The scheme.
    pub scheme: &'a Scheme,
    /// The paints of its mixes.
    pub scheme_paints: &'a PaintBox,
    /// The figure.
    pub ground: &'a FigureGround,
    /// The paints to match with.
    pub paints: &'a PaintBox,
    /// The mixes that may be used.
    pub grid: Grid,
    /// What opposite means.
    pub way: Way,
    /// The undercoat of the opposite.
    pub undercoat: Undercoat,
}

/// An opposite scheme.
#[derive(Debug, Clone)]
pub struct Opposed {
    /// The scheme, named "Opposite of …", without a team.
    pub scheme: Scheme,
    /// One per region that is painted in the source, in the figure's order.
    pub regions: Vec<OpposedRegion>,
    /// Why it has its undercoat, in one sentence.
    pub undercoat_reason: String,
    /// The one paint that would help most; `None` if every colour is within reach.
    pub helpful: Option<Helpful>,
    /// Names of the source's paints that no region of the scheme uses.
    pub unused: Vec<String>,
    /// Whether there were too many mixes to try them all, so that a nearer one may have been missed: see
    /// [`Found::thinned`](crate::matching::Found::thinned).
    pub thinned: bool,
}

/// One region of an opposite scheme.
#[derive(Debug, Clone)]
pub struct OpposedRegion {
    /// Index of the region.
    pub region: usize,
    /// Its dried colour in the source scheme.
    pub dried: Linear,
    /// The opposite of that.
    pub target: Lab,
    /// What the matched mix dries to.
    pub matched: Linear,
    /// CIEDE2000 between target and match.
    pub delta_e: f64,
    /// The smallest ΔE of any amounts of the grid's paints.
    pub reachable: f64,
    /// The basis of the match, and the usual error of such colours.
    pub trust: Trust,
}

impl OpposedRegion {
    /// Whether the target is out of reach of the paints.
    #[must_use]
    pub fn out_of_reach(&self) -> bool {
        self.reachable > OUT_OF_REACH
    }
}

/// A paint that is missing.
#[derive(Debug, Clone)]
pub struct Helpful {
    /// How its drawdown would look.
    pub paint: HelpfulPaint,
    /// Index of the region that it is for.
    pub region: usize,
    /// ΔE that it would save there.
    pub saves: f64,
}

/// The opposite of a scheme.
///
/// # Panics
/// If the grid names a paint that is not in the box.
#[must_use]
pub fn oppose(opposing: &Opposing<'_>) -> Opposed {
    oppose_watched(opposing, &Watch::nobody()).expect("nobody stops it")
}

/// As [`oppose`], while somebody watches.
///
/// # Errors
/// [`Error::Cancelled`] if it was stopped.
///
/// # Panics
/// As [`oppose`].
pub fn oppose_watched(opposing: &Opposing<'_>, watch: &Watch<'_>) -> Result<Opposed, Error> {
    let Opposing { scheme, ground, .. } = opposing;
    let (undercoat, undercoat_reason) =
        flip::undercoat(opposing.undercoat, scheme.undercoat, &ground.points);
    let groups = groups_of_same_coats(scheme);
    let all = u64::try_from(groups.len().max(1)).unwrap_or(u64::MAX);
    let colours = (COLOURS / all).clamp(LEAST_COLOURS, MOST_COLOURS);
    let mut wanted: Vec<Wanted> = Vec::new();
    for regions in &groups {
        let before = share(wanted.len(), groups.len());
        let progress = |done: f64| watch.report(before + done * share(1, groups.len()));
        let stopped = || watch.go_on().is_err();
        let effort = Effort {
            colours,
            watch: Watch::new(&stopped, &progress),
        };
        wanted.push(self::wanted(opposing, regions, undercoat, &effort)?);
    }
    watch.report(1.0);
    let areas: Vec<f64> = wanted.iter().map(|wanted| wanted.area).collect();
    let candidates: Vec<Vec<Candidate>> = wanted
        .iter()
        .map(|wanted| wanted.candidates.clone())
        .collect();
    let chosen = sharing::chosen(&areas, &candidates, &sharing_pairs(scheme, &groups));

    let mut opposite = Scheme {
        stages: scheme.stages.clone(),
        name: format!("Opposite of {}", scheme.name),
        team: String::new(),
        undercoat,
        finish: scheme.finish,
        regions: scheme
            .regions
            .iter()
            .map(|stack| bare(&stack.region))
            .collect(),
    };
    let mut regions = Vec::new();
    for ((group, wanted), index) in groups.iter().zip(&wanted).zip(chosen) {
        let Some(candidate) = index.map(|index| &wanted.candidates[index]) else {
            continue;
        };
        let trust = opposing.paints.trust(&candidate.mix);
        for region in group {
            let coats = vec![even_coat(opposing.paints, candidate)];
            let matched = ground.dried(*region, undercoat, &coats);
            let dried = ground.dried(*region, scheme.undercoat, &scheme.regions[*region].coats);
            let stack = &mut opposite.regions[*region];
            (stack.coats, stack.mixes, stack.trust) = (coats, vec![candidate.mix.clone()], trust);
            regions.push(OpposedRegion {
                region: *region,
                dried,
                target: wanted.target,
                matched,
                delta_e: delta_e(matched.lab(), wanted.target),
                reachable: wanted.reachable,
                trust,
            });
        }
    }
    regions.sort_by_key(|region| region.region);
    Ok(Opposed {
        helpful: helpful(opposing, &groups, &wanted),
        unused: unused(opposing),
        thinned: wanted.iter().any(|wanted| wanted.thinned),
        scheme: opposite,
        regions,
        undercoat_reason,
    })
}

#[allow(clippy::cast_precision_loss, reason = "a few regions")]
fn share(done: usize, of: usize) -> f64 {
    done as f64 / of.max(1) as f64
}

/// A target for some regions, and the mixes that could reach it.
struct Wanted {
    area: f64,
    target: Lab,
    matching: Matching,
    candidates: Vec<Candidate>,
    reachable: f64,
    thinned: bool,
}

/// Regions with the very same coats are one part of the design: they are matched together.
fn groups_of_same_coats(scheme: &Scheme) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (region, stack) in scheme.regions.iter().enumerate() {
        if stack.coats.is_empty() {
            continue;
        }
        match groups
            .iter_mut()
            .find(|group| scheme.regions[group[0]].coats == stack.coats)
        {
            Some(group) => group.push(region),
            None => groups.push(vec![region]),
        }
    }
    groups
}

/// Pairs of groups that have a paint in common.
fn sharing_pairs(scheme: &Scheme, groups: &[Vec<usize>]) -> Vec<[usize; 2]> {
    let paints = |group: &[usize]| -> Vec<usize> {
        let mixes = scheme.regions[group[0]].mixes.iter();
        mixes
            .flat_map(|mix| mix.paints.iter().map(|(paint, _)| *paint))
            .collect()
    };
    let all: Vec<Vec<usize>> = groups.iter().map(|group| paints(group)).collect();
    let mut pairs = Vec::new();
    for (at, some) in all.iter().enumerate() {
        for (beyond, others) in all[at + 1..].iter().enumerate() {
            if some.iter().any(|paint| others.contains(paint)) {
                pairs.push([at, at + 1 + beyond]);
            }
        }
    }
    pairs
}

fn wanted(
    opposing: &Opposing<'_>,
    regions: &[usize],
    undercoat: SimulatedUndercoat,
    effort: &Effort<'_>,
) -> Result<Wanted, Error> {
    let (scheme, ground, paints) = (opposing.scheme, opposing.ground, opposing.paints);
    let area_of = |region: usize| ground.summary.regions[region].area;
    let area: f64 = regions.iter().map(|region| area_of(*region)).sum();
    // By area. Regions that the photo does not show count equally.
    #[allow(clippy::cast_precision_loss, reason = "a few regions")]
    let share = |region: usize| {
        if area > 0.0 {
            area_of(region) / area
        } else {
            1.0 / regions.len() as f64
        }
    };
    let mut dried = [0.0; 3];
    let mut grey = 0.0;
    for region in regions {
        let Linear(own) = ground.dried(*region, scheme.undercoat, &scheme.regions[*region].coats);
        for (sum, channel) in dried.iter_mut().zip(own) {
            *sum += share(*region) * channel;
        }
        grey += share(*region) * ground.bare(*region, undercoat);
    }
    let target = opposite(Linear(dried), opposing.way);
    let matching = Matching {
        aims: vec![Aim {
            target,
            substrate: Substrate::of_colour(Linear::grey(grey), ground.specular),
            weight: 1.0,
        }],
        grid: opposing.grid.clone(),
        count: WEIGHED,
        measure: Measure::Ciede2000,
    };
    let found = find(paints, &matching, effort)?;
    let first = &found.mixes[..found.mixes.len().min(1)];
    let reachable = best_distance_from(paints, &matching, first, &found.mixes, &effort.watch)?;
    let mut candidates: Vec<Candidate> = found
        .mixes
        .into_iter()
        .map(|one| {
            let mut candidate = Candidate {
                mix: one.mix,
                film: one.film,
                delta_e: 0.0,
            };
            let coat = [even_coat(paints, &candidate)];
            let mut mean = [0.0; 3];
            for region in regions {
                let Linear(own) = ground.dried(*region, undercoat, &coat);
                for (sum, channel) in mean.iter_mut().zip(own) {
                    *sum += share(*region) * channel;
                }
            }
            candidate.delta_e = delta_e(Linear(mean).lab(), target);
            candidate
        })
        .collect();
    candidates.sort_by(|a, b| {
        let steps = |one: &Candidate| (one.delta_e / AS_GOOD).floor();
        let simple = |one: &Candidate| (one.mix.paints.len(), one.mix.volume());
        steps(a)
            .total_cmp(&steps(b))
            .then_with(|| simple(a).0.cmp(&simple(b).0))
            .then_with(|| simple(a).1.total_cmp(&simple(b).1))
    });
    let reachable = candidates
        .iter()
        .map(|one| one.delta_e)
        .fold(reachable, f64::min);
    Ok(Wanted {
        area,
        target,
        matching,
        candidates,
        reachable,
        thinned: found.thinned,
    })
}

/// A paint for one of the colours out of reach: the one with the largest error, weighted by area.
fn helpful(opposing: &Opposing<'_>, groups: &[Vec<usize>], wanted: &[Wanted]) -> Option<Helpful> {
    let weight = |wanted: &Wanted| wanted.area.max(f64::MIN_POSITIVE) * wanted.reachable;
    let (group, missing) = groups
        .iter()
        .zip(wanted)
        .filter(|(_, wanted)| wanted.reachable > OUT_OF_REACH)
        .max_by(|a, b| weight(a.1).total_cmp(&weight(b.1)))?;
    let region = group.iter().copied().max_by(|a, b| {
        let area = |region: usize| opposing.ground.summary.regions[region].area;
        area(*a).total_cmp(&area(*b))
    })?;
    Some(Helpful {
        paint: helpful_paint(&missing.matching),
        region,
        saves: missing.reachable,
    })
}

fn unused(opposing: &Opposing<'_>) -> Vec<String> {
    let used = |index: usize| {
        let mixes = opposing
            .scheme
            .regions
            .iter()
            .flat_map(|stack| &stack.mixes);
        mixes
            .flat_map(|mix| &mix.paints)
            .any(|(paint, _)| *paint == index)
    };
    let paints = opposing.scheme_paints.paints.iter().enumerate();
    paints
        .filter(|(index, _)| !used(*index))
        .map(|(_, paint)| paint.name.clone())
        .collect()
}

fn bare(region: &str) -> RegionStack {
    RegionStack {
        region: region.to_owned(),
        coats: Vec::new(),
        mixes: Vec::<Mix>::new(),
        trust: Trust::AS_PHOTOGRAPHED,
    }
}

fn even_coat(paints: &PaintBox, candidate: &Candidate) -> Coat {
    Coat {
        optics: paints.mixed(&candidate.mix),
        film: candidate.film,
        place: Where::All,
        pooling: 0.0,
    }
}
