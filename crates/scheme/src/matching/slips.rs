//! What an error of one part changes.

use velatura_optics::calibrate::PaintBox;
use velatura_optics::colour::delta_e;
use velatura_optics::mixture::Mix;

use super::search::Candidate;
use super::{Aim, dried, mean};

/// One ingredient of a mix.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Component {
    /// A paint by its index in the box.
    Paint(usize),
    /// Clear medium.
    Medium,
}

/// How far the dried colour moves with one part too many or too few of a component and the right amount of all others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slip {
    /// The component.
    pub component: Component,
    /// ΔE between the mix as it should be and with one part more, weighted mean over the aims.
    pub more: f64,
    /// The same for one part less; `None` if no paint would be left.
    pub less: Option<f64>,
}

/// A slip for every component of a mix, paints first.
pub(super) fn slips(paints: &PaintBox, candidate: &Candidate, aims: &[Aim]) -> Vec<Slip> {
    let mix = &candidate.mix;
    let change = |wrong: Mix| {
        let colours = dried(&paints.mixed(&wrong), candidate.film, aims);
        mean(aims, |index| {
            delta_e(candidate.colours[index].lab(), colours[index].lab())
        })
    };
    let used = (0..mix.paints.len()).map(Some);
    let used = used.chain((mix.medium > 0.0).then_some(None));
    used.map(|place| Slip {
        component: place.map_or(Component::Medium, |place| {
            Component::Paint(mix.paints[place].0)
        }),
        more: change(off_by(mix, place, 1.0)),
        less: Some(off_by(mix, place, -1.0))
            .filter(|wrong| !wrong.paints.is_empty())
            .map(change),
    })
    .collect()
}

/// The mix with this many parts more of a paint (by its place in the mix) or of medium.
fn off_by(mix: &Mix, place: Option<usize>, parts: f64) -> Mix {
    let mut wrong = mix.clone();
    match place {
        None => wrong.medium += parts,
        Some(place) => {
            wrong.paints[place].1 += parts;
            wrong.paints.retain(|(_, parts)| *parts > 0.0);
        }
    }
    wrong
}
