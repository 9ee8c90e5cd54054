//! The mood and the rival team: which of the composed schemes match them best.
//!
//! What an undercoat and a box of paints allow differs too much for fixed limits, so the best third of all schemes is kept.

use rayon::prelude::*;
use velatura_optics::colour::{Lab, delta_e};

use super::Exploring;
use super::compose::Composed;
use crate::apart::Looks;

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
                Mood::Muted => -mean(&|lab| libm::hypot(lab.0[1], lab.0[2])),
            }
        }),
    };
    let Some(rival) = wish.against else {
        return (all, false);
    };
    let looks = Looks::new(&rival.regions);
    let worst = |composed: &Composed| looks.worst(&shares(areas, &composed.colours));
    // The distance between distributions costs most of the time: only what the mean difference puts in front is judged by it, and the
    // others only where nothing in front is clear.
    let separations: Vec<f64> = all
        .iter()
        .map(|composed| separation(composed, rival, areas))
        .collect();
    let (front, behind) = parted(all, separations);
    let clear_of = |schemes: &[Composed], far: &[f64]| -> Vec<Composed> {
        let pairs = schemes.iter().zip(far);
        pairs
            .filter(|(_, far)| Looks::is_clear(**far))
            .map(|(composed, _)| composed.clone())
            .collect()
    };
    let mut far: Vec<f64> = front.par_iter().map(worst).collect();
    let clear = clear_of(&front, &far);
    if !clear.is_empty() {
        return (clear, false);
    }
    let more: Vec<f64> = behind.par_iter().map(worst).collect();
    let clear = clear_of(&behind, &more);
    if !clear.is_empty() {
        return (clear, false);
    }
    let mut all = front;
    all.extend(behind);
    far.extend(more);
    (parted(all, far).0, true)
}

/// Each region's share of the surface and its colour.
pub(super) fn shares(areas: &[f64], colours: &[Lab]) -> Vec<(f64, Lab)> {
    areas.iter().copied().zip(colours.iter().copied()).collect()
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
    parted(all, measures).0
}

/// The third with the largest measure, and the others, both in their order.
fn parted(all: Vec<Composed>, measures: Vec<f64>) -> (Vec<Composed>, Vec<Composed>) {
    let mut sorted = measures.clone();
    sorted.sort_by(|a, b| b.total_cmp(a));
    let Some(least) = sorted.get(all.len().saturating_sub(1) / 3) else {
        return (all, Vec::new());
    };
    let least = *least;
    let pairs = all.into_iter().zip(measures);
    let (front, behind): (Vec<_>, Vec<_>) = pairs.partition(|(_, measure)| *measure >= least);
    let schemes = |pairs: Vec<(Composed, f64)>| pairs.into_iter().map(|(one, _)| one).collect();
    (schemes(front), schemes(behind))
}
