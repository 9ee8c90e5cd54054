//! What is known about paints and their mixtures in advance: a Gaussian over ln K and ln S per wavelength band, over the
//! strength, and over the departure of a tint from the plain sum of its paints.
//!
//! `data/prior.csv` holds the paints' mean, the variance of each entry on its own, and the factors that entries share; its
//! first line names their source. One of the factors is the film: paint brushed twice as thick has ln 2 more of both K and S in
//! every band.

use std::sync::LazyLock;

use nalgebra::{DMatrix, DVector};

use super::observation::DEFICIT_DEVIATION;
use crate::spectrum::{BANDS, STEP_NM};

/// Entries of a paint: 31 × ln K, then 31 × ln S.
pub(super) const ENTRIES: usize = 2 * BANDS;

/// Variance of ln strength: a factor of e either way is usual.
const STRENGTH_VARIANCE: f64 = 1.0;
/// Variance of a tint's departure in ln K and in ln S, and the distance in nm within which it stays the same
/// (Matérn 3/2). Chosen on the open half of the measured mixtures; twice or half of each does about as well.
const DEPARTURE_VARIANCE: [f64; 2] = [0.3, 0.1];
const DEPARTURE_LENGTH_NM: f64 = 100.0;
/// How much more likely it is that the mixtures of a file depart than that they are plain sums: a choice. The spectra of the
/// measured paints support it (12 of 13 tints); six codes of one tint can rarely show it. So a file needs clear evidence for plain
/// sums, such as colours that were computed by the plain sum.
const DEPARTING_ODDS: f64 = 1000.0;
/// Variance of ln film of a tint: its film, a third thicker or thinner than the drawdowns', is part of its departure.
const TINT_FILM_VARIANCE: f64 = 0.09;

static SHIPPED: LazyLock<Prior> = LazyLock::new(|| {
    Prior::read(include_str!("../../data/prior.csv")).expect("the shipped table is whole")
});

/// What is assumed about paints and mixtures in advance.
#[derive(Debug, Clone)]
pub struct Prior {
    /// Mean of ln K, ln S (62) and the deficit (0).
    pub(super) paint_mean: DVector<f64>,
    /// Covariance of the same, 63 × 63.
    pub(super) paint_covariance: DMatrix<f64>,
    /// Variance of ln strength.
    pub(super) strength_variance: f64,
    /// What a file's tints may be like: the evidence decides between them.
    pub(super) departures: Vec<Departures>,
}

/// One assumption about how tints depart from the plain sum of their paints.
#[derive(Debug, Clone)]
pub(super) struct Departures {
    /// Covariance of a tint's departure in ln K and ln S, 62 × 62; its mean is 0.
    pub(super) covariance: DMatrix<f64>,
    /// How much more likely this is in advance, as a logarithm.
    pub(super) ln_odds: f64,
}

impl Prior {
    /// The one learned from measured paints that comes with this crate.
    #[must_use]
    pub fn shipped() -> &'static Self {
        &SHIPPED
    }

    /// Reads a table as `data/prior.csv` holds it: of every line that begins with `k,` or `s,` the wavelength, mean,
    /// variance and factors. `None` unless there are 31 lines of each with as many numbers.
    #[must_use]
    pub fn read(table: &str) -> Option<Self> {
        let rows: Vec<Vec<f64>> = table
            .lines()
            .filter(|line| line.starts_with("k,") || line.starts_with("s,"))
            .map(|line| {
                line.split(',')
                    .skip(2)
                    .map(|cell| cell.parse().ok())
                    .collect()
            })
            .collect::<Option<_>>()?;
        let columns = rows.first()?.len();
        if rows.len() != ENTRIES || columns < 3 || rows.iter().any(|row| row.len() != columns) {
            return None;
        }
        let mean = DVector::from_fn(ENTRIES, |row, _| rows[row][0]);
        let variance = DVector::from_fn(ENTRIES, |row, _| rows[row][1]);
        // A row per factor; `tr_mul` for the reason in `posterior.rs`.
        let factors = DMatrix::from_fn(columns - 2, ENTRIES, |row, column| rows[column][row + 2]);
        let paint = factors.tr_mul(&factors) + DMatrix::from_diagonal(&variance);
        // The deficit of `observation.rs` comes last, on its own.
        let mut covariance = paint.resize(ENTRIES + 1, ENTRIES + 1, 0.0);
        covariance[(ENTRIES, ENTRIES)] = DEFICIT_DEVIATION.powi(2);
        Some(Self {
            paint_mean: mean.resize_vertically(ENTRIES + 1, 0.0),
            paint_covariance: covariance,
            strength_variance: STRENGTH_VARIANCE,
            departures: vec![
                plain_sums(),
                Departures {
                    covariance: departure(DEPARTURE_VARIANCE),
                    ln_odds: libm::log(DEPARTING_ODDS),
                },
            ],
        })
    }

    /// The same for paints whose mixtures are the plain sum of their K and S, but for the film they are brushed in: the
    /// usual two-constant theory, to compare the departures with.
    #[must_use]
    pub fn with_plain_sums(&self) -> Self {
        Self {
            departures: vec![plain_sums()],
            ..self.clone()
        }
    }
}

/// Only the film of a tint is its own.
fn plain_sums() -> Departures {
    Departures {
        covariance: departure([0.0; 2]),
        ln_odds: 0.0,
    }
}

fn departure(variances: [f64; 2]) -> DMatrix<f64> {
    DMatrix::from_fn(ENTRIES, ENTRIES, |row, column| {
        #[allow(clippy::cast_precision_loss, reason = "at most 30 bands apart")]
        let apart_nm = (row % BANDS).abs_diff(column % BANDS) as f64 * STEP_NM;
        let along = 3.0_f64.sqrt() * apart_nm / DEPARTURE_LENGTH_NM;
        let own = if row / BANDS == column / BANDS {
            variances[row / BANDS] * (1.0 + along) * libm::exp(-along)
        } else {
            0.0
        };
        own + TINT_FILM_VARIANCE
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_prior_is_a_proper_gaussian_that_leaves_the_film_open() {
        let prior = Prior::shipped();
        let factor = prior.paint_covariance.clone().cholesky();
        assert!(factor.is_some(), "positive definite");
        // A film twice as thick must cost little: its length in standard deviations, with all else as expected.
        let mut thicker = DVector::from_element(ENTRIES + 1, std::f64::consts::LN_2);
        thicker[ENTRIES] = 0.0;
        let cost = thicker.dot(&factor.unwrap().solve(&thicker));
        assert!(cost < 1.0, "{cost}");
        let [_, departing] = &prior.departures[..] else {
            panic!("plain sums, and departures");
        };
        assert!(
            departing.covariance.clone().cholesky().is_some(),
            "departures too"
        );
    }

    #[test]
    fn a_table_that_is_not_whole_is_no_prior() {
        let whole = include_str!("../../data/prior.csv");
        assert!(Prior::read(whole).is_some());
        let short: String = whole
            .lines()
            .take(40)
            .map(|line| format!("{line}\n"))
            .collect();
        assert!(Prior::read(&short).is_none());
        assert!(Prior::read(&whole.replacen("s,700,", "s,700,x", 1)).is_none());
    }
}
