//! How well two teams can be distinguished: the whole figures, not only their largest colour.
//!
//! In: the colours of each team's figure with their shares of its area, as one kind of colour vision sees them. Out: how far the
//! two distributions are apart, and a grade. The distance is the earth mover's distance in CIELAB: how far colour has to be
//! moved, on average over the figure, to turn one team into the other. Where a colour is on the figure does not count: from
//! across the table two teams that only exchange coat and hood are one team in two colours.

mod dominant;
mod looks;
mod shades;
mod transport;

use std::fmt;

use serde::Serialize;
use velatura_optics::colour::{Lab, delta_e};

pub(crate) use looks::Looks;

pub use dominant::{Area, Dominant, ONE_COLOUR, dominant, mixed_light};
pub use shades::{MOST_SHADES, Shade, shades};

/// Two teams stand apart if their distributions of colour are at least this far apart, in units of CIELAB.
///
/// Not measured on people. Chosen on constructed pairs with a known answer (`tests/it/apart`): twelve invented teams of five parts
/// under shade and light, each against changed copies of itself. The pairs that have to look alike (identical, slightly shifted, one
/// small accent changed, the two largest parts exchanged, a little lighter grey) are 13.6 apart or less; those that have to stand
/// apart (hue turned, lightness mirrored, the two largest parts another colour, far lighter grey) 22.6 or more. The limits are
/// about a third and two thirds of the way between. Limits found in the same way without any one of the teams give that team the
/// same grades.
pub const APART: f64 = 20.0;

/// Two teams look alike below this distance. Chosen on the same pairs.
pub const ALIKE: f64 = 16.0;

/// Dominant colours closer than this (CIEDE2000) are one colour in two teams, whatever else differs.
pub const SAME_DOMINANT: f64 = 10.0;

/// The share of both figures from which one colour is enough to confuse them, whatever else differs (invented).
pub const MUCH: f64 = 0.4;

/// How well two teams can be distinguished, worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Grade {
    /// They look alike.
    Alike,
    /// They are easily confused: the difference shows only on a second look.
    Close,
    /// They stand apart at a glance.
    Apart,
}

impl fmt::Display for Grade {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Alike => "look alike",
            Self::Close => "are easily confused",
            Self::Apart => "stand apart",
        })
    }
}

/// What distinguishes two teams.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Cue {
    /// Hue and chroma: the distance is large enough without lightness.
    Colour,
    /// Lightness: the distance of L\* alone is large enough.
    Brightness,
}

/// How far two teams are apart in one kind of colour vision.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Separation {
    /// The earth mover's distance of the two distributions in CIELAB.
    pub distance: f64,
    /// The same for a\* and b\* alone.
    pub hue_and_chroma: f64,
    /// The same for L\* alone.
    pub lightness: f64,
    /// Whether both teams have nearly the same dominant colour on [`MUCH`] of the figure: they are then easily confused at best.
    pub same_dominant: bool,
}

/// What one team looks like in one kind of colour vision.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// Its shades.
    pub shades: Vec<Shade>,
    /// Its dominant colour.
    pub dominant: Lab,
    /// The share of the figure that has it, 0…1.
    pub dominant_share: f64,
}

impl Look {
    /// The earth mover's distance to another team in CIELAB.
    #[must_use]
    pub fn distance(&self, other: &Self) -> f64 {
        self.moved(other, |[l, a, b]| libm::hypot(libm::hypot(l, a), b))
    }

    /// Whether both teams have nearly the same dominant colour on [`MUCH`] of the figure.
    #[must_use]
    pub fn same_dominant(&self, other: &Self) -> bool {
        let enough = self.dominant_share.min(other.dominant_share) >= MUCH;
        enough && delta_e(self.dominant, other.dominant) < SAME_DOMINANT
    }

    /// The earth mover's distance, where `length` is how far two colours with this difference in CIELAB are apart.
    fn moved(&self, other: &Self, length: impl Fn([f64; 3]) -> f64) -> f64 {
        let [from, to] = [self, other].map(|look| {
            let shares = look.shades.iter().map(|shade| shade.share);
            shares.collect::<Vec<_>>()
        });
        transport::least_cost(&from, &to, |a, b| {
            let (a, b) = (self.shades[a].lab.0, other.shades[b].lab.0);
            length(std::array::from_fn(|axis| b[axis] - a[axis]))
        })
    }
}

impl Separation {
    /// How far two teams are apart.
    #[must_use]
    pub fn between(first: &Look, second: &Look) -> Self {
        Self {
            distance: first.distance(second),
            hue_and_chroma: first.moved(second, |[_, a, b]| libm::hypot(a, b)),
            lightness: first.moved(second, |[l, _, _]| l.abs()),
            same_dominant: first.same_dominant(second),
        }
    }

    /// The grade of these numbers.
    #[must_use]
    pub fn grade(&self) -> Grade {
        match self.distance {
            far if far >= APART && !self.same_dominant => Grade::Apart,
            far if far >= ALIKE => Grade::Close,
            _ => Grade::Alike,
        }
    }

    /// What distinguishes teams that stand apart; empty if only both together are enough, or if they do not stand apart.
    #[must_use]
    pub fn cues(&self) -> Vec<Cue> {
        let cues = [
            (Cue::Colour, self.hue_and_chroma),
            (Cue::Brightness, self.lightness),
        ];
        let apart = self.grade() == Grade::Apart;
        let enough = cues.into_iter().filter(|(_, far)| apart && *far >= APART);
        enough.map(|(cue, _)| cue).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(distance: f64, hue_and_chroma: f64, lightness: f64, same_dominant: bool) -> Separation {
        Separation {
            distance,
            hue_and_chroma,
            lightness,
            same_dominant,
        }
    }

    #[test]
    fn a_grade_changes_at_its_threshold_and_names_what_it_rests_on() {
        let graded = |one: Separation| (one.grade(), one.cues());
        assert_eq!(
            graded(of(ALIKE - 0.1, 14.0, 3.0, false)),
            (Grade::Alike, vec![])
        );
        assert_eq!(
            graded(of(APART - 0.1, 19.9, 0.0, false)),
            (Grade::Close, vec![])
        );
        assert_eq!(graded(of(APART, 15.0, 15.0, false)), (Grade::Apart, vec![]));
        assert_eq!(
            graded(of(40.0, 35.0, 18.0, false)),
            (Grade::Apart, vec![Cue::Colour])
        );
        assert_eq!(
            graded(of(40.0, 2.0, 39.0, false)),
            (Grade::Apart, vec![Cue::Brightness])
        );
        assert_eq!(graded(of(40.0, 35.0, 18.0, true)), (Grade::Close, vec![]));
    }
}
