//! Many films of one ratio of paints, tried fast: how far each is from the aims.
//!
//! In: K and S of the paints without medium, and how much of them covers a place (film × share of the volume that is
//! paint). Out: the distance that [`Matching`] asks for, or that it is above a limit. A film that is thinned is a thinner film
//! of the same paints, so one amount stands for all mixes and films that have it. The formulas are those of
//! `velatura_optics::film` and `surface`, with one division for both.

use velatura_optics::colour::{Lab, Linear};
use velatura_optics::paint::Optics;
use velatura_optics::spectrum::{Spectrum, rgb_weights};
use velatura_optics::surface::{K1, K2};

use super::{Aim, Matching, Measure};

/// A film that absorbs less than this lets all light through, up to rounding.
const CLEAR: f64 = 1e-9;
/// Rounding moves a distance by less than this. CIEDE2000 takes the root of a product of two chromas, so that of a grey,
/// whose chroma is rounding alone, has no more digits; we reach 1e-6.
pub(super) const NOISE: f64 = 1e-5;

/// A ratio of paints, prepared.
pub(super) struct Trial<'a> {
    matching: &'a Matching,
    optics: Optics,
    root: Spectrum,
}

impl<'a> Trial<'a> {
    /// `optics` are the paints' without medium.
    pub(super) fn new(matching: &'a Matching, optics: Optics) -> Self {
        let root = std::array::from_fn(|band| {
            let (k, s) = (optics.k[band], optics.s[band]);
            (k * (k + 2.0 * s)).sqrt()
        });
        Self {
            matching,
            optics,
            root,
        }
    }

    /// Weighted mean distance to the aims, or `None` as soon as it is sure to be above `limit`.
    pub(super) fn distance_within(&self, limit: f64, amount: f64) -> Option<f64> {
        let total: f64 = self.matching.aims.iter().map(|aim| aim.weight).sum();
        let most = limit * total;
        let mut sum = 0.0;
        for aim in &self.matching.aims {
            let colour = self.colour(aim, amount);
            let bound = least_distance(self.matching.measure, lightness(colour), aim.target);
            if sum + aim.weight * bound > most {
                return None;
            }
            sum += aim.weight * self.matching.measure.between(colour.lab(), aim.target);
            if sum > most {
                return None;
            }
        }
        Some(sum / total)
    }

    fn colour(&self, aim: &Aim, amount: f64) -> Linear {
        if !aim.substrate.is_whole() {
            return aim.substrate.seen_through(&self.optics.film(amount));
        }
        let surface = aim.substrate.specular().measured(0.0);
        let passed = (1.0 - K1) * (1.0 - K2);
        let mut rgb = [0.0; 3];
        let below = aim.substrate.inside();
        for (band, weights) in rgb_weights().iter().enumerate() {
            let seen = surface + passed * self.inside(band, amount, below[band]);
            for (sum, weight) in rgb.iter_mut().zip(weights) {
                *sum += seen * weight;
            }
        }
        Linear(rgb)
    }

    /// R / (1 − k2 R) of the film's reflectance R inside, over a substrate.
    fn inside(&self, band: usize, amount: f64, below: f64) -> f64 {
        let (k, s, root) = (self.optics.k[band], self.optics.s[band], self.root[band]);
        let decay = 2.0 * root * amount;
        let fall = libm::expm1(-decay);
        let g = if decay < CLEAR {
            2.0 * amount
        } else {
            -fall / root
        };
        let (both, scattered) = ((s + k) * g, s * g);
        let over = (2.0 + fall - both) * below + scattered;
        let under = 2.0 + fall + both - scattered * below;
        over / (under - K2 * over)
    }
}

/// CIE L\* of a colour.
fn lightness(colour: Linear) -> f64 {
    // The numbers of CIE 15.
    const LINEAR_BELOW: f64 = 216.0 / 24389.0;
    const SLOPE: f64 = 24389.0 / 27.0;
    let y = colour.xyz().0[1];
    if y > LINEAR_BELOW {
        116.0 * libm::cbrt(y) - 16.0
    } else {
        SLOPE * y
    }
}

/// What a difference in lightness alone makes: no colour of that lightness is nearer to the target.
///
/// CIEDE2000 squared is `(ΔL′ / S_L)²` plus a form in chroma and hue that is never negative, because `|R_T|` is below 2.
fn least_distance(measure: Measure, lightness: f64, target: Lab) -> f64 {
    let apart = (lightness - target.0[0]).abs();
    match measure {
        Measure::Cielab => apart,
        Measure::Ciede2000 => {
            let from_middle = (f64::midpoint(lightness, target.0[0]) - 50.0).powi(2);
            apart / (1.0 + 0.015 * from_middle / (20.0 + from_middle).sqrt())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use velatura_optics::colour::Encoded;
    use velatura_optics::spectrum::BANDS;
    use velatura_optics::surface::Specular;

    use crate::matching::Grid;
    use crate::prediction::Substrate;

    fn matching(target: &str, over: &str, measure: Measure) -> Matching {
        let colour = |hex: &str| hex.parse::<Encoded>().unwrap();
        Matching {
            aims: vec![Aim {
                target: colour(target).lab(),
                substrate: Substrate::of_colour(colour(over).linear(), Specular::Excluded),
                weight: 2.0,
            }],
            grid: Grid {
                paints: Vec::new(),
                max_paints: 1,
                max_parts: 1,
                films: vec![1.0],
            },
            count: 1,
            measure,
        }
    }

    #[test]
    fn a_trial_is_the_film_that_optics_computes() {
        // The last undercoat has no spectrum of 0…1.
        for over in ["#c0c0c0", "#203040", "#ff0000"] {
            for (k, s) in [
                (0.0, 0.0),
                (0.3, 0.02),
                (4.0, 0.5),
                (0.0, 2.0),
                (1e-12, 1e-12),
            ] {
                let optics = Optics {
                    k: std::array::from_fn(|band| k * f64::from(u8::try_from(band % 5).unwrap())),
                    s: [s; BANDS],
                };
                for measure in [Measure::Ciede2000, Measure::Cielab] {
                    let matching = matching("#3fafc3", over, measure);
                    let trial = Trial::new(&matching, optics.clone());
                    for amount in [0.05, 0.7, 2.0] {
                        let aim = &matching.aims[0];
                        let seen = aim.substrate.seen_through(&optics.film(amount)).lab();
                        let expected = measure.between(seen, aim.target);
                        let found = trial.distance_within(f64::INFINITY, amount).unwrap();
                        assert!((found - expected).abs() < NOISE, "{found} {expected}");
                        assert!(trial.distance_within(expected + NOISE, amount).is_some());
                        assert!(trial.distance_within(expected - NOISE, amount).is_none());
                    }
                }
            }
        }
    }

    #[test]
    fn no_colour_is_nearer_than_its_lightness_allows() {
        let mut tightest = f64::INFINITY;
        for code in (0..=0xff_ff_ff_u32).step_by(9973) {
            let [_, red, green, blue] = code.to_be_bytes();
            let colour = Encoded([red, green, blue]);
            for target in ["#000000", "#3fafc3", "#4c5fcb", "#f4a520", "#ffffff"] {
                let target: Encoded = target.parse().unwrap();
                for measure in [Measure::Ciede2000, Measure::Cielab] {
                    let distance = measure.between(colour.lab(), target.lab());
                    let bound = least_distance(measure, lightness(colour.linear()), target.lab());
                    assert!(
                        bound <= distance + 1e-9,
                        "{colour} {target} {bound} {distance}"
                    );
                    tightest = tightest.min(distance - bound);
                }
            }
        }
        // Must fail: the bound is reached nearly, so half as much again would not hold.
        assert!(tightest < 0.5, "{tightest}");
    }
}
