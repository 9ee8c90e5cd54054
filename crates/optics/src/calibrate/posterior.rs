//! The most likely K and S, given a Gaussian prior on their logarithms and observations that depend on them.
//!
//! In: prior mean and covariance of θ (31 × ln K, 31 × ln S, and further unknowns), a model that returns whitened
//! residuals and their derivatives. Out: θ. Each step linearises the model and solves the Gaussian case exactly in the space of the
//! observations (few) instead of θ (many), with backtracking; the result is deterministic.
//! Source: Tarantola 2005, Inverse Problem Theory, eq. 3.51 (quasi-Newton in data space).

use nalgebra::{DMatrix, DVector};

/// The most difficult measured tints take 59.
const STEPS_AT_MOST: usize = 100;
/// Longest step in any ln K or ln S; longer ones leave the range where the linear model means anything.
const LONGEST_STEP: f64 = 3.0;
/// Relative gain below which the search ends.
const SMALL_GAIN: f64 = 1e-7;

/// Whitened residuals (1 = one standard deviation) and their derivatives by θ.
pub(super) type Linearised = (DVector<f64>, DMatrix<f64>);

/// Gaussian prior on θ: its mean, and its covariance as the blocks along the diagonal, in order; all else is 0.
#[derive(Debug, Clone)]
pub(super) struct Gaussian<'a> {
    pub(super) mean: DVector<f64>,
    pub(super) blocks: Vec<&'a DMatrix<f64>>,
}

impl Gaussian<'_> {
    /// Covariance times a matrix with a row per entry of θ.
    fn spread(&self, matrix: &DMatrix<f64>) -> DMatrix<f64> {
        let mut out = DMatrix::zeros(matrix.nrows(), matrix.ncols());
        let mut at = 0;
        for block in &self.blocks {
            let size = block.nrows();
            // A covariance is symmetric. `tr_mul` sums in one order everywhere; for `*`, nalgebra has a kernel that fuses
            // products and sums where the processor can, so that the last digit depends on the machine.
            let spread = block.tr_mul(&matrix.rows(at, size));
            out.rows_mut(at, size).copy_from(&spread);
            at += size;
        }
        out
    }

    /// Covariance times a vector.
    fn spread_vector(&self, vector: &DVector<f64>) -> DVector<f64> {
        let mut out = DVector::zeros(vector.len());
        let mut at = 0;
        for block in &self.blocks {
            let size = block.nrows();
            out.rows_mut(at, size)
                .gemv(1.0, block, &vector.rows(at, size), 0.0);
            at += size;
        }
        out
    }
}

/// The most likely θ, and the logarithm of the evidence: how likely the observations are under the prior, up to a constant
/// that depends on the observations alone (Laplace's approximation; D. J. C. Mackay 1992, Neural Computation 4:415).
pub(super) fn most_likely(
    prior: &Gaussian<'_>,
    model: impl Fn(&DVector<f64>) -> Linearised,
) -> (DVector<f64>, f64) {
    let mean = &prior.mean;
    // θ = mean + covariance · u: the prior's cost is then ½ u · (θ − mean), without an inverse.
    let mut u = DVector::zeros(mean.len());
    let mut theta = mean.clone();
    let (mut residual, mut jacobian) = model(&theta);
    let mut cost = half_square(&residual);
    for _ in 0..STEPS_AT_MOST {
        let Some(factor) = information(prior, &jacobian).cholesky() else {
            break;
        };
        let target =
            jacobian.transpose() * factor.solve(&(&jacobian * (&theta - mean) - &residual));
        let step = &target - &u;
        let longest = prior.spread_vector(&step).amax();
        let mut share = if longest > LONGEST_STEP {
            LONGEST_STEP / longest
        } else {
            1.0
        };
        let gained = loop {
            let next_u = &u + &step * share;
            let next = mean + prior.spread_vector(&next_u);
            let (next_residual, next_jacobian) = model(&next);
            let next_cost = half_square(&next_residual) + 0.5 * next_u.dot(&(&next - mean));
            if next_cost <= cost {
                let gain = cost - next_cost;
                (u, theta, residual, jacobian, cost) =
                    (next_u, next, next_residual, next_jacobian, next_cost);
                break Some(gain);
            }
            share *= 0.5;
            if share < 1e-4 {
                break None;
            }
        };
        match gained {
            Some(gain) if gain > SMALL_GAIN * (1.0 + cost) => {}
            _ => break,
        }
    }
    // How much the prior lets the observations vary, as a volume: a prior that allows much must explain more.
    let ln_volume = information(prior, &jacobian)
        .cholesky()
        .map_or(f64::INFINITY, |factor| {
            factor
                .l_dirty()
                .diagonal()
                .iter()
                .map(|entry| libm::log(*entry))
                .sum()
        });
    (theta, -cost - ln_volume)
}

/// Covariance of the whitened observations as the prior has them.
fn information(prior: &Gaussian<'_>, jacobian: &DMatrix<f64>) -> DMatrix<f64> {
    let across = jacobian.transpose();
    across.tr_mul(&prior.spread(&across)) + DMatrix::identity(jacobian.nrows(), jacobian.nrows())
}

fn half_square(residual: &DVector<f64>) -> f64 {
    0.5 * residual.norm_squared()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_linear_model_gives_the_textbook_mean() {
        // One unknown, prior N(1, 4), one observation 3 with standard deviation 1: (1/4 + 3)/(1/4 + 1) = 2.6.
        let variance = DMatrix::from_element(1, 1, 4.0);
        let prior = Gaussian {
            mean: DVector::from_element(1, 1.0),
            blocks: vec![&variance],
        };
        let (theta, _) = most_likely(&prior, |theta| {
            (theta.map(|x| x - 3.0), DMatrix::identity(1, 1))
        });
        assert!((theta[0] - 2.6).abs() < 1e-9, "{theta}");
    }

    #[test]
    fn a_curved_model_reaches_the_least_cost() {
        let variance = DMatrix::from_element(1, 1, 9.0);
        let prior = Gaussian {
            mean: DVector::from_element(1, 0.0),
            blocks: vec![&variance],
        };
        let seen = 5.0;
        let cost = |x: f64| 0.5 * ((libm::exp(x) - seen) / 0.1).powi(2) + x * x / 18.0;
        let (theta, _) = most_likely(&prior, |theta| {
            (
                theta.map(|x| (libm::exp(x) - seen) / 0.1),
                DMatrix::from_element(1, 1, libm::exp(theta[0]) / 0.1),
            )
        });
        assert!(
            cost(theta[0]) < cost(theta[0] + 1e-3) && cost(theta[0]) < cost(theta[0] - 1e-3),
            "{theta}"
        );
    }
}
