//! Second coats where they help: shade in the recesses and light on the raised parts of the large parts that carry the scheme.
//!
//! In: a composed scheme. Out: at most one coat of each kind, of paints that the scheme already has. Both are judged by the
//! colours that they dry to where they are: they must be visibly darker or lighter than the first coat, but still of its kind,
//! and the part as a whole must keep its colour and its contrast with its neighbours. The numbers are common practice, no
//! source: painters shade and lighten until it shows at arm's length, and stop before it looks like another cloth. Nothing was
//! measured for them.

use velatura_figure::{Grey, Material};
use velatura_optics::coat::{Coat, Where};
use velatura_optics::colour::{Lab, delta_e};

use super::Exploring;
use super::compose::{Composed, NEIGHBOURS_APART};
use super::film_1;
use super::pool::Pool;
use super::split::Role;
use crate::ground::mean_dried;

/// Parts with less of the surface than this stay simple.
const LARGE: f64 = 0.08;
/// How many of the largest parts are considered.
const PARTS: usize = 3;
/// Least share of a part that a coat must reach, each place counted as thick as the film is there.
const REACHED: f64 = 0.08;
/// The ΔE (CIEDE2000) that a second coat makes where it is, and the one to aim for.
const DIFFERENCE: [f64; 2] = [7.0, 18.0];
const AIM: f64 = 11.0;
/// Least step in L\*, down in the recesses and up on the raised parts.
const STEP: f64 = 4.0;
/// Most ΔE by which a second coat may move the mean colour of the whole part: it stays the colour of the scheme.
const DRIFT: f64 = 7.0;
/// Light on coloured cloth keeps at least this share of the chroma, or the cloth looks chalky.
const CHROMA_KEPT: f64 = 0.55;
/// Most degrees of hue between a coloured part and the light on it.
const HUE_TURN: f64 = 35.0;
/// Below this chroma a colour has no hue to keep.
const NO_HUE: f64 = 10.0;
/// Films to try: a thin coat, and one as thick as the drawdown.
const FILMS: [f64; 2] = [0.5, 1.0];
/// Most mixes that are tried on a part; of more, evenly spread ones.
const MIXES: usize = 160;

/// A coat over the first one of a part.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SecondCoat {
    /// The region, and those that share its mix.
    pub(super) regions: Vec<usize>,
    /// Its mix, by number.
    pub(super) mix: usize,
    /// Its film.
    pub(super) film: f64,
    /// Recesses or raised parts.
    pub(super) place: Where,
    /// ΔE (CIEDE2000) to the first coat, averaged where it is.
    pub(super) delta_e: f64,
}

/// A second coat with what it is chosen by.
struct Tried {
    coat: SecondCoat,
    /// Mean colours of its regions with it.
    colours: Vec<Lab>,
    /// Less is better.
    miss: f64,
}

/// The second coats of a scheme, shade first, and the colours of all its regions with them.
pub(super) fn second_coats(
    wish: &Exploring<'_>,
    pool: &Pool<'_>,
    composed: &Composed,
) -> (Vec<SecondCoat>, Vec<Lab>) {
    let mut colours = composed.colours.clone();
    let mut chosen: Vec<SecondCoat> = Vec::new();
    let places = scheme_paints(pool, composed);
    let mixes = pool.free_mixes(&places);
    let step = mixes.len().div_ceil(MIXES).max(1);
    for place in [Where::Recesses, Where::Raised] {
        let mut best: Option<Tried> = None;
        for group in large_groups(wish, composed) {
            // A part has one second coat: more is for those who edit the file.
            if chosen.iter().any(|coat| coat.regions == group) {
                continue;
            }
            let Some(part) = Part::new(wish, pool, composed, &group, place) else {
                continue;
            };
            for mix in mixes.iter().step_by(step) {
                for film in FILMS {
                    let tried = part.tried(*mix, film);
                    let fits = tried.filter(|tried| keeps_contrast(wish, &colours, tried));
                    if let Some(tried) = fits
                        && best.as_ref().is_none_or(|best| tried.miss < best.miss)
                    {
                        best = Some(tried);
                    }
                }
            }
        }
        if let Some(Tried {
            coat, colours: new, ..
        }) = best
        {
            for (region, colour) in coat.regions.iter().zip(new) {
                colours[*region] = colour;
            }
            chosen.push(coat);
        }
    }
    (chosen, colours)
}

/// The coat that a second coat is painted with.
pub(super) fn as_coat(wish: &Exploring<'_>, pool: &Pool<'_>, second: &SecondCoat) -> Coat {
    Coat {
        film: second.film,
        place: second.place,
        ..film_1(wish.paints, &pool.mix(second.mix))
    }
}

/// Places among the owned paints of those that the scheme already has.
fn scheme_paints(pool: &Pool<'_>, composed: &Composed) -> Vec<usize> {
    let paints = composed
        .mixes
        .iter()
        .flat_map(|mix| pool.mix(*mix).paints.into_iter().map(|(paint, _)| paint));
    let mut places: Vec<usize> = paints
        .filter_map(|paint| pool.owned.binary_search(&paint).ok())
        .filter(|place| !pool.is_metallic(*place))
        .collect();
    places.sort_unstable();
    places.dedup();
    places
}

/// The largest groups of cloth, or of nothing known, that carry the scheme and are not settled.
fn large_groups(wish: &Exploring<'_>, composed: &Composed) -> Vec<Vec<usize>> {
    let areas = &wish.ground.summary.regions;
    let area = |group: &[usize]| group.iter().map(|region| areas[*region].area).sum::<f64>();
    let cloth = |region: &usize| {
        let material = wish.parts.get(*region).and_then(|part| part.material);
        matches!(material, None | Some(Material::Cloth))
            && composed.roles[*region] != Role::Natural
            && !wish.is_kept(*region)
    };
    let mut groups: Vec<Vec<usize>> = wish
        .groups()
        .into_iter()
        .filter(|group| group.iter().all(cloth) && area(group) >= LARGE)
        .collect();
    groups.sort_by(|a, b| area(b).total_cmp(&area(a)));
    groups.truncate(PARTS);
    groups
}

/// One group of regions, ready to try coats of one kind on.
struct Part<'a> {
    wish: &'a Exploring<'a>,
    pool: &'a Pool<'a>,
    group: &'a [usize],
    place: Where,
    /// The first coat.
    first: Coat,
    /// Its greys, by region.
    whole: Vec<Vec<Grey>>,
    /// Greys of all regions of the group where the coat is, weighted by its film there; the weights sum to 1.
    there: Vec<Grey>,
    /// Colour of the first coat where the second is.
    before: Lab,
    /// Mean colour of each region under the first coat.
    means: Vec<Lab>,
}

impl<'a> Part<'a> {
    /// `None` if the place is too small a share of the group.
    fn new(
        wish: &'a Exploring<'a>,
        pool: &'a Pool<'a>,
        composed: &Composed,
        group: &'a [usize],
        place: Where,
    ) -> Option<Self> {
        let first = film_1(wish.paints, &pool.mix(composed.mixes[group[0]]));
        let reach = Coat {
            place,
            ..first.clone()
        };
        let whole: Vec<Vec<Grey>> = group
            .iter()
            .map(|region| wish.ground.greys(*region, wish.undercoat))
            .collect();
        let areas = group
            .iter()
            .map(|region| wish.ground.summary.regions[*region].area);
        let total: f64 = areas.clone().sum();
        let mut there: Vec<Grey> = whole
            .iter()
            .zip(areas)
            .flat_map(|(greys, area)| {
                greys
                    .iter()
                    .map(move |grey| (area / total.max(f64::MIN_POSITIVE), *grey))
            })
            .map(|(share, grey)| Grey {
                weight: grey.weight * share * reach.film_at(grey.relief),
                ..grey
            })
            .filter(|grey| grey.weight > 0.0)
            .collect();
        let reached: f64 = there.iter().map(|grey| grey.weight).sum();
        if reached < REACHED {
            return None;
        }
        for grey in &mut there {
            grey.weight /= reached;
        }
        let specular = wish.paints.cards.specular;
        Some(Self {
            before: mean_dried(&there, std::slice::from_ref(&first), specular).lab(),
            means: whole
                .iter()
                .map(|greys| mean_dried(greys, std::slice::from_ref(&first), specular).lab())
                .collect(),
            wish,
            pool,
            group,
            place,
            first,
            whole,
            there,
        })
    }

    /// A mix as second coat, if it makes a difference of the wanted kind and size.
    fn tried(&self, mix: usize, film: f64) -> Option<Tried> {
        let mut second = SecondCoat {
            regions: self.group.to_vec(),
            mix,
            film,
            place: self.place,
            delta_e: 0.0,
        };
        let coats = [self.first.clone(), as_coat(self.wish, self.pool, &second)];
        let specular = self.wish.paints.cards.specular;
        self.pool.looked(self.there.len());
        let after = mean_dried(&self.there, &coats, specular).lab();
        second.delta_e = delta_e(self.before, after);
        if !(DIFFERENCE[0]..=DIFFERENCE[1]).contains(&second.delta_e)
            || !suits(self.place, self.before, after)
        {
            return None;
        }
        self.pool.looked(self.whole.iter().map(Vec::len).sum());
        let colours: Vec<Lab> = self
            .whole
            .iter()
            .map(|greys| mean_dried(greys, &coats, specular).lab())
            .collect();
        let drift = self.means.iter().zip(&colours);
        if drift
            .map(|(a, b)| delta_e(*a, *b))
            .any(|drift| drift > DRIFT)
        {
            return None;
        }
        // A simple mix is worth a little of the aim.
        let paints = self.pool.mix(mix).paints.len();
        #[allow(clippy::cast_precision_loss, reason = "one or two")]
        let miss = (second.delta_e - AIM).abs() + 2.0 * paints as f64;
        Some(Tried {
            coat: second,
            colours,
            miss,
        })
    }
}

/// Whether a colour is a shade of another, or a light on it.
fn suits(place: Where, before: Lab, after: Lab) -> bool {
    let Lab([lightness, a, b]) = before;
    let Lab([then, a_then, b_then]) = after;
    if place == Where::Recesses {
        return then <= lightness - STEP;
    }
    let (chroma, chroma_then) = (libm::hypot(a, b), libm::hypot(a_then, b_then));
    let turn = (libm::atan2(b_then, a_then) - libm::atan2(b, a))
        .to_degrees()
        .rem_euclid(360.0);
    let hue_kept = chroma < NO_HUE || chroma_then < NO_HUE || turn.min(360.0 - turn) <= HUE_TURN;
    let coloured = chroma < NO_HUE || chroma_then >= CHROMA_KEPT * chroma;
    then >= lightness + STEP && hue_kept && coloured
}

/// Whether the part still stands apart from its neighbours, or at least as well as before.
fn keeps_contrast(wish: &Exploring<'_>, colours: &[Lab], tried: &Tried) -> bool {
    let borders = &wish.ground.summary.borders;
    let own = tried.coat.regions.iter().zip(&tried.colours);
    own.into_iter().all(|(region, new)| {
        (0..colours.len())
            .filter(|other| borders[*region][*other] > 0 && !tried.coat.regions.contains(other))
            .all(|other| {
                let apart = delta_e(*new, colours[other]);
                apart >= NEIGHBOURS_APART || apart >= delta_e(colours[*region], colours[other])
            })
    })
}
