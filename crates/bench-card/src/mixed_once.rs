//! Coats of one mix are mixed once, for all of them.

use crate::amounts::Bench;
use crate::card::CoatStep;

/// Parts that differ by less than this share are the same mix.
const SAME: f64 = 1e-9;

/// Gives the first of the coats with one mix the drops for all of them; the others name its step. None of them has drops before.
pub(crate) fn mixed_once(coats: &mut [CoatStep], bench: &Bench) {
    for first in 0..coats.len() {
        if coats[first].mix_of_step.is_some() {
            continue;
        }
        let later: Vec<usize> = (first + 1..coats.len())
            .filter(|other| same_mix(&coats[first], &coats[*other]))
            .collect();
        let needed: f64 =
            coats[first].needed_ml + later.iter().map(|at| coats[*at].needed_ml).sum::<f64>();
        let parts: Vec<f64> = coats[first]
            .mix
            .iter()
            .map(|measure| measure.parts)
            .collect();
        let drops = bench.drops(&parts, needed);
        coats[first].made_ml = f64::from(drops.iter().sum::<u32>()) * bench.drop_ml;
        for (measure, drops) in coats[first].mix.iter_mut().zip(drops) {
            measure.drops = drops;
        }
        for at in &later {
            coats[*at].mix_of_step = Some(first + 1);
        }
        coats[first].also_for_steps = later.iter().map(|at| at + 1).collect();
    }
}

/// The same paints in the same ratio.
fn same_mix(one: &CoatStep, other: &CoatStep) -> bool {
    let sum = |coat: &CoatStep| coat.mix.iter().map(|measure| measure.parts).sum::<f64>();
    let (all, others) = (sum(one), sum(other));
    one.mix.len() == other.mix.len()
        && one
            .mix
            .iter()
            .zip(&other.mix)
            .all(|(a, b)| a.paint == b.paint && (a.parts / all - b.parts / others).abs() < SAME)
}
