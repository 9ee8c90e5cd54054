//! A paint fitted together with its tints: what mixing it with paints already fitted shows about its K and S, of how strong it
//! is in mixtures, and of how its mixtures depart from the plain sum.
//!
//! In: the paint's own fields, its tints' fields, the partners' K, S and strength. Out: ln K and ln S, the strength, and a
//! departure per tint. A mix has the K and S of its paints weighted by part × strength, times the exponential of the
//! departure. Source of the sum: Duncan 1940, Proc. Phys. Soc. 52:390. The strength accounts for drawdowns of unequal
//! thickness. The departure accounts for everything the sum leaves out, above all that pigments are ground and wetted differently in
//! a mixture than alone, and for the film of the tint itself.
//!
//! The partners stay as they were fitted: letting them move was tried and is no better (`mixture.rs` has the numbers), and
//! so each paint is a small separate problem.

use nalgebra::{DMatrix, DVector};

use super::observation::{DEFICIT_DEVIATION, Field, linearised};
use super::posterior::{Gaussian, Linearised, most_likely};
use super::prior::{ENTRIES, Prior};
use crate::paint::Optics;
use crate::spectrum::BANDS;
use crate::surface::Specular;

/// How much less a tint counts than a drawdown. Chosen on the open half of the measured mixtures, where 1 to 10 do
/// about as well.
const TINT_DOUBT: f64 = 3.0;
/// Index of ln strength behind ln K, ln S and the deficit, and of the first tint's own unknowns: its departure and deficit.
const STRENGTH: usize = ENTRIES + 1;
const FIRST_TINT: usize = ENTRIES + 2;
const OF_TINT: usize = ENTRIES + 1;

/// One tint of a paint with another that is fitted already.
#[derive(Debug, Clone)]
pub(super) struct Tint<'a> {
    /// Parts of the paint and of its partner.
    pub(super) parts: [f64; 2],
    /// The partner.
    pub(super) partner: &'a Optics,
    /// The partner's strength.
    pub(super) partner_strength: f64,
    /// What was measured of the mix.
    pub(super) fields: Vec<Field>,
    /// The convention of the measurement.
    pub(super) specular: Specular,
}

/// The result for a paint and its tints.
pub(super) struct Fitted {
    /// Its K and S.
    pub(super) optics: Optics,
    /// How much its parts count compared with those of other paints.
    pub(super) strength: f64,
    /// Per tint, what is to be added to ln K and ln S of the plain sum.
    pub(super) departures: Vec<[f64; ENTRIES]>,
    /// How likely the measurements are under the prior, as a logarithm, up to a constant that depends on them.
    pub(super) ln_evidence: f64,
}

/// The most likely paint for its own fields and its tints (there may be none). `departure` is the assumed covariance of
/// departures.
pub(super) fn fitted(
    fields: &[Field],
    specular: Specular,
    tints: &[Tint<'_>],
    prior: &Prior,
    departure: &DMatrix<f64>,
) -> Fitted {
    let size = FIRST_TINT + OF_TINT * tints.len();
    let strength = DMatrix::from_element(1, 1, prior.strength_variance);
    let deficit = DMatrix::from_element(1, 1, DEFICIT_DEVIATION.powi(2));
    let mut blocks = vec![&prior.paint_covariance, &strength];
    for _ in tints {
        blocks.extend([departure, &deficit]);
    }
    let gaussian = Gaussian {
        mean: prior.paint_mean.clone().resize_vertically(size, 0.0),
        blocks,
    };
    let (theta, ln_evidence) = most_likely(&gaussian, |theta| {
        let mut parts = vec![own(theta, fields, specular)];
        parts.extend(
            tints
                .iter()
                .enumerate()
                .map(|(index, tint)| tinted(theta, FIRST_TINT + OF_TINT * index, tint)),
        );
        stacked(&parts, size)
    });
    Fitted {
        optics: Optics {
            k: std::array::from_fn(|band| libm::exp(theta[band])),
            s: std::array::from_fn(|band| libm::exp(theta[BANDS + band])),
        },
        strength: libm::exp(theta[STRENGTH]),
        departures: (0..tints.len())
            .map(|tint| std::array::from_fn(|entry| theta[FIRST_TINT + OF_TINT * tint + entry]))
            .collect(),
        ln_evidence,
    }
}

fn own(theta: &DVector<f64>, fields: &[Field], specular: Specular) -> Linearised {
    let (residual, jacobian) = linearised(&theta.rows(0, STRENGTH).into_owned(), fields, specular);
    (residual, jacobian.resize_horizontally(theta.len(), 0.0))
}

/// `first` is the position of the tint's own unknowns.
fn tinted(theta: &DVector<f64>, first: usize, tint: &Tint<'_>) -> Linearised {
    let [part, other] = tint.parts;
    let strong = part * libm::exp(theta[STRENGTH]);
    let share = strong / (strong + other * tint.partner_strength);
    let mut mixed = theta.rows(first, OF_TINT).into_owned();
    // How ln K and ln S of the mix follow the paint's own, and its strength.
    let (mut by_own, mut by_strength) = (DVector::zeros(ENTRIES), DVector::zeros(ENTRIES));
    for entry in 0..ENTRIES {
        let partner = if entry < BANDS {
            tint.partner.k[entry]
        } else {
            tint.partner.s[entry - BANDS]
        };
        let paint = libm::exp(theta[entry]);
        let sum = share * paint + (1.0 - share) * partner;
        mixed[entry] += libm::log(sum);
        by_own[entry] = share * paint / sum;
        by_strength[entry] = share * (1.0 - share) * (paint - partner) / sum;
    }
    let (residual, slope) = linearised(&mixed, &tint.fields, tint.specular);
    let mut jacobian = DMatrix::zeros(residual.len(), theta.len());
    for entry in 0..ENTRIES {
        jacobian.set_column(entry, &(slope.column(entry) * by_own[entry]));
    }
    jacobian.set_column(STRENGTH, &(slope.columns(0, ENTRIES) * by_strength));
    jacobian.columns_mut(first, OF_TINT).copy_from(&slope);
    (residual / TINT_DOUBT, jacobian / TINT_DOUBT)
}

fn stacked(parts: &[Linearised], columns: usize) -> Linearised {
    let rows = parts.iter().map(|(residual, _)| residual.len()).sum();
    let mut residual = DVector::zeros(rows);
    let mut jacobian = DMatrix::zeros(rows, columns);
    let mut row = 0;
    for (some, slope) in parts {
        residual.rows_mut(row, some.len()).copy_from(some);
        jacobian.rows_mut(row, some.len()).copy_from(slope);
        row += some.len();
    }
    (residual, jacobian)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibrate::observation::Seen;
    use crate::spectrum::Spectrum;

    /// What an instrument would see of a film over a dark and a light card.
    fn measured(optics: &Optics) -> Vec<Field> {
        [0.02, 0.85]
            .map(|card| {
                let seen: Spectrum = std::array::from_fn(|band| {
                    Specular::Included.measured(optics.film(1.0)[band].over(card))
                });
                Field {
                    card: [card; BANDS],
                    seen: Seen::Spectrum(Box::new(seen)),
                }
            })
            .into()
    }

    #[test]
    fn a_tint_that_departs_from_the_sum_is_reported_from_one_that_does_not() {
        let ramp = |from: f64, to: f64| -> Spectrum {
            std::array::from_fn(|band| {
                from + (to - from) * f64::from(u8::try_from(band).unwrap()) / 30.0
            })
        };
        let paint = Optics {
            k: ramp(3.0, 0.1),
            s: ramp(0.5, 1.0),
        };
        let white = Optics {
            k: ramp(0.05, 0.01),
            s: ramp(5.0, 4.0),
        };
        let shown = |departure: f64| {
            let mut mix = Optics::mix([(1.0, &paint), (4.0, &white)]);
            for (band, k) in mix.k.iter_mut().enumerate() {
                // Less absorption on one side, more on the other: no strength does that.
                *k *= libm::exp(departure * (f64::from(u8::try_from(band).unwrap()) / 15.0 - 1.0));
            }
            let tint = Tint {
                parts: [1.0, 4.0],
                partner: &white,
                partner_strength: 1.0,
                fields: measured(&mix),
                specular: Specular::Included,
            };
            let prior = Prior::shipped();
            let beliefs = prior.departures.iter();
            let fits = beliefs.map(|belief| {
                let tints = [tint.clone()];
                fitted(
                    &measured(&paint),
                    Specular::Included,
                    &tints,
                    prior,
                    &belief.covariance,
                )
            });
            fits.max_by(|one, other| one.ln_evidence.total_cmp(&other.ln_evidence))
                .unwrap()
        };
        let (plain, bent) = (shown(0.0), shown(0.5));
        assert!(
            (libm::log(plain.strength)).abs() < 0.2,
            "{}",
            plain.strength
        );
        let tilt = |fit: &Fitted| fit.departures[0][BANDS - 1] - fit.departures[0][0];
        assert!(tilt(&plain).abs() < 0.2, "{}", tilt(&plain));
        assert!((tilt(&bent) - 1.0).abs() < 0.3, "{}", tilt(&bent));
    }
}
