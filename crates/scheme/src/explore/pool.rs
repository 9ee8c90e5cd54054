//! Every mix that exploring may use, with the colour that it dries to on each region.

use rayon::prelude::*;
use velatura_optics::colour::Lab;
use velatura_optics::mixture::Mix;

use super::{Exploring, film_1};
use crate::ground::mean_dried;

/// Parts of one paint and of another that two-paint mixes have.
const PAIRS: [[f64; 2]; 3] = [[1.0, 1.0], [3.0, 1.0], [1.0, 3.0]];
/// Share of paint in a mix with medium, as paint : medium. Neat, half and a glaze.
const THINNED: [[f64; 2]; 3] = [[1.0, 0.0], [1.0, 1.0], [3.0, 7.0]];
/// How many greys represent a region.
const GREYS: usize = 6;

/// A mix and its colours.
#[derive(Debug, Clone)]
pub(super) struct Pooled {
    /// The mix, in whole parts.
    pub(super) mix: Mix,
    /// Mean dried colour by region.
    pub(super) colours: Vec<Lab>,
}

/// All mixes. Those that are kept for a region come first, in the order of [`Exploring::kept`].
#[derive(Debug)]
pub(super) struct Pool {
    pub(super) mixes: Vec<Pooled>,
    /// Where the free mixes begin.
    pub(super) free: usize,
}

impl Pool {
    pub(super) fn new(wish: &Exploring<'_>) -> Self {
        let owned: Vec<usize> = (0..wish.paints.paints.len())
            .filter(|index| wish.paints.paints[*index].owned)
            .collect();
        let mut mixes: Vec<Mix> = wish.kept.iter().map(|(_, mix)| mix.clone()).collect();
        let free = mixes.len();
        for (at, first) in owned.iter().enumerate() {
            mixes.extend(THINNED.map(|thinned| in_whole_parts(&[(*first, 1.0)], thinned)));
            for second in &owned[at + 1..] {
                for [one, other] in PAIRS {
                    let paints = [(*first, one), (*second, other)];
                    mixes.extend(THINNED.map(|thinned| in_whole_parts(&paints, thinned)));
                }
            }
        }
        let regions = wish.ground.summary.regions.len();
        let greys: Vec<_> = (0..regions)
            .map(|region| wish.ground.few_greys(region, wish.undercoat, GREYS))
            .collect();
        let mixes = mixes
            .into_par_iter()
            .map(|mix| {
                let coat = [film_1(wish.paints, &mix)];
                let colours = greys
                    .iter()
                    .map(|greys| mean_dried(greys, &coat, wish.paints.cards.specular).lab())
                    .collect();
                Pooled { mix, colours }
            })
            .collect();
        Self { mixes, free }
    }
}

/// Paints and medium in the smallest whole parts that have these shares.
fn in_whole_parts(paints: &[(usize, f64)], [paint, medium]: [f64; 2]) -> Mix {
    let sum: f64 = paints.iter().map(|(_, parts)| parts).sum();
    // All shares above are ratios of small whole numbers: paint × parts against medium × sum has no fraction.
    let parts: Vec<f64> = paints.iter().map(|(_, parts)| parts * paint).collect();
    let medium = medium * sum;
    let divisor = parts.iter().fold(medium, |a, b| common_divisor(a, *b));
    Mix {
        paints: paints
            .iter()
            .zip(parts)
            .map(|((index, _), parts)| (*index, parts / divisor))
            .collect(),
        medium: medium / divisor,
    }
}

fn common_divisor(a: f64, b: f64) -> f64 {
    if b < 0.5 { a } else { common_divisor(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_whole_and_as_small_as_can_be() {
        let mix = in_whole_parts(&[(4, 3.0), (7, 1.0)], [3.0, 7.0]);
        assert_eq!((mix.paints, mix.medium), (vec![(4, 9.0), (7, 3.0)], 28.0));
        let mix = in_whole_parts(&[(4, 3.0), (7, 1.0)], [1.0, 1.0]);
        assert_eq!((mix.paints, mix.medium), (vec![(4, 3.0), (7, 1.0)], 4.0));
        let mix = in_whole_parts(&[(0, 1.0), (1, 1.0)], [1.0, 1.0]);
        assert_eq!((mix.paints, mix.medium), (vec![(0, 1.0), (1, 1.0)], 2.0));
        let mix = in_whole_parts(&[(2, 1.0)], [1.0, 0.0]);
        assert_eq!((mix.paints, mix.medium), (vec![(2, 1.0)], 0.0));
    }
}
