//! The opposite scheme: the dried colour of each region is inverted and matched with owned paints.
//!
//! In: a scheme on a figure, with its paints; the paints to match with; a kind of opposite. Out: the opposite scheme, how far
//! each colour is from its target, and the one paint that would help most. Dried colours are means over the region's own
//! underpainting in full light. All matched coats are even: washes and highlights of the source count with their mean colour.

mod distinct;
mod flip;
mod groups;
mod opposite;
mod sharing;

pub use distinct::{DistinctOpposite, distinct_opposite};
pub use flip::Undercoat;
pub use opposite::{HueSpace, Way, opposite, shown};

use velatura_document::Error;
use velatura_figure::{Material, Part, SimulatedUndercoat};
use velatura_optics::calibrate::PaintBox;
use velatura_optics::coat::Coat;
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
use groups::{groups_of_same_coats, sharing_pairs};
use sharing::Candidate;

/// Mixes per region to compare on the figure: the search uses one grey, but the figure has many.
const WEIGHED: usize = 400;
/// ΔE that a mix of the most parts may be nearer than one of a single part and still lose to it: a palette counts 1:1 more easily
/// than 4:5. In between, the parts count evenly (a choice; below what anyone sees at the table).
const SIMPLER: f64 = 0.9;
/// A mean colour at most so far outside the natural range still counts as natural, in units of CIELAB.
const SLACK: f64 = 1.0;
/// Colours that are tried for all regions together, some seconds of one core. Each search gets an equal part.
const COLOURS: u64 = 12_000_000;
/// Least and most colours of one region's search.
const LEAST_COLOURS: u64 = 50_000;
const MOST_COLOURS: u64 = 2_000_000;

/// What to oppose, and with what.
#[derive(Debug, Clone)]
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
    /// What each region is. A region whose colour is in the natural range of what it is keeps its colour: skin stays skin. Empty if
    /// all are inverted.
    pub parts: &'a [Part],
    /// Other regions that keep their colour.
    pub kept: &'a [usize],
}

/// Why a region keeps its colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stays {
    /// It has a colour that this material usually has.
    Natural(Material),
    /// Because it was asked for.
    Asked,
}

impl Opposing<'_> {
    /// Whether a region keeps its colour, and why.
    fn stays(&self, region: usize) -> Option<Stays> {
        if self.kept.contains(&region) {
            return Some(Stays::Asked);
        }
        let part = self.parts.get(region)?;
        let material = part.limit()?;
        let scheme = self.scheme;
        let coats = &scheme.regions[region].coats;
        let dried = self.ground.dried(region, scheme.undercoat, coats);
        let natural = part.unnatural(dried.lab()) <= SLACK;
        natural.then_some(Stays::Natural(material))
    }
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
    /// How many colours the search for each region could try.
    pub colours_each: u64,
}

/// One region of an opposite scheme.
#[derive(Debug, Clone)]
pub struct OpposedRegion {
    /// Index of the region.
    pub region: usize,
    /// Its dried colour in the source scheme.
    pub dried: Linear,
    /// The opposite of that, or the same if it stays.
    pub target: Lab,
    /// Why it keeps its colour; `None` if it is inverted.
    pub stays: Option<Stays>,
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
    let stays: Vec<Option<Stays>> = (0..scheme.regions.len())
        .map(|region| opposing.stays(region))
        .collect();
    let groups = groups_of_same_coats(scheme, &stays);
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
        let stays = stays[regions[0]].is_some();
        wanted.push(self::wanted(opposing, regions, undercoat, stays, &effort)?);
    }
    watch.report(1.0);
    let areas: Vec<f64> = wanted.iter().map(|wanted| wanted.area).collect();
    let candidates: Vec<Vec<Candidate>> = wanted
        .iter()
        .map(|wanted| wanted.candidates.clone())
        .collect();
    let chosen = sharing::chosen(&areas, &candidates, &sharing_pairs(scheme, &groups, &stays));

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
                stays: stays[*region],
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
        colours_each: colours,
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

fn wanted(
    opposing: &Opposing<'_>,
    regions: &[usize],
    undercoat: SimulatedUndercoat,
    stays: bool,
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
    let target = match stays {
        true => Linear(dried).lab(),
        false => opposite(Linear(dried), opposing.way),
    };
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
    let mut nearest = reachable;
    let mut candidates: Vec<Candidate> = found
        .mixes
        .into_iter()
        .map(|one| {
            let mut candidate = Candidate {
                mix: one.mix,
                film: one.film,
                cost: 0.0,
            };
            let coat = [even_coat(paints, &candidate)];
            let mut mean = [0.0; 3];
            for region in regions {
                let Linear(own) = ground.dried(*region, undercoat, &coat);
                for (sum, channel) in mean.iter_mut().zip(own) {
                    *sum += share(*region) * channel;
                }
            }
            let left = delta_e(Linear(mean).lab(), target);
            nearest = nearest.min(left);
            candidate.cost = left + trouble(&candidate.mix, &opposing.grid);
            candidate
        })
        .collect();
    candidates.sort_by(|a, b| {
        let paints = |one: &Candidate| one.mix.paints.len();
        a.cost
            .total_cmp(&b.cost)
            .then_with(|| paints(a).cmp(&paints(b)))
    });
    let reachable = nearest;
    Ok(Wanted {
        area,
        target,
        matching,
        candidates,
        reachable,
        thinned: found.thinned,
    })
}

/// What the parts of a mix count, in ΔE: 0 for one part, [`SIMPLER`] for the most.
fn trouble(mix: &Mix, grid: &Grid) -> f64 {
    let most = f64::from(grid.max_parts.max(2)) - 1.0;
    SIMPLER * (mix.volume() - 1.0) / most
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
    Coat::even(paints.mixed(&candidate.mix), candidate.film)
}
