//! Mixtures: paints of a box and medium, by parts, made into one K and S.
//!
//! In: which paints, how many parts of each by volume, how much medium. Out: K and S of the mix, and what it is known
//! from. Paints count among themselves by part × strength; what tints showed of their mixtures is added in the logarithm;
//! medium then thins the lot by volume and has no strength. Source of the sum: Duncan 1940, Proc. Phys. Soc. 52:390.
//! Not here: how strengths and departures are found (`calibrate/tint.rs`), how far a mix is to be trusted (`trust.rs`).
//!
//! `docs/mixtures.md` says how the model was chosen. Mean errors on measured mixtures:
//!
#![doc = include_str!("../data/mixture_models.md")]

use std::collections::BTreeMap;

use crate::paint::{Basis, Optics, Source};
use crate::paint_box::{Departure, ENTRIES, PaintBox, Tints};
use crate::spectrum::BANDS;

/// Share of the lesser paint of a pair below which a departure fades towards the pure paint, which has none.
/// On the measured mixtures 0.02 is worse than 0.01 and 0; one of 0.011 keeps its whole departure.
const FADE_BELOW: f64 = 0.01;

/// A mix of paints of one [`PaintBox`] and medium, in parts by volume.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mix {
    /// Index of each paint in [`PaintBox::paints`], and its parts, more than 0. No paint appears twice.
    pub paints: Vec<(usize, f64)>,
    /// Parts of clear medium, 0 or more.
    pub medium: f64,
}

impl Mix {
    /// Parts of paint and medium together.
    #[must_use]
    pub fn volume(&self) -> f64 {
        self.paint_volume() + self.medium
    }

    /// Parts of paint without the medium.
    #[must_use]
    pub fn paint_volume(&self) -> f64 {
        self.paints.iter().map(|(_, parts)| parts).sum()
    }
}

/// How well a mix's paints are tied together by tints. Later ones are weaker.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Tie {
    /// One paint, pure or thinned: there is nothing to mix.
    Alone,
    /// Every two of its paints have a tint with each other.
    Tinted,
    /// Some two of its paints have no tint with each other, but tints lead from each paint to every other.
    Linked,
    /// No tint shows how strong some of its paints are compared with the others: a guess.
    Unlinked,
}

impl Tie {
    /// Every tie, the best first.
    pub const ALL: [Self; 4] = [Self::Alone, Self::Tinted, Self::Linked, Self::Unlinked];

    /// The word for it in tables.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Alone => "alone",
            Self::Tinted => "tinted",
            Self::Linked => "linked",
            Self::Unlinked => "unlinked",
        }
    }
}

impl Tints {
    /// No tints yet, between paints of these groups.
    pub(crate) fn between(group: Vec<usize>) -> Self {
        Self {
            group,
            pairs: BTreeMap::new(),
        }
    }

    /// Adds what a tint showed of two paints mixed in these parts.
    pub(crate) fn add(&mut self, paints: [usize; 2], parts: [f64; 2], entries: &[f64; ENTRIES]) {
        let (pair, [first, second]) = if paints[0] < paints[1] {
            (paints, parts)
        } else {
            ([paints[1], paints[0]], [parts[1], parts[0]])
        };
        let departures = self.pairs.entry(pair).or_default();
        departures.push(Departure {
            ln_ratio: libm::log(first / second),
            entries: *entries,
        });
        departures.sort_by(|a, b| a.ln_ratio.total_cmp(&b.ln_ratio));
    }

    /// Whether a paint has a tint with any other.
    pub(crate) fn any_with(&self, paint: usize) -> bool {
        self.pairs.keys().any(|pair| pair.contains(&paint))
    }

    /// Adds to `sum` the departure of every tinted pair of a mix, weighted by how often the two meet: by the product of
    /// their parts among those of all pairs. So it is whole for two paints, and a trace of a third changes little. For
    /// three and more paints this is a choice; none were measured. Gives whether anything was added.
    fn departure(&self, paints: &[(usize, f64)], sum: &mut [f64; ENTRIES]) -> bool {
        if paints.len() < 2 || self.pairs.is_empty() {
            return false;
        }
        let mut meetings = 0.0;
        let mut any = false;
        for (place, one) in paints.iter().enumerate() {
            for other in &paints[place + 1..] {
                let met = one.1 * other.1;
                meetings += met;
                let (first, second) = if one.0 < other.0 {
                    (one, other)
                } else {
                    (other, one)
                };
                if let Some(departures) = self.pairs.get(&[first.0, second.0]) {
                    any = true;
                    let lesser = first.1.min(second.1) / (first.1 + second.1);
                    let fade = (lesser / FADE_BELOW).min(1.0);
                    add_between(departures, first.1 / second.1, met * fade, sum);
                }
            }
        }
        for entry in sum.iter_mut() {
            *entry /= meetings;
        }
        any
    }

    fn tie(&self, mix: &Mix) -> Tie {
        let paints: Vec<usize> = mix.paints.iter().map(|(paint, _)| *paint).collect();
        let ties = paints.iter().enumerate().flat_map(|(place, one)| {
            paints[place + 1..].iter().map(|other| {
                let pair = [*one.min(other), *one.max(other)];
                if self.pairs.contains_key(&pair) {
                    Tie::Tinted
                } else if self.group[*one] == self.group[*other] {
                    Tie::Linked
                } else {
                    Tie::Unlinked
                }
            })
        });
        ties.max().unwrap_or(Tie::Alone)
    }
}

/// Adds a pair's departure at a ratio of parts: that of the tint itself, of the nearest beyond the outermost tints, and
/// between two on a straight line over the logarithm of the ratio. One tint thus speaks for all ratios: on the measured
/// mixtures letting it die away with the distance is worse.
fn add_between(departures: &[Departure], ratio: f64, weight: f64, sum: &mut [f64; ENTRIES]) {
    let mut add = |departure: &Departure, weight: f64| {
        for (sum, entry) in sum.iter_mut().zip(&departure.entries) {
            *sum += weight * entry;
        }
    };
    if let [only] = departures {
        return add(only, weight);
    }
    let at = libm::log(ratio);
    let above = departures.partition_point(|departure| departure.ln_ratio <= at);
    match (
        above.checked_sub(1).map(|below| &departures[below]),
        departures.get(above),
    ) {
        (Some(below), Some(above)) => {
            let along = (at - below.ln_ratio) / (above.ln_ratio - below.ln_ratio);
            add(below, weight * (1.0 - along));
            add(above, weight * along);
        }
        (Some(end), None) | (None, Some(end)) => add(end, weight),
        (None, None) => {}
    }
}

impl PaintBox {
    /// K and S of a mix, per unit of film. Medium alone has neither.
    ///
    /// Costs a sum over the paints, and one exponential per entry where any two of them have a tint; allocates nothing.
    ///
    /// # Panics
    /// If the mix names a paint that this box does not hold.
    #[must_use]
    pub fn mixed(&self, mix: &Mix) -> Optics {
        if mix.paints.is_empty() {
            return Optics::MEDIUM;
        }
        let parts = mix.paints.iter().map(|(index, parts)| {
            let paint = &self.paints[*index];
            (parts * paint.strength, &paint.optics)
        });
        let mut optics = Optics::mix(parts);
        let mut departure = [0.0; ENTRIES];
        if self.tints.departure(&mix.paints, &mut departure) {
            for band in 0..BANDS {
                optics.k[band] *= libm::exp(departure[band]);
                optics.s[band] *= libm::exp(departure[BANDS + band]);
            }
        }
        optics.diluted(mix.paint_volume() / mix.volume())
    }

    /// How well a mix's paints are tied together by tints.
    ///
    /// # Panics
    /// If the mix names a paint that this box does not hold.
    #[must_use]
    pub fn tie(&self, mix: &Mix) -> Tie {
        self.tints.tie(mix)
    }

    /// What a mix's colour is known from. One paint, thinned or not, has its own basis; of several the source is the
    /// weakest of theirs, and it is one "with tint" where tints lead from each paint to every other. Medium alone has no
    /// colour to be unsure of.
    ///
    /// # Panics
    /// If the mix names a paint that this box does not hold.
    #[must_use]
    pub fn basis(&self, mix: &Mix) -> Basis {
        let bases = mix
            .paints
            .iter()
            .map(|(index, _)| self.paints[*index].basis);
        let source = |basis: Basis| basis.source();
        match (self.tie(mix), bases.clone().filter_map(source).max()) {
            (Tie::Alone, _) | (_, None) => Basis::weakest(bases),
            (Tie::Tinted | Tie::Linked, Some(weakest)) => Source::with_tint(weakest),
            (Tie::Unlinked, Some(weakest)) => Source::without_tint(weakest),
        }
    }

    /// Index of the paint of a name.
    #[must_use]
    pub fn index_of(&self, name: &str) -> Option<usize> {
        self.paints.iter().position(|paint| paint.name == name)
    }
}
