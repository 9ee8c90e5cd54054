//! What a film of known thickness over a known substrate shows, and how that changes with ln K and ln S.
//!
//! In: ln K and ln S per band, and the deficit. Out: whitened residuals and their derivatives, for codes (3 per field) or
//! spectra (31).
//!
//! The deficit is a nuisance of codes that include the surface's reflection: real surfaces reflect slightly less than k1
//! where the paint is nearly black, and more so the glossier they are. It fades within a few thousandths of reflectance
//! and is not used when colours are predicted. Its two constants were chosen on the open half of the
//! measured paints; without it the mean error at film 1 is 0.42 instead of 0.25.

use nalgebra::{DMatrix, DVector};

use super::posterior::Linearised;
use crate::colour::Encoded;
use crate::film::Film;
use crate::spectrum::{BANDS, Spectrum, rgb_weights};
use crate::surface::Specular;

/// Standard deviation of a code in code values: rounding alone, 1/√12.
const CODE_DEVIATION: f64 = 0.29;
/// Standard deviation of a measured reflectance: a fixed part and a part of the value.
/// The noise of the paints rather than of the instrument: no two brushed films are alike, and smaller values make the
/// fit carry the oddities of a drawdown into its mixtures (mean ΔE of mixtures from spectra 4.1 instead of 3.4 at a fifth).
const SPECTRUM_DEVIATION: (f64, f64) = (0.001, 0.005);
/// Least reflectance above the surface's that a fit tries to reach: no film goes below it.
const LEAST_BODY: f64 = 0.0003;
/// Standard deviation of the deficit, and the reflectance within which it fades.
pub(super) const DEFICIT_DEVIATION: f64 = 0.002;
const DEFICIT_REACH: f64 = 0.002;
/// Step in ln K and ln S for the derivatives.
const STEP: f64 = 1e-4;

/// One field of a drawdown: a film over one card.
#[derive(Debug, Clone)]
pub(super) struct Field {
    /// Reflectance of the card, inside the film's surface.
    pub(super) card: Spectrum,
    /// What was measured there.
    pub(super) seen: Seen,
}

/// The measurement of a field.
#[derive(Debug, Clone)]
pub(super) enum Seen {
    /// Three codes.
    Code(Encoded),
    /// Measured reflectance per band.
    Spectrum(Box<Spectrum>),
}

impl Seen {
    fn count(&self) -> usize {
        match self {
            Self::Code(_) => 3,
            Self::Spectrum(_) => BANDS,
        }
    }
}

/// Residuals of all fields of one drawdown of film 1 and their derivatives by ln K (31), ln S (31) and the deficit.
pub(super) fn linearised(theta: &DVector<f64>, fields: &[Field], specular: Specular) -> Linearised {
    let count = fields.iter().map(|field| field.seen.count()).sum();
    let mut residual = DVector::zeros(count);
    let mut jacobian = DMatrix::zeros(count, 2 * BANDS + 1);
    let mut row = 0;
    for field in fields {
        let bands: [Slope; BANDS] = std::array::from_fn(|band| {
            Slope::new(theta[band], theta[BANDS + band], field.card[band], specular)
        });
        match &field.seen {
            Seen::Code(code) => {
                let bands = bands.map(|band| band.less(theta[2 * BANDS], specular));
                for channel in 0..3 {
                    code_row(
                        row + channel,
                        channel,
                        *code,
                        &bands,
                        &mut residual,
                        &mut jacobian,
                    );
                }
            }
            Seen::Spectrum(measured) => {
                let least = specular.measured(0.0) + LEAST_BODY;
                for band in 0..BANDS {
                    let deviation = SPECTRUM_DEVIATION.0 + SPECTRUM_DEVIATION.1 * measured[band];
                    residual[row + band] = (bands[band].at - measured[band].max(least)) / deviation;
                    jacobian[(row + band, band)] = bands[band].by_ln_k / deviation;
                    jacobian[(row + band, BANDS + band)] = bands[band].by_ln_s / deviation;
                }
            }
        }
        row += field.seen.count();
    }
    (residual, jacobian)
}

fn code_row(
    row: usize,
    channel: usize,
    code: Encoded,
    bands: &[Slope; BANDS],
    residual: &mut DVector<f64>,
    jacobian: &mut DMatrix<f64>,
) {
    let weights = rgb_weights();
    let seen = code.linear().0[channel];
    let linear: f64 = bands
        .iter()
        .zip(weights)
        .map(|(band, weight)| band.at * weight[channel])
        .sum();
    let deviation = CODE_DEVIATION / codes_per_linear(f64::from(code.0[channel]) / 255.0);
    let off = (linear - seen) / deviation;
    // A code at the end of its range was clipped, so any value beyond it fits.
    let clipped = (code.0[channel] == 0 && off < 0.0) || (code.0[channel] == 255 && off > 0.0);
    if clipped {
        return;
    }
    residual[row] = off;
    for band in 0..BANDS {
        jacobian[(row, band)] = bands[band].by_ln_k * weights[band][channel] / deviation;
        jacobian[(row, BANDS + band)] = bands[band].by_ln_s * weights[band][channel] / deviation;
        jacobian[(row, 2 * BANDS)] += bands[band].by_deficit * weights[band][channel] / deviation;
    }
}

/// How many code values a unit of linear light is, at an encoded value of 0…1 (IEC 61966-2-1, differentiated).
fn codes_per_linear(encoded: f64) -> f64 {
    if encoded <= 0.04045 {
        12.92 * 255.0
    } else {
        255.0 / (2.4 / 1.055 * libm::pow((encoded + 0.055) / 1.055, 1.4))
    }
}

/// Measured reflectance of a film in one band, with its derivatives.
struct Slope {
    at: f64,
    by_ln_k: f64,
    by_ln_s: f64,
    by_deficit: f64,
}

impl Slope {
    fn new(ln_k: f64, ln_s: f64, card: f64, specular: Specular) -> Self {
        let seen = |ln_k: f64, ln_s: f64| {
            specular.measured(Film::new(libm::exp(ln_k), libm::exp(ln_s), 1.0).over(card))
        };
        Self {
            at: seen(ln_k, ln_s),
            by_ln_k: (seen(ln_k + STEP, ln_s) - seen(ln_k - STEP, ln_s)) / (2.0 * STEP),
            by_ln_s: (seen(ln_k, ln_s + STEP) - seen(ln_k, ln_s - STEP)) / (2.0 * STEP),
            by_deficit: 0.0,
        }
    }

    /// The same minus the deficit, if the codes include the surface's reflection at all.
    fn less(self, deficit: f64, specular: Specular) -> Self {
        if specular == Specular::Excluded {
            return self;
        }
        let share = libm::exp(-(self.at - specular.measured(0.0)) / DEFICIT_REACH);
        let steeper = 1.0 + deficit * share / DEFICIT_REACH;
        Self {
            at: self.at - deficit * share,
            by_ln_k: self.by_ln_k * steeper,
            by_ln_s: self.by_ln_s * steeper,
            by_deficit: -share,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_step_is_as_wide_as_the_encoding_says() {
        for encoded in [0.02, 0.1, 0.5, 0.9] {
            let linear = crate::colour::decode(encoded);
            let step = 1e-6;
            let slope = (crate::colour::encode(linear + step)
                - crate::colour::encode(linear - step))
                / (2.0 * step)
                * 255.0;
            assert!(
                (slope / codes_per_linear(encoded) - 1.0).abs() < 1e-3,
                "{encoded}"
            );
        }
    }
}
