//! Spectra in 31 wavelength bands, 400–700 nm in steps of 10 nm, and their colour under D65 for the 2° observer.
//!
//! In: reflectance per band, 0…1. Out: linear sRGB. The weights are the CIE 1931 2° colour matching functions times
//! D65 with the ends folded in as ASTM E308 does (`data/weights.csv` names its source), turned into linear sRGB
//! and scaled per channel so that a flat spectrum is an exact grey: a coat of medium must not tint.

use std::sync::LazyLock;

use crate::colour::{Linear, Xyz};

/// Number of wavelength bands.
pub const BANDS: usize = 31;
/// Middle of the first band.
pub const START_NM: f64 = 400.0;
/// Distance between bands.
pub const STEP_NM: f64 = 10.0;

/// One value per wavelength band: a reflectance, K or S.
pub type Spectrum = [f64; BANDS];

/// XYZ weights per band as published; the sum over Y is 1.
static XYZ_WEIGHTS: LazyLock<[[f64; 3]; BANDS]> = LazyLock::new(|| {
    let text = include_str!("../data/weights.csv");
    let mut weights = [[0.0; 3]; BANDS];
    let rows = text
        .lines()
        .filter(|line| line.starts_with(|c: char| c.is_ascii_digit()));
    let mut read = 0;
    for (row, weight) in rows.zip(&mut weights) {
        let cells: Vec<f64> = row
            .split(',')
            .map(|cell| {
                cell.trim()
                    .parse()
                    .expect("the shipped table holds numbers")
            })
            .collect();
        weight.copy_from_slice(&cells[1..4]);
        read += 1;
    }
    assert_eq!(read, BANDS, "the shipped table has a row per band");
    weights
});

/// Linear sRGB weights per band; each channel sums to exactly 1 up to rounding.
static RGB_WEIGHTS: LazyLock<[[f64; 3]; BANDS]> = LazyLock::new(|| {
    let mut weights = XYZ_WEIGHTS.map(|xyz| Xyz(xyz).linear().0);
    for channel in 0..3 {
        let sum: f64 = weights.iter().map(|band| band[channel]).sum();
        for band in &mut weights {
            band[channel] /= sum;
        }
    }
    weights
});

/// Linear sRGB of a reflectance spectrum under D65; may lie outside the gamut.
#[must_use]
pub fn colour(reflectance: &Spectrum) -> Linear {
    let mut rgb = [0.0; 3];
    for (band, weight) in reflectance.iter().zip(rgb_weights()) {
        for (sum, weight) in rgb.iter_mut().zip(weight) {
            *sum += band * weight;
        }
    }
    Linear(rgb)
}

/// The linear sRGB weights per band behind [`colour`].
#[must_use]
pub fn rgb_weights() -> &'static [[f64; 3]; BANDS] {
    &RGB_WEIGHTS
}

/// A measured series brought to the 31 bands: straight lines between its points, its ends held beyond them.
///
/// `start_nm` and `step_nm` say where the values lie. `values` must not be empty.
#[must_use]
pub fn resampled(start_nm: f64, step_nm: f64, values: &[f64]) -> Spectrum {
    let last = values.len() - 1;
    std::array::from_fn(|band| {
        #[allow(
            clippy::cast_precision_loss,
            reason = "band < 31 and list lengths are small"
        )]
        let at = ((START_NM + STEP_NM * band as f64 - start_nm) / step_nm).clamp(0.0, last as f64);
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to 0…last"
        )]
        let left = (at.floor() as usize).min(last);
        let share = at - at.floor();
        values[left] * (1.0 - share) + values[(left + 1).min(last)] * share
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_flat_spectrum_is_an_exact_grey() {
        let Linear(rgb) = colour(&[0.37; BANDS]);
        for channel in rgb {
            assert!((channel - 0.37).abs() < 1e-12, "{rgb:?}");
        }
    }

    #[test]
    fn resampling_draws_straight_lines_and_holds_the_ends() {
        let ramp: Vec<f64> = (0..=80).map(|i| f64::from(i) * 5.0 + 380.0).collect();
        let bands = resampled(380.0, 5.0, &ramp);
        assert!((bands[0] - 400.0).abs() < 1e-9 && (bands[30] - 700.0).abs() < 1e-9);
        let short = resampled(420.0, 20.0, &[1.0, 3.0]);
        assert!(
            (short[0] - 1.0).abs() < 1e-12
                && (short[3] - 2.0).abs() < 1e-12
                && (short[30] - 3.0).abs() < 1e-12
        );
    }
}
