//! Tints: what a paint mixed with another tells of its K and S, and of how strong it is in mixtures.
//!
//! In: the paint's own fields, its tints' fields, and the partner's K and S. Out: ln K and ln S, and the strength, by which
//! the paint's parts count in a mix with other paints (1 = by volume as poured). A mix has the K and S of its paints
//! weighted by part × strength. Source of the mixing rule: Duncan 1940, Proc. Phys. Soc. 52:390; the strength stands for
//! drawdowns of unequal thickness and for pigments that are ground unequally fine.

use nalgebra::{DMatrix, DVector};

use super::observation::{Field, linearised};
use super::posterior::{Gaussian, Linearised, most_likely};
use super::prior::paint_prior;
use crate::paint::Optics;
use crate::spectrum::BANDS;
use crate::surface::Specular;

/// How much less a tint is believed than a drawdown: no mixing rule is better than that (chosen on measured mixtures).
const TINT_DOUBT: f64 = 3.0;
/// Variance of ln strength: a factor of e either way is usual.
const STRENGTH_VARIANCE: f64 = 1.0;
/// Index of ln strength behind ln K, ln S and the deficit.
const STRENGTH: usize = 2 * BANDS + 1;

/// One tint of a paint.
pub(super) struct Tint<'a> {
    /// Parts of the paint and of its partner.
    pub(super) parts: [f64; 2],
    /// The partner.
    pub(super) partner: &'a Optics,
    /// What was seen of the mix.
    pub(super) fields: Vec<Field>,
    /// The convention of what was seen.
    pub(super) specular: Specular,
}

/// The likeliest θ of a paint (ln K, ln S, deficit, ln strength), given its own fields and its tints.
pub(super) fn with_tints(fields: &[Field], specular: Specular, tints: &[Tint<'_>]) -> DVector<f64> {
    let alone = paint_prior();
    let mut covariance = alone
        .covariance
        .clone()
        .resize(STRENGTH + 1, STRENGTH + 1, 0.0);
    covariance[(STRENGTH, STRENGTH)] = STRENGTH_VARIANCE;
    let prior = Gaussian {
        mean: alone.mean.clone().resize_vertically(STRENGTH + 1, 0.0),
        covariance,
    };
    most_likely(&prior, |theta| {
        let mut parts = vec![own(theta, fields, specular)];
        parts.extend(tints.iter().map(|tint| tinted(theta, tint)));
        stacked(&parts)
    })
}

fn own(theta: &DVector<f64>, fields: &[Field], specular: Specular) -> Linearised {
    let (residual, jacobian) = linearised(&theta.rows(0, STRENGTH).into_owned(), fields, specular);
    (residual, jacobian.resize_horizontally(STRENGTH + 1, 0.0))
}

fn tinted(theta: &DVector<f64>, tint: &Tint<'_>) -> Linearised {
    let [part, other] = tint.parts;
    let strong = part * theta[STRENGTH].exp();
    let share = strong / (strong + other);
    let mut mixed = theta.rows(0, STRENGTH).into_owned();
    // How ln K and ln S of the mix follow the paint's own, and its strength.
    let (mut by_own, mut by_strength) = (DVector::zeros(2 * BANDS), DVector::zeros(2 * BANDS));
    for index in 0..2 * BANDS {
        let partner = if index < BANDS {
            tint.partner.k[index]
        } else {
            tint.partner.s[index - BANDS]
        };
        let paint = theta[index].exp();
        let sum = share * paint + (1.0 - share) * partner;
        mixed[index] = sum.ln();
        by_own[index] = share * paint / sum;
        by_strength[index] = share * (1.0 - share) * (paint - partner) / sum;
    }
    let (residual, slope) = linearised(&mixed, &tint.fields, tint.specular);
    let mut jacobian = DMatrix::zeros(residual.len(), STRENGTH + 1);
    for index in 0..2 * BANDS {
        jacobian.set_column(index, &(slope.column(index) * by_own[index]));
    }
    jacobian.set_column(2 * BANDS, &slope.column(2 * BANDS));
    jacobian.set_column(STRENGTH, &(slope.columns(0, 2 * BANDS) * by_strength));
    (residual / TINT_DOUBT, jacobian / TINT_DOUBT)
}

fn stacked(parts: &[Linearised]) -> Linearised {
    let rows = parts.iter().map(|(residual, _)| residual.len()).sum();
    let mut residual = DVector::zeros(rows);
    let mut jacobian = DMatrix::zeros(rows, STRENGTH + 1);
    let mut row = 0;
    for (some, slope) in parts {
        residual.rows_mut(row, some.len()).copy_from(some);
        jacobian.rows_mut(row, some.len()).copy_from(slope);
        row += some.len();
    }
    (residual, jacobian)
}

/// The strength in a θ of [`with_tints`].
pub(super) fn strength(theta: &DVector<f64>) -> f64 {
    theta[STRENGTH].exp()
}
