//! A stack of coats seen from outside, laid out to be computed over very many substrates.
//!
//! In: coats at one number of the relief plane, then reflectances of the substrate (0…1). Out: linear sRGB. The arithmetic is
//! that of [`crate::coat::colour_over_grey`]; the bands are summed in four lanes, so that a processor does several at once.

use std::sync::LazyLock;

use crate::coat::{Coat, stack_at};
use crate::spectrum::{BANDS, rgb_weights};
use crate::surface::Specular;

const LANES: usize = 4;
/// Bands filled up to whole lanes; those beyond the last one weigh nothing.
const FILLED: usize = BANDS.next_multiple_of(LANES);

static WEIGHTS: LazyLock<[[f64; FILLED]; 3]> = LazyLock::new(|| {
    let of = |channel: usize, band: usize| rgb_weights().get(band).map_or(0.0, |rgb| rgb[channel]);
    std::array::from_fn(|channel| std::array::from_fn(|band| of(channel, band)))
});

/// The fractional-linear map of every band: (a·x + b) / (c·x + d).
#[derive(Debug, Clone)]
pub(crate) struct SeenStack {
    above: [[f64; FILLED]; 2],
    below: [[f64; FILLED]; 2],
    specular: Specular,
}

impl SeenStack {
    /// The stack at a number of the relief plane, 0…1.
    pub(crate) fn at(coats: &[Coat], relief: f64, specular: Specular) -> Self {
        let mut seen = Self {
            above: [[0.0; FILLED]; 2],
            below: [[0.0; FILLED], [1.0; FILLED]],
            specular,
        };
        for (band, film) in stack_at(coats, relief).iter().enumerate() {
            let [above, below] = film.seen(specular).entries();
            for side in 0..2 {
                seen.above[side][band] = above[side];
                seen.below[side][band] = below[side];
            }
        }
        seen
    }

    /// The colour over a substrate of this measured reflectance.
    pub(crate) fn colour(&self, grey: f64) -> [f64; 3] {
        let x = self.specular.inside(grey);
        let ([a, b], [c, d]) = (&self.above, &self.below);
        let mut sums = [[0.0; LANES]; 3];
        for first in (0..FILLED).step_by(LANES) {
            let seen: [f64; LANES] = std::array::from_fn(|lane| {
                let band = first + lane;
                (a[band] * x + b[band]) / (c[band] * x + d[band])
            });
            for (sums, weights) in sums.iter_mut().zip(&*WEIGHTS) {
                for lane in 0..LANES {
                    sums[lane] += seen[lane] * weights[first + lane];
                }
            }
        }
        sums.map(|lanes| lanes.iter().sum())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::coat::colour_over_grey;
    use crate::colour::Linear;
    use crate::paint::Optics;

    #[test]
    fn a_stack_gives_the_colours_of_the_plain_formula() {
        let k = std::array::from_fn(|band| if band < 15 { 3.0 } else { 0.1 });
        let coats = [Coat::even(Optics { k, s: [0.3; BANDS] }, 1.3)];
        for specular in [Specular::Excluded, Specular::Included] {
            let seen = SeenStack::at(&coats, 0.4, specular);
            for step in 0..=1000 {
                let grey = f64::from(step) / 1000.0;
                let Linear(plain) = colour_over_grey(&stack_at(&coats, 0.4), grey, specular);
                for (channel, plain) in plain.iter().enumerate() {
                    assert!((seen.colour(grey)[channel] - plain).abs() < 1e-12);
                }
            }
        }
    }
}
