//! Different useful answers instead of the same mix five times.
//!
//! In: mixes near a target, nearest first. Out: a few of them, each with what it is best at: nearest, fewest paints and parts,
//! hardest to spoil, most medium. The rest are the nearest mixes of other paints.

use super::Match;

/// How much farther than the nearest a mix may be, ΔE, to be named for something else: seen side by side, hardly on the table
/// (common practice, no source).
pub const GIVEN_UP: f64 = 2.0;

/// How many mixes to look through: enough that simple ones are among them.
pub const LOOKED_THROUGH: usize = 400;

/// What a mix is best at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BestAt {
    /// It is nearest to the target.
    Nearest,
    /// It has the fewest paints, and then the fewest parts.
    Simplest,
    /// One part too many or too few changes it least.
    Safest,
    /// It has the largest share of medium.
    MostMedium,
}

impl BestAt {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Nearest => "nearest",
            Self::Simplest => "simplest",
            Self::Safest => "hardest to spoil",
            Self::MostMedium => "most medium",
        }
    }
}

/// At most `count` different mixes of `found`, nearest first, as indices, each with what it is best at.
#[must_use]
pub fn useful(found: &[Match], count: usize) -> Vec<(usize, Vec<BestAt>)> {
    let Some(first) = found.first() else {
        return Vec::new();
    };
    let near: Vec<usize> = (0..found.len())
        .filter(|index| found[*index].delta_e <= first.delta_e + GIVEN_UP)
        .collect();
    let best = |measure: &dyn Fn(&Match) -> [f64; 2]| {
        let key = |index: usize| measure(&found[index]);
        let order = |a: &usize, b: &usize| {
            let (a, b) = (key(*a), key(*b));
            a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1]))
        };
        near.iter().copied().min_by(order).unwrap_or(0)
    };
    #[allow(clippy::cast_precision_loss, reason = "a few paints")]
    let named = [
        (BestAt::Nearest, 0),
        (
            BestAt::Simplest,
            best(&|one| [one.mix.paints.len() as f64, one.mix.volume()]),
        ),
        (BestAt::Safest, best(&|one| [one.worst_slip(), one.delta_e])),
        (
            BestAt::MostMedium,
            best(&|one| [-one.mix.medium / one.mix.volume(), one.delta_e]),
        ),
    ];
    let mut chosen: Vec<(usize, Vec<BestAt>)> = Vec::new();
    for (at, index) in named {
        let room = chosen.len() < count;
        match chosen.iter_mut().find(|(other, _)| *other == index) {
            Some((_, all)) => all.push(at),
            None if room => chosen.push((index, vec![at])),
            None => {}
        }
    }
    // Other paints first, then whatever is nearest.
    let paints = |index: usize| {
        let mut paints: Vec<usize> = found[index]
            .mix
            .paints
            .iter()
            .map(|(paint, _)| *paint)
            .collect();
        paints.sort_unstable();
        paints
    };
    for others_only in [true, false] {
        for index in 0..found.len() {
            if chosen.len() >= count {
                break;
            }
            let taken = |(other, _): &(usize, Vec<BestAt>)| {
                *other == index || (others_only && paints(*other) == paints(index))
            };
            if !chosen.iter().any(taken) {
                chosen.push((index, Vec::new()));
            }
        }
    }
    chosen.sort_by_key(|(index, _)| *index);
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::matching::{Component, Slip};
    use velatura_optics::mixture::Mix;
    use velatura_optics::trust::Trust;

    fn mix(paints: &[(usize, f64)], medium: f64, delta_e: f64, slip: f64) -> Match {
        Match {
            mix: Mix {
                paints: paints.to_vec(),
                medium,
            },
            film: 1.0,
            colours: Vec::new(),
            delta_e,
            trust: Trust::AS_PHOTOGRAPHED,
            slips: vec![Slip {
                component: Component::Medium,
                more: slip,
                less: None,
            }],
        }
    }

    #[test]
    fn answers_differ_and_each_is_named_for_what_it_is_best_at() {
        let found = [
            mix(&[(0, 4.0), (1, 1.0), (2, 1.0)], 0.0, 1.0, 3.0),
            mix(&[(0, 5.0), (1, 1.0), (2, 1.0)], 0.0, 1.1, 2.8),
            mix(&[(0, 5.0), (1, 1.0), (2, 1.0)], 3.0, 1.2, 2.0),
            mix(&[(0, 2.0), (1, 1.0)], 1.0, 1.9, 6.0),
            mix(&[(3, 1.0), (4, 1.0)], 7.0, 2.5, 4.0),
            mix(&[(5, 1.0)], 9.0, 3.5, 0.1),
        ];
        let chosen = useful(&found, 4);
        assert_eq!(
            chosen,
            [
                (0, vec![BestAt::Nearest]),
                (2, vec![BestAt::Safest]),
                (3, vec![BestAt::Simplest]),
                (4, vec![BestAt::MostMedium])
            ]
        );
        // The fifth is of other paints, however far; the sixth is not.
        let more: Vec<usize> = useful(&found, 6)
            .into_iter()
            .map(|(index, _)| index)
            .collect();
        assert_eq!(more, [0, 1, 2, 3, 4, 5]);
        let five: Vec<usize> = useful(&found, 5)
            .into_iter()
            .map(|(index, _)| index)
            .collect();
        assert_eq!(five, [0, 2, 3, 4, 5]);
        assert_eq!(useful(&found, 1).len(), 1);
        assert!(useful(&[], 5).is_empty());
    }
}
