//! The mixes to try: whole parts of a few paints, thinned with whole parts of medium, at a few films.
//!
//! A mix has 1 to `max_paints` paints of the list, at least one part of each, and any parts of medium, at most `max_parts`
//! parts in total, medium included. Parts with a common divisor are the same mix with larger numbers, so only the smallest form
//! is tried. Every mix is tried at every film.

use velatura_optics::calibrate::PaintBox;

/// Films to try by default; 1 = as thick as the drawdown.
pub const FILMS: [f64; 4] = [0.5, 1.0, 1.5, 2.0];
/// Most paints in a mix by default: a mix of more is hard to repeat the next evening.
pub const MAX_PAINTS: usize = 3;
/// Most parts in a mix by default.
pub const MAX_PARTS: u32 = 10;

/// The mixes to try.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    /// Indices of the paints that may be used, none twice.
    pub paints: Vec<usize>,
    /// Most paints in a mix, at least 1.
    pub max_paints: usize,
    /// Most parts in a mix, medium included, at least 1.
    pub max_parts: u32,
    /// Films, each more than 0; 1 = as thick as the drawdown.
    pub films: Vec<f64>,
}

impl Grid {
    /// All owned paints, with the default limits.
    #[must_use]
    pub fn of_owned(paints: &PaintBox) -> Self {
        Self {
            paints: (0..paints.paints.len())
                .filter(|index| paints.paints[*index].owned)
                .collect(),
            max_paints: MAX_PAINTS,
            max_parts: MAX_PARTS,
            films: FILMS.to_vec(),
        }
    }

    /// How many colours are compared: mixes times films.
    #[must_use]
    pub fn size(&self) -> u64 {
        let films = u64::try_from(self.films.len()).unwrap_or(u64::MAX);
        let mixes = (1..=self.largest()).fold(0_u64, |sum, count| {
            let each = whole_mixes(count, self.max_parts);
            sum.saturating_add(choices(self.paints.len(), count).saturating_mul(each))
        });
        mixes.saturating_mul(films)
    }

    /// The most paints that a mix of this grid really has.
    pub(super) fn largest(&self) -> usize {
        let parts = usize::try_from(self.max_parts).unwrap_or(usize::MAX);
        self.max_paints.min(self.paints.len()).min(parts)
    }

    /// Every choice of paints, each in the order of the list.
    pub(super) fn subsets(&self) -> Vec<Vec<usize>> {
        let mut all = Vec::new();
        for count in 1..=self.largest() {
            choose(&self.paints, count, &mut Vec::new(), &mut all);
        }
        all
    }

    /// Ratios of paints by how many there are: the first entry for one paint.
    pub(super) fn ratios(&self) -> Vec<Vec<Vec<u32>>> {
        (1..=self.largest())
            .map(|count| ratios(count, self.max_parts))
            .collect()
    }
}

/// The ways to thin a ratio of paints with `sum` parts: the multiple of the ratio, and the parts of medium.
pub(super) fn thinnings(sum: u32, max_parts: u32) -> impl Iterator<Item = (u32, u32)> {
    (1..=max_parts / sum).flat_map(move |times| {
        (0..=max_parts - times * sum)
            .filter(move |medium| divisor(times, *medium) == 1)
            .map(move |medium| (times, medium))
    })
}

/// Whole parts of `count` paints, at least one each, without a common divisor, at most `max_parts` in total.
pub(super) fn ratios(count: usize, max_parts: u32) -> Vec<Vec<u32>> {
    let mut all = vec![Vec::new()];
    for _ in 0..count {
        all = all
            .into_iter()
            .flat_map(|begun: Vec<u32>| {
                let left = max_parts - begun.iter().sum::<u32>();
                (1..=left).map(move |part| begun.iter().copied().chain([part]).collect())
            })
            .collect();
    }
    all.retain(|ratio| ratio.iter().copied().fold(0, divisor) == 1);
    all
}

pub(super) fn choose(
    paints: &[usize],
    count: usize,
    begun: &mut Vec<usize>,
    all: &mut Vec<Vec<usize>>,
) {
    if count == 0 {
        all.push(begun.clone());
        return;
    }
    for (at, paint) in paints.iter().enumerate() {
        begun.push(*paint);
        choose(&paints[at + 1..], count - 1, begun, all);
        begun.pop();
    }
}

/// The number of mixes of `count` particular paints and medium with at most `max_parts` parts and no common divisor.
pub(super) fn whole_mixes(count: usize, max_parts: u32) -> u64 {
    let parts = usize::try_from(max_parts).unwrap_or(usize::MAX);
    // All, minus those that are a smaller mix doubled, tripled …
    (2..=max_parts)
        .map(|times| whole_mixes(count, max_parts / times))
        .fold(
            choices(parts.saturating_add(1), count + 1),
            u64::saturating_sub,
        )
}

/// The number of choices of `count` out of `from`, at most the largest `u64`.
pub(super) fn choices(from: usize, count: usize) -> u64 {
    let wide = (0..count.min(from + 1)).try_fold(1_u128, |sum, step| {
        let (left, done) = (
            u128::try_from(from - step).ok()?,
            u128::try_from(step + 1).ok()?,
        );
        sum.checked_mul(left).map(|product| product / done)
    });
    wide.and_then(|wide| u64::try_from(wide).ok())
        .unwrap_or(u64::MAX)
}

/// Greatest common divisor; of 0 and a number, the number.
pub(super) fn divisor(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { divisor(b, a % b) }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_mix_comes_once_and_none_is_left_out() {
        let grid = Grid {
            paints: vec![4, 7, 9],
            max_paints: 2,
            max_parts: 7,
            films: vec![1.0, 2.0],
        };
        let ratios = grid.ratios();
        let mut tried = Vec::new();
        for subset in grid.subsets() {
            for ratio in &ratios[subset.len() - 1] {
                for (times, medium) in thinnings(ratio.iter().sum(), grid.max_parts) {
                    let mut mix = [0; 4];
                    for (paint, part) in subset.iter().zip(ratio) {
                        mix[grid.paints.iter().position(|one| one == paint).unwrap()] =
                            part * times;
                    }
                    mix[3] = medium;
                    tried.push(mix);
                }
            }
        }
        // Counted another way: all parts from 0 to 7, kept where the conditions hold.
        let mut expected = BTreeSet::new();
        for code in 0..8_u32.pow(4) {
            let mix: [u32; 4] =
                std::array::from_fn(|at| code / 8_u32.pow(at.try_into().unwrap()) % 8);
            let paints = mix[..3].iter().filter(|part| **part > 0).count();
            let whole = mix.iter().sum::<u32>() <= 7 && (1..=2).contains(&paints);
            if whole && mix.iter().copied().fold(0, divisor) == 1 {
                expected.insert(mix);
            }
        }
        assert_eq!(tried.len(), expected.len());
        assert_eq!(tried.iter().copied().collect::<BTreeSet<_>>(), expected);
        assert_eq!(grid.size(), u64::try_from(tried.len()).unwrap() * 2);
    }

    #[test]
    fn no_mix_has_more_paints_than_parts_or_paints_that_are_there() {
        let grid = Grid {
            paints: vec![0, 1],
            max_paints: 5,
            max_parts: 1,
            films: vec![1.0],
        };
        assert_eq!(grid.subsets(), [[0], [1]]);
        assert_eq!(grid.size(), 2);
        let huge = Grid {
            paints: (0..60).collect(),
            max_paints: 6,
            max_parts: 100,
            ..grid
        };
        assert!(huge.size() > 1_000_000_000_000);
    }
}
