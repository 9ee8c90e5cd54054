//! Spectra in 31 wavelength bands, 400–700 nm in steps of 10 nm, and their colour under D65 for the 2° observer.
//!
//! In: reflectance per band, 0…1. Out: linear sRGB. The weights are the CIE 1931 2° colour matching functions times
//! D65 with the ends folded in as ASTM E308 does (`data/weights.csv` names its source), turned into linear sRGB
//! and scaled per channel so that a flat spectrum is an exact grey: a coat of medium must not change the hue.

use std::sync::LazyLock;

use crate::colour::{Linear, Xyz};

/// Number of wavelength bands.
pub const BANDS: usize = 31;
/// Middle of the first band.
pub const START_NM: f64 = 400.0;
/// Distance between bands.
pub const STEP_NM: f64 = 10.0;

/// Share of a step within which a place counts as measured.
const ON_PLACE: f64 = 1e-9;

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

/// Linear sRGB of a reflectance spectrum under D65; may be outside the gamut.
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

/// A measured series brought to the 31 bands.
///
/// `values` are reflectances at `start_nm`, `start_nm + step_nm` and so on; there must be at least one. A value measured at
/// the middle of a band is used as it is: of a 5 nm series every second one counts, as the tables of weights for 10 nm
/// require. Between measured values runs the cubic through the two on either side (Lagrange interpolation, recommended by
/// CIE 15; from memory), at least 0. Beyond its ends the series keeps its last value, which gives the outermost value the
/// weights of the missing ones (ASTM E308, from memory). Values outside 400–700 nm are left out: their weights are in the
/// outermost bands already.
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
        // A step such as 3.3 nm hits a measured place up to rounding only.
        if share < ON_PLACE {
            values[left]
        } else if share > 1.0 - ON_PLACE {
            values[left + 1]
        } else {
            between(values, left, share).max(0.0)
        }
    })
}

/// The value at `left + share`, 0 < share < 1: a cubic through four values, or what the list's ends allow.
fn between(values: &[f64], left: usize, share: f64) -> f64 {
    let first = left.saturating_sub(1).min(values.len().saturating_sub(4));
    let around = &values[first..values.len().min(first + 4)];
    #[allow(clippy::cast_precision_loss, reason = "four values at most")]
    let at = (left - first) as f64 + share;
    around
        .iter()
        .enumerate()
        .map(|(own, value)| {
            #[allow(clippy::cast_precision_loss, reason = "four values at most")]
            let factor = (0..around.len())
                .filter(|other| *other != own)
                .map(|other| (at - other as f64) / (own as f64 - other as f64))
                .product::<f64>();
            value * factor
        })
        .sum()
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
    fn of_a_5_nm_series_the_values_at_our_wavelengths_count_and_the_ends_are_left_out() {
        let measured = |nm: i32| 0.3 + 0.2 * libm::sin(f64::from(nm) / 23.0);
        let series: Vec<f64> = (0..=80).map(|i| measured(380 + 5 * i)).collect();
        let bands = resampled(380.0, 5.0, &series);
        for (band, nm) in (400..=700).step_by(10).enumerate() {
            assert!((bands[band] - measured(nm)).abs() < 1e-15, "{nm} nm");
        }
        // Must fail: the same series taken to begin 5 nm later.
        assert!((resampled(385.0, 5.0, &series)[10] - measured(500)).abs() > 1e-3);
    }

    #[test]
    fn a_cubic_goes_through_four_values_and_the_ends_are_held() {
        // CIE 15 (from memory): cubic Lagrange interpolation, so a cubic comes back exactly; a straight line would miss it.
        let cubic = |nm: f64| 0.5 + 0.3 * ((nm - 550.0) / 150.0).powi(3);
        let series: Vec<f64> = (0..16)
            .map(|i| cubic(400.0 + 20.0 * f64::from(i)))
            .collect();
        let bands = resampled(400.0, 20.0, &series);
        for (band, nm) in (400..=700).step_by(10).enumerate() {
            assert!(
                (bands[band] - cubic(f64::from(nm))).abs() < 1e-12,
                "{nm} nm"
            );
        }
        assert!(
            (f64::midpoint(series[0], series[1]) - cubic(410.0)).abs() > 1e-3,
            "must differ"
        );
        // ASTM E308 (from memory): the outermost value replaces what is missing beyond it.
        let short = resampled(420.0, 10.0, &[0.1, 0.2, 0.3]);
        assert!(short[..2].iter().all(|one| (one - 0.1).abs() < 1e-15));
        assert!(short[5..].iter().all(|one| (one - 0.3).abs() < 1e-15));
        // Two values allow a line only, and a cubic that would dip below nothing is held there.
        assert!((resampled(395.0, 10.0, &[0.2, 0.4])[0] - 0.3).abs() < 1e-12);
        assert!(resampled(385.0, 10.0, &[0.9, 0.0, 0.0, 0.9])[1] >= 0.0);
    }
}
