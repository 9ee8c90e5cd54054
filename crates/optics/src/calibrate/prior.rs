//! What paints are like before any is seen: a Gaussian over ln K and ln S per wavelength band.
//!
//! `data/prior.csv` holds its mean, the variance of each entry on its own, and the factors that entries share; the file
//! says in its first line where they come from. One of the factors is the film: paint brushed twice as thick has
//! ln 2 more of both K and S in every band.

use std::sync::LazyLock;

use nalgebra::{DMatrix, DVector};

use super::observation::DEFICIT_DEVIATION;
use super::posterior::Gaussian;
use crate::spectrum::BANDS;

static PRIOR: LazyLock<Gaussian> = LazyLock::new(|| {
    let text = include_str!("../../data/prior.csv");
    let rows: Vec<Vec<f64>> = text
        .lines()
        .filter(|line| line.starts_with("k,") || line.starts_with("s,"))
        .map(|line| {
            line.split(',')
                .skip(2)
                .map(|cell| cell.parse().expect("the shipped table holds numbers"))
                .collect()
        })
        .collect();
    assert_eq!(
        rows.len(),
        2 * BANDS,
        "the shipped table has a row per entry"
    );
    let mean = DVector::from_iterator(rows.len(), rows.iter().map(|row| row[0]));
    let variance = DVector::from_iterator(rows.len(), rows.iter().map(|row| row[1]));
    let factors = DMatrix::from_fn(rows.len(), rows[0].len() - 2, |row, column| {
        rows[row][column + 2]
    });
    let paint = &factors * factors.transpose() + DMatrix::from_diagonal(&variance);
    // The deficit of `observation.rs` comes last, on its own.
    let mut covariance = paint.resize(2 * BANDS + 1, 2 * BANDS + 1, 0.0);
    covariance[(2 * BANDS, 2 * BANDS)] = DEFICIT_DEVIATION.powi(2);
    Gaussian {
        mean: mean.resize_vertically(2 * BANDS + 1, 0.0),
        covariance,
    }
});

/// The prior over one paint: 31 × ln K, 31 × ln S, and the deficit.
pub(super) fn paint_prior() -> &'static Gaussian {
    &PRIOR
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_prior_is_a_proper_gaussian_that_leaves_the_film_open() {
        let prior = paint_prior();
        assert!(
            prior.covariance.clone().cholesky().is_some(),
            "positive definite"
        );
        // A film twice as thick must cost little: its length in standard deviations, with all else as expected.
        let mut thicker = DVector::from_element(2 * BANDS + 1, std::f64::consts::LN_2);
        thicker[2 * BANDS] = 0.0;
        let inverse = prior.covariance.clone().cholesky().unwrap();
        let cost = thicker.dot(&inverse.solve(&thicker));
        assert!(cost < 1.0, "{cost}");
    }
}
