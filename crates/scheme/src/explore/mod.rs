//! Schemes worth trying: few owned paints, parts that contrast with their neighbours, and proposals that differ from each
//! other as much as they can.
//!
//! In: owned paints, a figure's ground, and constraints. Out: schemes with a line of reasons each, the same for the same seed.
//! Thousands of random schemes are composed within the rules (`compose`), those with the chosen mood are kept (`mood`), and
//! of them the ones that are furthest apart are chosen (`choose`). Distance of two schemes: CIEDE2000 of each region's
//! dried colours, weighted by the region's area.

mod choose;
mod compose;
mod mood;
mod pool;
mod reason;
mod split;

pub use mood::{Mood, Rival};

use std::collections::HashSet;

use rand::SeedableRng;
use rand::rngs::ChaCha8Rng;
use velatura_figure::SimulatedUndercoat;
use velatura_optics::calibrate::PaintBox;
use velatura_optics::coat::{Coat, Where};
use velatura_optics::colour::Lab;
use velatura_optics::mixture::Mix;

use crate::ground::FigureGround;
use crate::resolve::{RegionStack, Scheme};
use compose::Composed;

/// How many schemes to compose and choose from, if there are that many different ones.
const CANDIDATES: usize = 3000;
/// How many attempts per candidate before giving up: with few paints most attempts repeat an earlier scheme.
const TRIES: usize = 30;

/// The constraints.
#[derive(Debug)]
pub struct Exploring<'a> {
    /// The paints; only owned ones are used.
    pub paints: &'a PaintBox,
    /// The figure.
    pub ground: &'a FigureGround,
    /// The undercoat of the schemes.
    pub undercoat: SimulatedUndercoat,
    /// The team's name; may be empty.
    pub team: &'a str,
    /// How many schemes.
    pub count: usize,
    /// The same seed gives the same schemes.
    pub seed: u64,
    /// Most paints in one scheme, at least 1; medium does not count.
    pub most_paints: usize,
    /// A mood, if any.
    pub mood: Option<Mood>,
    /// Regions whose mix is settled: index of the region and its mix, one coat of film 1.
    pub kept: &'a [(usize, Mix)],
    /// A team to contrast with.
    pub against: Option<&'a Rival>,
}

/// One proposed scheme.
#[derive(Debug, Clone)]
pub struct Proposal {
    /// The scheme.
    pub scheme: Scheme,
    /// Why, in one line.
    pub reason: String,
    /// Mean dried colour of each region; of a region without pixels over mid grey.
    pub colours: Vec<Lab>,
}

/// All that are proposed.
#[derive(Debug, Clone)]
pub struct Exploration {
    /// As many as requested, or all that exist. Each differs from all others in some region.
    pub proposals: Vec<Proposal>,
    /// Distance of the two that are most alike; 0 for fewer than two.
    pub least_distance: f64,
    /// How many schemes satisfied every rule, including mood and rival.
    pub fitting: usize,
    /// Distance of the two most similar among the first schemes that were composed, the same number as are proposed: the result
    /// of a random choice.
    pub by_chance: f64,
}

/// Proposes schemes. There are none if no paint is owned or no scheme satisfies every rule.
#[must_use]
pub fn explore(wish: &Exploring<'_>) -> Exploration {
    let pool = pool::Pool::new(wish);
    let composer = compose::Composer::new(wish, &pool);
    let mut chance = ChaCha8Rng::seed_from_u64(wish.seed);
    let mut all: Vec<Composed> = Vec::new();
    let mut seen = HashSet::new();
    for _ in 0..CANDIDATES * TRIES {
        if all.len() >= CANDIDATES {
            break;
        }
        if let Some(composed) = composer.scheme(&mut chance) {
            if seen.insert(composed.mixes.clone()) {
                all.push(composed);
            }
        }
    }
    let areas: Vec<f64> = wish
        .ground
        .summary
        .regions
        .iter()
        .map(|region| region.area)
        .collect();
    let fitting = mood::fitting(all, wish, &areas);
    let chosen = choose::furthest_apart(&fitting, &areas, wish.count);
    let by_chance: Vec<usize> = (0..chosen.len()).collect();
    let proposals = chosen
        .iter()
        .enumerate()
        .map(|(number, index)| proposal(wish, &pool, &fitting[*index], number))
        .collect();
    Exploration {
        proposals,
        least_distance: choose::least_distance(&fitting, &areas, &chosen),
        fitting: fitting.len(),
        by_chance: choose::least_distance(&fitting, &areas, &by_chance),
    }
}

fn proposal(
    wish: &Exploring<'_>,
    pool: &pool::Pool,
    composed: &Composed,
    number: usize,
) -> Proposal {
    let regions = &wish.ground.summary.regions;
    let stacks = composed.mixes.iter().zip(regions).map(|(index, region)| {
        let mix = &pool.mixes[*index].mix;
        RegionStack {
            region: region.name.clone(),
            coats: vec![film_1(wish.paints, mix)],
            mixes: vec![mix.clone()],
            trust: wish.paints.trust(mix),
        }
    });
    Proposal {
        scheme: Scheme {
            stages: Vec::new(),
            name: reason::name(wish, pool, composed, number),
            team: wish.team.to_owned(),
            undercoat: wish.undercoat,
            finish: crate::Varnish::Matte,
            regions: stacks.collect(),
        },
        reason: reason::line(wish, pool, composed),
        colours: composed.colours.clone(),
    }
}

fn film_1(paints: &PaintBox, mix: &Mix) -> Coat {
    Coat {
        optics: paints.mixed(mix),
        film: 1.0,
        place: Where::All,
        pooling: 0.0,
    }
}
