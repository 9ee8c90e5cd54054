//! The mood and the rival team: which of the composed schemes match them best.
//!
//! What an undercoat and a box of paints allow differs too much for fixed limits, so the best third of all schemes is kept.

use velatura_optics::colour::{Lab, delta_e};

use super::Exploring;
use super::compose::Composed;

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

/// The schemes that match mood and rival best, in their original order.
pub(super) fn fitting(all: Vec<Composed>, wish: &Exploring<'_>, areas: &[f64]) -> Vec<Composed> {
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
    match wish.against {
        None => all,
        Some(rival) => most(all, |composed| separation(composed, rival, areas)),
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
    let measures: Vec<f64> = all.iter().map(measure).collect();
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
