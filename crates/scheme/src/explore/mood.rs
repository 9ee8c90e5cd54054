//! The mood and the rival team: which of the composed schemes match them best.
//!
//! What an undercoat and a box of paints allow differs too much for fixed limits, so the best third of all schemes is kept.

use rayon::prelude::*;
use velatura_optics::colour::{Lab, Linear, delta_e};
use velatura_optics::vision::{Deficiency, Eye};

use super::Exploring;
use super::compose::Composed;
use crate::apart::{ALIKE, APART, Area, Look, dominant, shades};

/// A mood.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mood {
    /// The third with the highest lightness L\*, averaged over the surface.
    Bright,
    /// The third with the lowest.
    Dark,
    /// The third with the lowest chroma.
    Muted,
}

/// The dried colours of a team to contrast with.
#[derive(Debug, Clone, PartialEq)]
pub struct Rival {
    /// Each region's share of the surface and its mean dried colour.
    pub regions: Vec<(f64, Lab)>,
}

/// How much farther apart than [`APART`] a scheme and its rival must be: the search compares mean colours in full light, and a
/// photo with shade has less difference. On the demo figures the distance in the photo was 0.85 of this one or more.
const CLEARLY: f64 = 1.2 * APART;

/// The schemes that match mood and rival best, in their original order, and whether none of them stands clearly apart from the
/// rival in every colour vision.
pub(super) fn fitting(
    all: Vec<Composed>,
    wish: &Exploring<'_>,
    areas: &[f64],
) -> (Vec<Composed>, bool) {
    let all = match wish.mood {
        None => all,
        Some(mood) => most(all, |composed| {
            let mean = |of: &dyn Fn(&Lab) -> f64| -> f64 {
                composed
                    .colours
                    .iter()
                    .zip(areas)
                    .map(|(lab, area)| area * of(lab))
                    .sum()
            };
            match mood {
                Mood::Bright => mean(&|lab| lab.0[0]),
                Mood::Dark => -mean(&|lab| lab.0[0]),
                Mood::Muted => -mean(&|lab| lab.0[1].hypot(lab.0[2])),
            }
        }),
    };
    let Some(rival) = wish.against else {
        return (all, false);
    };
    let rivals: Vec<(Eye, Look)> = eyes()
        .map(|eye| (eye, look(&eye, &rival.regions)))
        .collect();
    let worst = |composed: &Composed| -> f64 {
        let own: Vec<(f64, Lab)> = areas
            .iter()
            .copied()
            .zip(composed.colours.clone())
            .collect();
        let each = rivals.iter().map(|(eye, theirs)| {
            let own = look(eye, &own);
            let distance = own.distance(theirs);
            // As near as if it were confused at a glance.
            match own.same_dominant(theirs) {
                true => distance.min(ALIKE),
                false => distance,
            }
        });
        each.fold(f64::INFINITY, f64::min)
    };
    let far: Vec<f64> = all.par_iter().map(worst).collect();
    let clear = far.iter().filter(|far| **far >= CLEARLY).count();
    if clear == 0 {
        return (best_third(all, far), true);
    }
    let clear = all
        .into_iter()
        .zip(far)
        .filter(|(_, far)| *far >= CLEARLY)
        .map(|(composed, _)| composed)
        .collect();
    (
        most(clear, |composed| separation(composed, rival, areas)),
        false,
    )
}

/// Normal vision, and each simulated one at full severity.
fn eyes() -> impl Iterator<Item = Eye> {
    let simulated = Deficiency::ALL
        .into_iter()
        .map(|kind| Eye::machado(kind, 1.0));
    std::iter::once(Eye::USUAL).chain(simulated)
}

/// What an eye sees of regions with these shares and colours.
fn look(eye: &Eye, regions: &[(f64, Lab)]) -> Look {
    let areas: Vec<Area> = regions
        .iter()
        .map(|(share, colour)| Area {
            colour: Linear(
                eye.sees(colour.linear())
                    .0
                    .map(|channel| channel.clamp(0.0, 1.0)),
            ),
            share: *share,
        })
        .collect();
    let points: Vec<(Linear, f64)> = areas.iter().map(|area| (area.colour, area.share)).collect();
    let dominant = dominant(&areas);
    Look {
        shades: shades(&points),
        dominant: dominant
            .as_ref()
            .map_or(Lab([0.0; 3]), |one| one.colour.lab()),
        dominant_share: dominant.map_or(0.0, |one| one.share),
    }
}

/// Mean CIEDE2000 between any place of one team and any place of the other.
fn separation(composed: &Composed, rival: &Rival, areas: &[f64]) -> f64 {
    composed
        .colours
        .iter()
        .zip(areas)
        .flat_map(|(own, area)| {
            rival
                .regions
                .iter()
                .map(move |(share, theirs)| (own, area * share, theirs))
        })
        .map(|(own, weight, theirs)| weight * delta_e(*own, *theirs))
        .sum()
}

/// The third with the largest measure; all of them if there are fewer than three.
fn most(all: Vec<Composed>, measure: impl Fn(&Composed) -> f64) -> Vec<Composed> {
    let measures = all.iter().map(measure).collect();
    best_third(all, measures)
}

/// As [`most`], with the measure of each.
fn best_third(all: Vec<Composed>, measures: Vec<f64>) -> Vec<Composed> {
    let mut sorted = measures.clone();
    sorted.sort_by(|a, b| b.total_cmp(a));
    let Some(least) = sorted.get(all.len().saturating_sub(1) / 3) else {
        return all;
    };
    let least = *least;
    all.into_iter()
        .zip(measures)
        .filter(|(_, measure)| *measure >= least)
        .map(|(composed, _)| composed)
        .collect()
}
