//! A plausible spectrum for a card or an undercoat if only its colour is known: the smoothest with that colour.
//!
//! In: linear sRGB. Out: reflectance per band, held between a small floor and 1. A grey gives an exactly flat spectrum.
//! Smoothest means least sum of squared differences between neighbouring bands, a common choice
//! (as in Burns 2020, Color Research & Application 45:1008, there with further constraints).

use std::sync::LazyLock;

use nalgebra::DMatrix;

use crate::colour::Linear;
use crate::spectrum::{BANDS, Spectrum, rgb_weights};

/// Darkest band: every card reflects something, and logarithms must exist.
const FLOOR: f64 = 0.0005;

/// Spectrum per linear channel: the smoothest spectra with the colours (1,0,0), (0,1,0) and (0,0,1).
static BASIS: LazyLock<DMatrix<f64>> = LazyLock::new(|| {
    let weights = DMatrix::from_fn(BANDS, 3, |band, channel| rgb_weights()[band][channel]);
    let differences = DMatrix::from_fn(BANDS - 1, BANDS, |row, band| {
        f64::from(u8::from(band == row + 1)) - f64::from(u8::from(band == row))
    });
    // Least roughness under three conditions: the usual system with Lagrange multipliers.
    let mut system = DMatrix::zeros(BANDS + 3, BANDS + 3);
    system
        .view_mut((0, 0), (BANDS, BANDS))
        .copy_from(&differences.tr_mul(&differences));
    system.view_mut((0, BANDS), (BANDS, 3)).copy_from(&weights);
    system
        .view_mut((BANDS, 0), (3, BANDS))
        .copy_from(&weights.transpose());
    let mut conditions = DMatrix::zeros(BANDS + 3, 3);
    conditions.view_mut((BANDS, 0), (3, 3)).fill_with_identity();
    let solved = system
        .lu()
        .solve(&conditions)
        .expect("three channels are independent");
    solved.rows(0, BANDS).into_owned()
});

/// The smoothest reflectance spectrum of a colour.
#[must_use]
pub fn smoothest_spectrum(colour: Linear) -> Spectrum {
    std::array::from_fn(|band| {
        let sum: f64 = (0..3)
            .map(|channel| BASIS[(band, channel)] * colour.0[channel])
            .sum();
        sum.clamp(FLOOR, 1.0)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Encoded;
    use crate::spectrum::colour;

    #[test]
    fn a_colour_comes_back_from_its_spectrum_and_a_grey_is_flat() {
        for hex in ["#f4f2ee", "#1c1c1c", "#808080", "#9fb0a0", "#c9a080"] {
            let code: Encoded = hex.parse().unwrap();
            assert_eq!(
                colour(&smoothest_spectrum(code.linear())).encoded(),
                code,
                "{hex}"
            );
        }
        let grey = smoothest_spectrum(Linear::grey(0.3));
        assert!(
            grey.iter().all(|band| (band - 0.3).abs() < 1e-6),
            "{grey:?}"
        );
    }
}
