//! Schemes worth trying: few owned paints, parts that contrast with their neighbours, and proposals that differ from each
//! other as much as they can.
//!
//! In: owned paints, a figure's ground, and constraints. Out: schemes with a line of reasons each, the same for the same seed.
//! Thousands of random schemes are composed within the rules (`compose`), those with the chosen mood are kept (`mood`), and
//! of them the ones that are furthest apart are chosen (`choose`); they get shade and light where it helps (`second_coat`).
//! Distance of two schemes: CIEDE2000 of each region's dried colours, weighted by the region's area. The work is bounded by
//! the number of colours that are tried, however many paints and regions there are ([`MOST_COLOURS`]).

mod choose;
mod colour_words;
mod compose;
mod mood;
mod natural;
mod pool;
mod reason;
mod second_coat;
mod split;

pub use mood::{Mood, Rival};

use std::collections::HashSet;

use rand::SeedableRng;
use rand::rngs::ChaCha8Rng;
use velatura_document::Error;
use velatura_figure::{Material, Part, SimulatedUndercoat};
use velatura_optics::calibrate::PaintBox;
use velatura_optics::coat::Coat;
use velatura_optics::colour::Lab;
use velatura_optics::mixture::Mix;
use velatura_optics::trust::Trust;

use crate::apart::Looks;
use crate::ground::FigureGround;
use crate::resolve::{RegionStack, Scheme};
use crate::spill::painting_order;
use crate::watch::Watch;
use crate::written::Proposed;
use compose::Composed;
use second_coat::{SecondCoat, as_coat, second_coats};

/// How many schemes to compose and choose from, if there are that many different ones.
const CANDIDATES: usize = 3000;
/// How many attempts per candidate before giving up: with few paints most attempts repeat an earlier scheme.
const TRIES: usize = 30;
/// Most colours that composing computes or compares, some seconds of one core; then what was composed so far must do.
/// The work grows with the regions and with the paints of a scheme, hardly with the number of owned paints.
pub const MOST_COLOURS: u64 = 30_000_000;
/// Share of the work that is done when all candidates are composed, for the progress.
const COMPOSED: f64 = 0.6;
/// Attempts between two looks at the watch.
const ATTEMPTS_PER_LOOK: usize = 64;

/// The constraints.
#[derive(Debug)]
pub struct Exploring<'a> {
    /// The paints; only owned ones are used, and metallic ones only where the part is metal.
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
    /// Most parts in a mix, medium included, at least 1.
    pub max_parts: u32,
    /// What each region is; empty if nothing is known about any. Those with a limit ([`Part::limit`]) get a natural colour, and
    /// those that are the same as another get its mix. The others carry the scheme.
    pub parts: &'a [Part],
    /// A mood, if any.
    pub mood: Option<Mood>,
    /// Regions whose mix is settled: index of the region and its mix, one coat of film 1.
    pub kept: &'a [(usize, Mix)],
    /// A team to contrast with.
    pub against: Option<&'a Rival>,
}

impl Exploring<'_> {
    /// The material that limits a region's colour.
    fn limit(&self, region: usize) -> Option<Material> {
        self.parts.get(region).and_then(Part::limit)
    }

    /// Whether a region's mix is settled.
    fn is_kept(&self, region: usize) -> bool {
        self.kept.iter().any(|(kept, _)| *kept == region)
    }

    /// The regions by whose mix they have: each list begins with the region that the others share the mix of. Regions whose own
    /// mix is settled share none.
    fn groups(&self) -> Vec<Vec<usize>> {
        let count = self.ground.summary.regions.len();
        let shared = |region: usize| {
            let part = self.parts.get(region);
            let shared = part.and_then(|part| part.same_as);
            shared.filter(|other| *other < count && !self.is_kept(region))
        };
        (0..count)
            .filter(|region| shared(*region).is_none())
            .map(|first| {
                let others = (0..count).filter(|other| shared(*other) == Some(first));
                std::iter::once(first).chain(others).collect()
            })
            .collect()
    }
}

/// One proposed scheme.
#[derive(Debug, Clone)]
pub struct Proposal {
    /// The scheme.
    pub scheme: Scheme,
    /// Why, in one line.
    pub reason: String,
    /// Mean dried colour of each region under all its coats; of a region without pixels over mid grey.
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
    /// Regions for which no mix of the owned paints is in the natural range of what they are: the region, the material, and how
    /// far the nearest mix is outside, in units of CIELAB.
    pub unnatural: Vec<(usize, Material, f64)>,
    /// Whether no scheme stands clearly apart from the rival in every colour vision, so that the proposals are those that come
    /// nearest to it.
    pub confusable: bool,
    /// If composing ended at [`MOST_COLOURS`], before there were as many candidates as wanted: the most paints per scheme with
    /// which there probably would be.
    pub cut_short: Option<usize>,
}

impl Exploration {
    /// The proposals as a schemes file has them: each with its reason, and its parts in painting order.
    #[must_use]
    pub fn written(&self, ground: &FigureGround) -> Vec<Proposed> {
        let proposals = self.proposals.iter();
        proposals
            .map(|proposal| Proposed {
                order: painting_order(&proposal.scheme, ground),
                remarks: vec![proposal.reason.clone()],
                scheme: proposal.scheme.clone(),
            })
            .collect()
    }

    /// Keeps the proposals for which `stays` is true, in the order of the proposals; those beyond its end go.
    #[must_use]
    pub fn only(mut self, stays: &[bool], ground: &FigureGround) -> Self {
        let mut each = stays.iter();
        self.proposals.retain(|_| each.next() == Some(&true));
        let areas: Vec<f64> = ground.summary.regions.iter().map(|one| one.area).collect();
        let dried: Vec<&[Lab]> = self.proposals.iter().map(|one| &*one.colours).collect();
        self.least_distance = choose::least_distance(&dried, &areas);
        self
    }
}

/// Proposes schemes. There are none if no paint is owned or no scheme satisfies every rule.
///
/// # Panics
/// If a kept region or its mix is missing.
#[must_use]
pub fn explore(wish: &Exploring<'_>) -> Exploration {
    explore_watched(wish, &Watch::nobody()).expect("nobody stops it")
}

/// As [`explore`], while somebody watches.
///
/// # Errors
/// [`Error::Cancelled`] if it was stopped.
///
/// # Panics
/// As [`explore`].
pub fn explore_watched(wish: &Exploring<'_>, watch: &Watch<'_>) -> Result<Exploration, Error> {
    let pool = pool::Pool::new(wish);
    let mut composer = compose::Composer::new(wish, &pool);
    let mut chance = ChaCha8Rng::seed_from_u64(wish.seed);
    let mut all: Vec<Composed> = Vec::new();
    let mut seen = HashSet::new();
    let most = candidates(wish);
    let mut cut_short = None;
    for attempt in 0..CANDIDATES * TRIES {
        if all.len() >= most {
            break;
        }
        if pool.looked_at() >= MOST_COLOURS {
            cut_short = Some(fewer_paints(wish.most_paints, all.len(), most));
            break;
        }
        // Few paints, or parts that are settled: better such colours than too few schemes.
        if attempt == CANDIDATES && all.len() < wish.count {
            composer.any_colour = true;
        }
        if attempt % ATTEMPTS_PER_LOOK == 0 {
            watch.go_on()?;
            watch.report(COMPOSED * share(all.len(), most).max(share(attempt, CANDIDATES * TRIES)));
        }
        if let Some(composed) = composer.scheme(&mut chance)
            && seen.insert(composed.mixes.clone())
        {
            all.push(composed);
        }
    }
    watch.report(COMPOSED);
    let areas: Vec<f64> = wish
        .ground
        .summary
        .regions
        .iter()
        .map(|region| region.area)
        .collect();
    let (fitting, confusable) = mood::fitting(all, wish, &areas);
    let chosen = choose::furthest_apart(&fitting, &areas, wish.count, watch)?;
    let by_chance = fitting.iter().take(chosen.len());
    let by_chance: Vec<&[Lab]> = by_chance.map(|one| &*one.colours).collect();
    let mut names = HashSet::new();
    let rival = wish.against.filter(|_| !confusable);
    let looks = rival.map(|rival| Looks::new(&rival.regions));
    let proposals: Vec<Proposal> = chosen
        .iter()
        .map(|index| {
            let composed = &fitting[*index];
            let (second, colours) = second_coats(wish, &pool, composed);
            // A second coat must not bring a scheme near to the rival.
            let near = |looks: &Looks| !looks.are_clear_of(&mood::shares(&areas, &colours));
            let coats = match looks.as_ref().is_some_and(near) {
                true => (Vec::new(), composed.colours.clone()),
                false => (second, colours),
            };
            proposal(wish, &pool, composed, coats, &mut names)
        })
        .collect();
    let dried: Vec<&[Lab]> = proposals.iter().map(|one| &*one.colours).collect();
    let least_distance = choose::least_distance(&dried, &areas);
    watch.report(1.0);
    Ok(Exploration {
        proposals,
        least_distance,
        fitting: fitting.len(),
        unnatural: composer.unnatural(),
        confusable,
        by_chance: choose::least_distance(&by_chance, &areas),
        cut_short,
    })
}

/// How many candidates to compose: fewer where comparing each with a rival's regions would take longer than choosing.
fn candidates(wish: &Exploring<'_>) -> usize {
    let regions = wish.ground.summary.regions.len().max(1);
    let rivals = wish.against.map_or(1, |rival| rival.regions.len().max(1));
    let each = regions.saturating_mul(rivals);
    CANDIDATES.min(choose::MOST_COMPARED / each).max(1)
}

/// How many paints a scheme may have so that all candidates are composed: the work of an attempt grows with the pairs of paints, so
/// with the square of their number.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "a few paints"
)]
fn fewer_paints(most_paints: usize, composed: usize, wanted: usize) -> usize {
    let paints = most_paints as f64 * share(composed, wanted).sqrt();
    (paints as usize).clamp(1, most_paints.saturating_sub(1).max(1))
}

#[allow(clippy::cast_precision_loss, reason = "some thousands")]
fn share(done: usize, of: usize) -> f64 {
    done as f64 / of as f64
}

fn proposal(
    wish: &Exploring<'_>,
    pool: &pool::Pool<'_>,
    composed: &Composed,
    (second, colours): (Vec<SecondCoat>, Vec<Lab>),
    names: &mut HashSet<String>,
) -> Proposal {
    let regions = &wish.ground.summary.regions;
    let stacks = composed.mixes.iter().zip(regions).map(|(index, region)| {
        let mix = pool.mix(*index);
        RegionStack {
            region: region.name.clone(),
            coats: vec![film_1(wish.paints, &mix)],
            trust: wish.paints.trust(&mix),
            mixes: vec![mix],
        }
    });
    let mut stacks: Vec<RegionStack> = stacks.collect();
    for coat in &second {
        let mix = pool.mix(coat.mix);
        for region in &coat.regions {
            let stack = &mut stacks[*region];
            stack.coats.push(as_coat(wish, pool, coat));
            stack.trust = Trust::weakest([stack.trust, wish.paints.trust(&mix)]);
            stack.mixes.push(mix.clone());
        }
    }
    Proposal {
        scheme: Scheme {
            stages: Vec::new(),
            name: reason::name(wish, pool, composed, names),
            team: wish.team.to_owned(),
            undercoat: wish.undercoat,
            finish: crate::Varnish::Matte,
            regions: stacks,
        },
        reason: reason::line(wish, pool, composed, &second),
        colours,
    }
}

fn film_1(paints: &PaintBox, mix: &Mix) -> Coat {
    Coat::even(paints.mixed(mix), 1.0)
}
