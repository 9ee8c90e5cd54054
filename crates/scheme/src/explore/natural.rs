//! The parts whose colour follows from what they are: which mixes give each a colour that such things have.
//!
//! In: what the regions are, and the pool of mixes. Out: per region that has a limit, mixes in its natural range, simple ones
//! first; if no mix reaches it, the nearest one alone.

use velatura_figure::Material;
use velatura_optics::colour::delta_e;

use super::Exploring;
use super::pool::Pool;

/// Up to so many owned paints all their mixes are tried for a part; of more, those of the nearest paints.
const PAINTS: usize = 24;
/// How many mixes of a part are kept to choose from.
const KEPT: usize = 120;
/// A contrast of this share of the best one is as good.
const NEARLY: f64 = 0.9;
/// Where no mix of two paints is natural, mixes of three of so many nearest paints are tried.
const PAINTS_OF_THREE: usize = 8;
/// A mean colour at most so far outside the range still counts as natural, in units of CIELAB: nobody sees it.
const SLACK: f64 = 1.0;

/// A group of regions that share one mix and have a limit.
#[derive(Debug)]
pub(super) struct Limited {
    /// The region that the others share the mix of.
    pub(super) region: usize,
    /// What it is.
    pub(super) material: Material,
    /// The mixes to choose from; empty without a paint.
    pub(super) mixes: Vec<usize>,
    /// How far the best mix is outside the natural range, in units of CIELAB; 0 if a mix reaches it.
    pub(super) off: f64,
}

/// The groups with a limit that are not kept, the largest first; `groups` are the members by their first region.
pub(super) fn limited(
    wish: &Exploring<'_>,
    pool: &Pool<'_>,
    groups: &[Vec<usize>],
) -> Vec<Limited> {
    let areas = &wish.ground.summary.regions;
    let area = |group: &[usize]| group.iter().map(|region| areas[*region].area).sum::<f64>();
    let mut with_limit: Vec<(&Vec<usize>, Material)> = groups
        .iter()
        .filter_map(|group| Some((group, wish.limit(*group.first()?)?)))
        .filter(|(group, _)| !wish.is_kept(group[0]))
        .collect();
    with_limit.sort_by(|a, b| area(b.0).total_cmp(&area(a.0)));
    with_limit
        .into_iter()
        .map(|(group, material)| mixes_for(wish, pool, group, material))
        .collect()
}

fn mixes_for(
    wish: &Exploring<'_>,
    pool: &Pool<'_>,
    group: &[usize],
    material: Material,
) -> Limited {
    // Regions of other materials may share the mix: each has its own range.
    let off = |mix: usize| -> f64 {
        let colours = pool.colours(mix);
        let each = group.iter().map(|region| {
            let limit = |region: &usize| {
                wish.parts
                    .get(*region)
                    .filter(|part| part.limit().is_some())
            };
            let part = limit(region).or_else(|| limit(&group[0]));
            part.map_or(0.0, |part| part.unnatural(colours[*region]))
        });
        each.fold(0.0, f64::max)
    };
    // Metallic paint is for metal, and metal is painted with it if there is any.
    let of_metal = material == Material::Metal;
    let all_places = 0..pool.owned.len();
    let suitable: Vec<usize> = all_places
        .filter(|place| pool.is_metallic(*place) == of_metal)
        .collect();
    let suitable = match suitable.is_empty() {
        true => (0..pool.owned.len()).collect(),
        false => suitable,
    };
    let nearest = |most: usize| -> Vec<usize> {
        let places = suitable.iter().copied();
        if places.len() <= most {
            return places.collect();
        }
        let alone = |place: usize| pool.free_mixes(&[place]).into_iter().map(off);
        let mut by_distance: Vec<(f64, usize)> = places
            .map(|place| (alone(place).fold(f64::INFINITY, f64::min), place))
            .collect();
        by_distance.sort_by(|a, b| a.0.total_cmp(&b.0));
        let near = by_distance.into_iter().take(most);
        let mut places: Vec<usize> = near.map(|(_, place)| place).collect();
        places.sort_unstable();
        places
    };
    let with_distance = |mixes: Vec<usize>| -> Vec<(f64, usize)> {
        mixes.into_iter().map(|mix| (off(mix), mix)).collect()
    };
    let least_of = |all: &[(f64, usize)]| {
        all.iter()
            .map(|(off, _)| *off)
            .fold(f64::INFINITY, f64::min)
    };
    let mut all = with_distance(pool.free_mixes(&nearest(PAINTS)));
    let mut least = least_of(&all);
    if least > SLACK {
        all.extend(with_distance(
            pool.mixes_of_three(&nearest(PAINTS_OF_THREE)),
        ));
        least = least_of(&all);
    }
    if least > SLACK {
        all.retain(|(off, _)| *off <= least);
        all.truncate(1);
    } else {
        all.retain(|(off, _)| *off <= SLACK);
        let effort = |mix: usize| {
            let mix = pool.mix(mix);
            (mix.paints.len(), mix.volume())
        };
        all.sort_by(|a, b| {
            let (one, other) = (effort(a.1), effort(b.1));
            one.0.cmp(&other.0).then(one.1.total_cmp(&other.1))
        });
        all.truncate(KEPT);
    }
    Limited {
        region: group[0],
        material,
        mixes: all.into_iter().map(|(_, mix)| mix).collect(),
        off: match least.is_finite() && least > SLACK {
            true => least,
            false => 0.0,
        },
    }
}

/// The mixes that stand apart from the neighbours' colours, or those that do best, and of them the ones that need the fewest paints
/// besides `used`. `neighbours` are pairs of a region of the group and a colour that touches it.
pub(super) fn preferred(
    pool: &Pool<'_>,
    limited: &Limited,
    used: &[usize],
    neighbours: &[(usize, velatura_optics::colour::Lab)],
    least: f64,
) -> Vec<usize> {
    pool.looked(limited.mixes.len() * (1 + neighbours.len()));
    let apart: Vec<f64> = limited
        .mixes
        .iter()
        .map(|mix| {
            let colours = pool.colours(*mix);
            let each = neighbours
                .iter()
                .map(|(own, other)| delta_e(colours[*own], *other));
            each.fold(least, f64::min)
        })
        .collect();
    let best = apart.iter().copied().fold(0.0, f64::max);
    let with_contrast: Vec<usize> = limited
        .mixes
        .iter()
        .zip(&apart)
        .filter(|(_, apart)| **apart >= best * NEARLY)
        .map(|(mix, _)| *mix)
        .collect();
    let more = |mix: usize| {
        let paints = pool.mix(mix).paints;
        paints
            .iter()
            .filter(|(paint, _)| !used.contains(paint))
            .count()
    };
    let fewest = with_contrast.iter().map(|mix| more(*mix)).min();
    let few = with_contrast.into_iter();
    few.filter(|mix| Some(more(*mix)) == fewest).collect()
}
