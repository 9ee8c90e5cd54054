//! One random scheme within the rules: few paints, roles that differ, neighbours that contrast.

use rand::rngs::ChaCha8Rng;
use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use velatura_figure::Material;
use velatura_optics::colour::{Lab, delta_e};

use super::Exploring;
use super::natural::{Limited, limited, preferred};
use super::pool::Pool;
use super::split::{ROLES, Role, splits};

/// Least ΔE between the colours of two roles (invented: clearly another colour).
const ROLES_APART: f64 = 15.0;
/// Least ΔE between two regions that touch (invented: seen as a border from the table).
pub(super) const NEIGHBOURS_APART: f64 = 10.0;
/// Borders shorter than this share of a figure's longest do not count: only a corner touches.
const SHORT_BORDER: f64 = 0.02;
/// Colours that few people want on large parts, as ranges of L\*, chroma and hue in degrees (a first hue above the last means over 0).
/// Pinks and lilacs look like bare skin or like sugar on any of them; light blues and mints look washed out where they dominate.
/// In two times ninety schemes on three figures, judged blind, they were the most frequent reasons to refuse one: 71 and 65 of them
/// would be painted. Of ninety more, of another seed and judged blind by another person, 72 would, with these limits.
const SUGARY: [[f64; 2]; 3] = [[45.0, 92.0], [8.0, 44.0], [300.0, 60.0]];
const WASHED_OUT: [[f64; 2]; 3] = [[58.0, 92.0], [6.0, 26.0], [110.0, 300.0]];
/// Smaller parts than this share of the figure may have any colour.
const LARGE: f64 = 0.06;
/// How many numbers are copied in the time that a colour is computed in, roughly.
const COPIED_PER_COLOUR: usize = 100;

/// A scheme as indices into the pool.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Composed {
    /// One per region.
    pub(super) mixes: Vec<usize>,
    /// Its colours by region.
    pub(super) colours: Vec<Lab>,
    /// The role of each region.
    pub(super) roles: Vec<Role>,
}

pub(super) struct Composer<'a> {
    wish: &'a Exploring<'a>,
    pool: &'a Pool<'a>,
    splits: Vec<Vec<Role>>,
    /// Regions by whose mix they have.
    groups: Vec<Vec<usize>>,
    /// Those whose colour follows from what they are.
    limited: Vec<Limited>,
    /// Paints of the kept mixes, which every scheme has.
    settled: Vec<usize>,
    /// Pairs of regions that touch, neither of them settled.
    neighbours: Vec<Vec<usize>>,
    /// Regions, largest first.
    by_area: Vec<usize>,
    /// Whether large parts may be of a colour that few people want there.
    pub(super) any_colour: bool,
}

impl<'a> Composer<'a> {
    pub(super) fn new(wish: &'a Exploring<'a>, pool: &'a Pool<'a>) -> Self {
        let summary = &wish.ground.summary;
        let areas: Vec<f64> = summary.regions.iter().map(|region| region.area).collect();
        let longest = summary.borders.iter().flatten().max().copied().unwrap_or(0);
        #[allow(clippy::cast_precision_loss, reason = "border lengths")]
        let touch = |length: &u64| *length as f64 > longest as f64 * SHORT_BORDER;
        let settled_region = |region: usize| wish.kept.iter().any(|(kept, _)| *kept == region);
        let neighbours = summary
            .borders
            .iter()
            .enumerate()
            .map(|(region, row)| {
                (0..row.len())
                    .filter(|other| touch(&row[*other]))
                    // The painter has decided on two settled regions.
                    .filter(|other| !(settled_region(region) && settled_region(*other)))
                    .collect()
            })
            .collect();
        let mut by_area: Vec<usize> = (0..areas.len()).collect();
        by_area.sort_by(|a, b| areas[*b].total_cmp(&areas[*a]));
        let mut settled: Vec<usize> = wish
            .kept
            .iter()
            .flat_map(|(_, mix)| mix.paints.iter().map(|(paint, _)| *paint))
            .collect();
        settled.sort_unstable();
        settled.dedup();
        let groups = wish.groups();
        let limited = limited(wish, pool, &groups);
        Self {
            wish,
            pool,
            splits: roles_by_region(wish, &groups, &areas),
            groups,
            limited,
            settled,
            neighbours,
            by_area,
            any_colour: false,
        }
    }

    /// A random scheme, or `None` if this attempt breaks a rule.
    pub(super) fn scheme(&self, chance: &mut ChaCha8Rng) -> Option<Composed> {
        let usable = self.usable_mixes(chance)?;
        let roles = &self.splits[chance.random_range(0..self.splits.len())];
        let colours_of_roles = self.role_mixes(&usable, roles, chance)?;
        let mut mixes: Vec<Option<usize>> = vec![None; roles.len()];
        for (at, (region, _)) in self.wish.kept.iter().enumerate() {
            self.give(*region, at, &mut mixes);
        }
        let drawn: Vec<usize> = self.paints_in(&colours_of_roles);
        self.give_natural(drawn, chance, &mut mixes);
        for region in &self.by_area {
            if mixes[*region].is_some() || !self.groups.iter().any(|group| group[0] == *region) {
                continue;
            }
            let own = colours_of_roles[index_of(roles[*region])];
            let mix =
                self.nearest_that_stands_apart(*region, roles[*region], own, &usable, &mixes)?;
            self.give(*region, mix, &mut mixes);
        }
        let mixes: Vec<usize> = mixes.into_iter().collect::<Option<_>>()?;
        // What is natural may add a paint or two: the limit is for the parts that carry the scheme.
        let carrying = mixes.iter().zip(roles);
        let carrying = carrying.filter(|(_, role)| **role != Role::Natural);
        let carrying: Vec<usize> = carrying.map(|(mix, _)| *mix).collect();
        let few = self.paints_in(&carrying).len() <= self.wish.most_paints.max(self.settled.len());
        let colours = mixes
            .iter()
            .enumerate()
            .map(|(region, mix)| self.pool.colours(*mix)[region])
            .collect();
        few.then(|| Composed {
            mixes,
            colours,
            roles: roles.clone(),
        })
    }

    /// Gives a region and those that share its mix this one.
    fn give(&self, region: usize, mix: usize, mixes: &mut [Option<usize>]) {
        for member in self.group_of(region) {
            mixes[member] = Some(mix);
        }
    }

    /// A region and those that share its mix.
    fn group_of(&self, region: usize) -> Vec<usize> {
        let group = self.groups.iter().find(|group| group[0] == region);
        group.map_or_else(|| vec![region], Clone::clone)
    }

    /// Gives a natural mix to every group whose colour follows from what it is, with as few paints besides `used` as possible.
    fn give_natural(
        &self,
        mut used: Vec<usize>,
        chance: &mut ChaCha8Rng,
        mixes: &mut [Option<usize>],
    ) {
        for limited in &self.limited {
            // Every region that shares the mix has its own neighbours.
            let neighbours: Vec<(usize, Lab)> = self
                .group_of(limited.region)
                .iter()
                .flat_map(|member| {
                    self.neighbours[*member].iter().filter_map(|other| {
                        Some((*member, self.pool.colours(mixes[*other]?)[*other]))
                    })
                })
                .collect();
            let choice = preferred(self.pool, limited, &used, &neighbours, NEIGHBOURS_APART);
            if choice.is_empty() {
                continue;
            }
            let mix = choice[chance.random_range(0..choice.len())];
            used.extend(self.paints_in(&[mix]));
            self.give(limited.region, mix, mixes);
        }
    }

    /// The regions whose natural range no mix reaches: see [`super::Exploration::unnatural`].
    pub(super) fn unnatural(&self) -> Vec<(usize, Material, f64)> {
        let off = self.limited.iter().filter(|limited| limited.off > 0.0);
        off.map(|limited| (limited.region, limited.material, limited.off))
            .collect()
    }

    /// The free mixes of a few random paints, added to the settled ones.
    fn usable_mixes(&self, chance: &mut ChaCha8Rng) -> Option<Vec<usize>> {
        let pool = self.pool;
        // Metal is for what is metal: cloth that glints is a choice of the painter's own.
        let owned = &pool.owned;
        let mut drawn: Vec<usize> = (0..owned.len())
            .filter(|place| !pool.is_metallic(*place))
            .map(|place| owned[place])
            .collect();
        if drawn.is_empty() {
            drawn.clone_from(owned);
        }
        let most = self.wish.most_paints.min(owned.len()).max(1);
        let count = chance.random_range(most.min(2)..=most);
        let (drawn, _) = drawn.partial_shuffle(chance, count.saturating_sub(self.settled.len()));
        let mut places: Vec<usize> = drawn
            .iter()
            .chain(&self.settled)
            .filter_map(|paint| owned.binary_search(paint).ok())
            .collect();
        places.sort_unstable();
        places.dedup();
        let usable = self.pool.free_mixes(&places);
        self.pool
            .looked(1 + owned.len() / COPIED_PER_COLOUR + usable.len() / COPIED_PER_COLOUR);
        (!usable.is_empty()).then_some(usable)
    }

    /// One mix per role, each clearly another colour than those before it.
    fn role_mixes(
        &self,
        usable: &[usize],
        roles: &[Role],
        chance: &mut ChaCha8Rng,
    ) -> Option<[usize; 3]> {
        let mut found: Vec<usize> = Vec::new();
        for role in ROLES {
            // Colours are compared where the role is seen most.
            let seen_on = self
                .by_area
                .iter()
                .copied()
                .find(|region| roles[*region] == role);
            let mix = usable[chance.random_range(0..usable.len())];
            let region = seen_on.unwrap_or(self.by_area[0]);
            let colour = |mix: usize| self.pool.colours(mix)[region];
            let apart = found
                .iter()
                .all(|other| delta_e(colour(*other), colour(mix)) >= ROLES_APART);
            if !apart || !self.suits(region, role, colour(mix)) {
                return None;
            }
            found.push(mix);
        }
        found.try_into().ok()
    }

    /// The usable mix that comes nearest to `own` on this region and contrasts with the neighbours that have one.
    fn nearest_that_stands_apart(
        &self,
        region: usize,
        role: Role,
        own: usize,
        usable: &[usize],
        mixes: &[Option<usize>],
    ) -> Option<usize> {
        let colour = |mix: usize| self.pool.colours(mix)[region];
        let neighbours: Vec<Lab> = self.neighbours[region]
            .iter()
            .filter_map(|other| Some(self.pool.colours(mixes[*other]?)[*other]))
            .collect();
        let stands_apart = |mix: usize| {
            let own = colour(mix);
            self.suits(region, role, own)
                && neighbours
                    .iter()
                    .all(|other| delta_e(*other, own) >= NEIGHBOURS_APART)
        };
        self.pool.looked(1 + neighbours.len());
        if stands_apart(own) {
            return Some(own);
        }
        self.pool.looked(usable.len() * (1 + neighbours.len()));
        usable
            .iter()
            .filter(|mix| stands_apart(**mix))
            .map(|mix| (delta_e(colour(*mix), colour(own)), *mix))
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, mix)| mix)
    }

    /// Whether people want a colour on a region in this role.
    fn suits(&self, region: usize, role: Role, Lab([lightness, a, b]): Lab) -> bool {
        if self.any_colour || self.wish.ground.summary.regions[region].area < LARGE {
            return true;
        }
        let hue = libm::atan2(b, a).to_degrees().rem_euclid(360.0);
        let within = |[least, most]: [f64; 2], value: f64| match least <= most {
            true => (least..=most).contains(&value),
            false => value >= least || value <= most,
        };
        let is = |[light, chroma, hues]: [[f64; 2]; 3]| {
            within(light, lightness) && within(chroma, libm::hypot(a, b)) && within(hues, hue)
        };
        !is(SUGARY) && (role != Role::Dominant || !is(WASHED_OUT))
    }

    /// The paints of some mixes, each once.
    fn paints_in(&self, mixes: &[usize]) -> Vec<usize> {
        let mut paints: Vec<usize> = mixes
            .iter()
            .flat_map(|mix| {
                let paints = self.pool.mix(*mix).paints;
                paints.into_iter().map(|(paint, _)| paint)
            })
            .collect();
        paints.sort_unstable();
        paints.dedup();
        paints
    }
}

/// The splits of the groups that carry the scheme, as roles by region.
fn roles_by_region(wish: &Exploring<'_>, groups: &[Vec<usize>], areas: &[f64]) -> Vec<Vec<Role>> {
    let free: Vec<&Vec<usize>> = groups
        .iter()
        .filter(|group| wish.limit(group[0]).is_none() || wish.is_kept(group[0]))
        .collect();
    let shares: Vec<f64> = free
        .iter()
        .map(|group| group.iter().map(|region| areas[*region]).sum())
        .collect();
    let whole: f64 = shares.iter().sum();
    let shares: Vec<f64> = shares
        .iter()
        .map(|share| share / whole.max(f64::MIN_POSITIVE))
        .collect();
    // The splits depend on the figure alone: every seed has the same.
    let splits = splits(&shares, &mut ChaCha8Rng::seed_from_u64(0));
    splits
        .into_iter()
        .map(|split| {
            let mut roles = vec![Role::Natural; areas.len()];
            for (group, role) in free.iter().zip(split) {
                for region in *group {
                    roles[*region] = role;
                }
            }
            roles
        })
        .collect()
}

pub(super) fn index_of(role: Role) -> usize {
    ROLES
        .iter()
        .position(|own| *own == role)
        .expect("every role that carries the scheme is in the list")
}
