//! The limits of these paints: how near any amounts of them come, and which paint would come nearer.

use velatura_document::Error;
use velatura_optics::calibrate::{PaintBox, smoothest_spectrum};
use velatura_optics::colour::{Linear, luminance};
use velatura_optics::film::Film;
use velatura_optics::mixture::Mix;
use velatura_optics::paint::Optics;
use velatura_optics::spectrum::{BANDS, Spectrum, colour};
use velatura_optics::surface::Specular;

use super::{Grid, Match, Matching, dried};
use crate::watch::Watch;

/// A distance above which a colour counts as out of reach. Two colours side by side on a figure look different from about
/// ΔE 2 (common practice, no source).
pub const OUT_OF_REACH: f64 = 2.0;

/// A distance above which CIEDE2000 says little, and [`super::Measure::Cielab`] is worth trying too: the formula was fitted
/// to differences below about 5 (CIE 142, from memory).
pub const FAR: f64 = 5.0;

/// First step of the descent, as a share of the mix, and the step at which it ends.
const FIRST_STEP: f64 = 0.25;
const LAST_STEP: f64 = 5e-4;
/// Longest descent, in rounds over all components; it ends long before.
const ROUNDS: usize = 400;
/// Most descents, and most paints that a descent changes: the work grows with both.
const MOST_DESCENTS: usize = 20;
const MOST_PAINTS: usize = 40;

/// The most scattering that a helpful paint may have, per unit of film. The least that suffices is chosen.
const LEAST_SCATTER: f64 = 0.1;
const MOST_SCATTER: f64 = 50.0;
/// Absorption that counts as black, per unit of film.
const MOST_ABSORPTION: f64 = 200.0;
/// Reflectance of the cards that describe a helpful paint: white and black like painters' cards, invented.
const WHITE_CARD: f64 = 0.9;
const BLACK_CARD: f64 = 0.012;

/// The smallest distance that any amounts of the grid's paints reach, in whole parts or not, in a film up to the grid's
/// thickest.
///
/// Found by descent from the first 20 of `found` and never more than the distance of the first of them. A descent cannot rule
/// out that a mix comes nearer still. Of more than 40 paints it changes only the 40 that are most often in `found`.
/// If the grid has one film, only that one is tried.
///
/// # Panics
/// If the grid names a paint that is not in the box.
#[must_use]
pub fn best_distance(paints: &PaintBox, matching: &Matching, found: &[Match]) -> f64 {
    best_distance_watched(paints, matching, found, &Watch::nobody()).expect("nobody stops it")
}

/// As [`best_distance`], while somebody watches.
///
/// # Errors
/// [`Error::Cancelled`] if it was stopped.
///
/// # Panics
/// As [`best_distance`].
pub fn best_distance_watched(
    paints: &PaintBox,
    matching: &Matching,
    found: &[Match],
    watch: &Watch<'_>,
) -> Result<f64, Error> {
    let starts = &found[..found.len().min(MOST_DESCENTS)];
    best_distance_from(paints, matching, starts, found, watch)
}

/// As [`best_distance_watched`], by descent from `starts`; `found` are all mixes that were found.
pub(crate) fn best_distance_from(
    paints: &PaintBox,
    matching: &Matching,
    starts: &[Match],
    found: &[Match],
    watch: &Watch<'_>,
) -> Result<f64, Error> {
    let mut matching = matching.clone();
    narrow(&mut matching.grid, starts, found);
    let mut least = f64::INFINITY;
    for one in starts {
        watch.go_on()?;
        least = least.min(descended(paints, &matching, one));
    }
    Ok(least)
}

/// Leaves the paints of a large grid out that are in few of the mixes found. All paints of the starts stay.
fn narrow(grid: &mut Grid, starts: &[Match], found: &[Match]) {
    if grid.paints.len() <= MOST_PAINTS {
        return;
    }
    let has = |one: &Match, paint: usize| one.mix.paints.iter().any(|(used, _)| *used == paint);
    let begun = |paint: usize| starts.iter().any(|one| has(one, paint));
    let uses = |paint: usize| found.iter().filter(|one| has(one, paint)).count();
    let mut by_use = grid.paints.clone();
    by_use.sort_by_cached_key(|paint| std::cmp::Reverse((begun(*paint), uses(*paint))));
    let fixed = by_use.iter().filter(|paint| begun(**paint)).count();
    by_use.truncate(MOST_PAINTS.max(fixed));
    grid.paints.retain(|paint| by_use.contains(paint));
}

/// Amounts of all paints of the grid, then medium, then film.
type Amounts = Vec<f64>;

/// Hooke and Jeeves' pattern search (1961, J. ACM 8:212): a step along every axis, then the same step again.
fn descended(paints: &PaintBox, matching: &Matching, from: &Match) -> f64 {
    let ask = |amounts: &Amounts| missed(paints, matching, amounts);
    let mut here = amounts(matching, from);
    let mut least = ask(&here);
    let mut step = FIRST_STEP;
    for _ in 0..ROUNDS {
        let before = here.clone();
        let mut moved = false;
        for axis in 0..here.len() {
            for way in [step, -step] {
                let mut there = here.clone();
                go(&mut there, axis, way, matching);
                let found = ask(&there);
                if found < least {
                    (here, least, moved) = (there, found, true);
                    break;
                }
            }
        }
        if moved {
            let further: Amounts = here
                .iter()
                .zip(&before)
                .map(|(now, then)| (2.0 * now - then).max(0.0))
                .collect();
            let further = within(further, matching);
            let found = ask(&further);
            if found < least {
                (here, least) = (further, found);
            }
        } else {
            step /= 2.0;
            if step < LAST_STEP {
                break;
            }
        }
    }
    least
}

/// A match as amounts with a sum of 1.
fn amounts(matching: &Matching, one: &Match) -> Amounts {
    let share = |parts: f64| parts / one.mix.volume();
    let of = |paint: &usize| {
        let there = one.mix.paints.iter().find(|(used, _)| used == paint);
        share(there.map_or(0.0, |(_, parts)| *parts))
    };
    let pure = matching.grid.paints.iter().map(of);
    pure.chain([share(one.mix.medium), one.film]).collect()
}

fn missed(paints: &PaintBox, matching: &Matching, amounts: &Amounts) -> f64 {
    let [pure @ .., medium, film] = amounts.as_slice() else {
        return f64::INFINITY;
    };
    let used = matching.grid.paints.iter().zip(pure);
    let mix = Mix {
        paints: used
            .filter(|(_, amount)| **amount > 0.0)
            .map(|(paint, amount)| (*paint, *amount))
            .collect(),
        medium: *medium,
    };
    matching.distance(&dried(&paints.mixed(&mix), *film, &matching.aims))
}

/// A step along one axis: amounts by a share of the total, the film by a share of itself.
fn go(amounts: &mut Amounts, axis: usize, step: f64, matching: &Matching) {
    let film = amounts.len() - 1;
    if axis == film {
        amounts[film] *= 1.0 + step;
        *amounts = within(std::mem::take(amounts), matching);
    } else {
        let whole: f64 = amounts[..film].iter().sum();
        amounts[axis] = (amounts[axis] + step * whole).max(0.0);
    }
}

/// The same amounts with a film that the grid allows.
fn within(mut amounts: Amounts, matching: &Matching) -> Amounts {
    let films = &matching.grid.films;
    let thickest = films.iter().copied().fold(0.0, f64::max);
    let thinnest = if films.len() == 1 { thickest } else { 0.0 };
    if let Some(film) = amounts.last_mut() {
        *film = film.clamp(thinnest, thickest);
    }
    amounts
}

/// A paint without a name: how its drawdown would look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HelpfulPaint {
    /// Colour at film 1 over a white card (reflectance 0.9), linear sRGB.
    pub over_white: Linear,
    /// Colour at film 1 over a black card (reflectance 0.012).
    pub over_black: Linear,
}

impl HelpfulPaint {
    /// Y over the black card divided by Y over the white one (ISO 6504-3).
    #[must_use]
    pub fn contrast_ratio(&self) -> f64 {
        luminance(self.over_black) / luminance(self.over_white)
    }
}

/// The paint that would reach the target alone: one coat of film 1, no medium.
///
/// Of all such paints, the one that scatters least, equally in every wavelength band: as transparent as the target allows
/// over this undercoat. With several aims it is made for their weighted mean target and undercoat.
#[must_use]
pub fn helpful_paint(matching: &Matching) -> HelpfulPaint {
    let aims = &matching.aims;
    let specular = aims
        .first()
        .map_or(Specular::Excluded, |aim| aim.substrate.specular());
    let total: f64 = aims.iter().map(|aim| aim.weight).sum();
    let mut wanted = [0.0; 3];
    let mut substrate = [0.0; BANDS];
    for aim in aims {
        let share = aim.weight / total;
        let target = aim.target.linear().0;
        for (sum, part) in wanted.iter_mut().zip(target) {
            *sum += share * part;
        }
        for (sum, part) in substrate.iter_mut().zip(aim.substrate.inside()) {
            *sum += share * part;
        }
    }
    // Nothing inside a film is darker than black or as bright as a perfect white.
    let wanted =
        smoothest_spectrum(Linear(wanted)).map(|one| specular.inside(one).clamp(1e-4, 0.97));
    let optics = least_scattering(&wanted, &substrate);
    let over = |card: f64| {
        let film = optics.film(1.0);
        let inside = specular.inside(card);
        let shown: Spectrum =
            std::array::from_fn(|band| specular.measured(film[band].over(inside)));
        colour(&shown)
    };
    HelpfulPaint {
        over_white: over(WHITE_CARD),
        over_black: over(BLACK_CARD),
    }
}

/// K and S of a film 1 that turns the substrate into the target, both below the surface. S is the same in every band.
fn least_scattering(wanted: &Spectrum, substrate: &Spectrum) -> Optics {
    let reaches = |s: f64| {
        (0..BANDS).all(|band| Film::new(0.0, s, 1.0).over(substrate[band]) >= wanted[band])
    };
    let mut s = 0.0;
    while !reaches(s) && s < MOST_SCATTER {
        s = (s * 1.1).max(LEAST_SCATTER);
    }
    Optics {
        // More absorption is darker: the middle of an interval shows which half has the answer.
        k: std::array::from_fn(|band| {
            let (mut low, mut high) = (0.0, MOST_ABSORPTION);
            for _ in 0..60 {
                let middle = (low + high) / 2.0;
                if Film::new(middle, s, 1.0).over(substrate[band]) > wanted[band] {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            low
        }),
        s: [s; BANDS],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_helpful_paint_scatters_only_where_the_wanted_colour_is_lighter_than_the_undercoat() {
        let (light, dark) = ([0.7; BANDS], [0.1; BANDS]);
        let glaze = least_scattering(&dark, &light);
        assert!(glaze.s[3] <= 0.0, "darkening needs absorption alone");
        let cover = least_scattering(&light, &dark);
        assert!(cover.s[3] > 1.0, "lightening needs scattering");
        for (optics, wanted, below) in [(glaze, dark, light), (cover, light, dark)] {
            let film = optics.film(1.0);
            assert!((film[7].over(below[7]) - wanted[7]).abs() < 1e-9);
        }
    }
}
