//! Simulated colour vision: a 3 × 3 matrix on linear light for protan, deutan and tritan vision, and for plain grey.
//!
//! In: linear sRGB. Out: linear sRGB that looks the same to a usual eye; it may leave the gamut.
//! White and all greys stay as they are. Sources: Machado, Oliveira, Fernandes 2009, IEEE Transactions on Visualization
//! and Computer Graphics 15:1291 (any severity); Viénot, Brettel, Mollon 1999, Color Research & Application 24:243 (a
//! missing kind of cone; protan and deutan only). Both were made for the screens of their time and are used on linear
//! sRGB, as most software does. Not here: pictures.

use std::fmt;
use std::sync::LazyLock;

use nalgebra::{Matrix3, RowVector3};

use crate::colour::{BT709, Linear};

/// Severities that the 2009 paper tabulates: 0, 0.1 … 1. Between two of them matrices are interpolated, as is usual.
const STEPS: usize = 11;

/// Linear RGB → long, middle and short cones (Viénot, Brettel, Mollon 1999, equation 4; the cones are those of Smith and
/// Pokorny 1975). From memory; a test ties it to the projections printed in the same paper and to another program.
const CONES: Matrix3<f64> = Matrix3::new(
    17.8824,
    43.5161,
    4.11935,
    3.45565,
    27.1554,
    3.86714,
    0.029_956_6,
    0.184_309,
    1.46709,
);

/// Which kind of cone is shifted or missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Deficiency {
    /// The long-wave cone, "red".
    Protan,
    /// The middle-wave cone, "green"; the most common.
    Deutan,
    /// The short-wave cone, "blue"; rare.
    Tritan,
}

impl Deficiency {
    /// All three.
    pub const ALL: [Self; 3] = [Self::Protan, Self::Deutan, Self::Tritan];
}

impl fmt::Display for Deficiency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Protan => "protan",
            Self::Deutan => "deutan",
            Self::Tritan => "tritan",
        })
    }
}

/// A way of seeing, as a matrix on linear light, row-major.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Eye(pub [[f64; 3]; 3]);

impl Eye {
    /// Usual colour vision: everything as it is.
    pub const USUAL: Self = Self([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]);

    /// Luminance alone (ITU-R BT.709).
    pub const GREY: Self = Self([BT709; 3]);

    /// The model of 2009 at a severity of 0 (usual vision) to 1 (a kind of cone has shifted completely). Values
    /// outside count as the nearer end.
    #[must_use]
    pub fn machado(deficiency: Deficiency, severity: f64) -> Self {
        let table = &MACHADO[match deficiency {
            Deficiency::Protan => 0,
            Deficiency::Deutan => 1,
            Deficiency::Tritan => 2,
        }];
        let place = severity.clamp(0.0, 1.0) * 10.0;
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to 0…10 just before; no number counts as 0"
        )]
        let below = (place as usize).min(STEPS - 2);
        #[allow(clippy::cast_precision_loss, reason = "at most 9")]
        let share = (place - below as f64).max(0.0);
        let between = table[below] * (1.0 - share) + table[below + 1] * share;
        Self(rows(&between))
    }

    /// The model of 1999: one kind of cone is missing, and what is left is shown in blues, yellows and greys. It has no
    /// answer for tritan eyes.
    ///
    /// # Panics
    /// Never: the cones' matrix is a constant.
    #[must_use]
    pub fn vienot(deficiency: Deficiency) -> Option<Self> {
        let missing = match deficiency {
            Deficiency::Protan => 0,
            Deficiency::Deutan => 1,
            Deficiency::Tritan => return None,
        };
        // Colours that differ by `confused` excite the other two cones alike, so each is moved along it until it is on
        // the plane of black, blue, yellow and white, where red equals green.
        let inverse = CONES.try_inverse().expect("the cones span the space");
        let confused = inverse.column(missing);
        let off_plane = RowVector3::new(1.0, -1.0, 0.0) / (confused[0] - confused[1]);
        Some(Self(rows(&(Matrix3::identity() - confused * off_plane))))
    }

    /// What this eye makes of a colour.
    #[must_use]
    pub fn sees(&self, colour: Linear) -> Linear {
        Linear(self.0.map(|row| {
            row.iter()
                .zip(colour.0)
                .map(|(weight, channel)| weight * channel)
                .sum()
        }))
    }
}

/// The published matrices by deficiency and severity, in the order of [`Deficiency::ALL`].
static MACHADO: LazyLock<[[Matrix3<f64>; STEPS]; 3]> = LazyLock::new(|| {
    let text = include_str!("../data/machado2009.csv");
    Deficiency::ALL.map(|deficiency| {
        let name = deficiency.to_string();
        let own: Vec<Matrix3<f64>> = text
            .lines()
            .filter_map(|line| line.strip_prefix(&name)?.strip_prefix(','))
            .map(|line| {
                let cells = line.split(',').skip(1);
                let numbers = cells.map(|cell| cell.parse().expect("the table holds numbers"));
                Matrix3::from_row_iterator(numbers)
            })
            .collect();
        own.try_into()
            .expect("the shipped table has eleven severities of each")
    })
});

fn rows(matrix: &Matrix3<f64>) -> [[f64; 3]; 3] {
    matrix.transpose().into()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn every_eye() -> Vec<Eye> {
        let severities = [0.0, 0.05, 0.3, 0.77, 1.0];
        let machado = Deficiency::ALL
            .iter()
            .flat_map(|kind| severities.map(|severity| Eye::machado(*kind, severity)));
        let vienot = Deficiency::ALL.iter().filter_map(|kind| Eye::vienot(*kind));
        machado
            .chain(vienot)
            .chain([Eye::GREY, Eye::USUAL])
            .collect()
    }

    fn greys_stay(eye: &Eye) -> bool {
        // The matrices of 2009 are printed with 6 decimals: a row sums to 1 within 1.5e-6.
        [0.0, 0.2, 1.0].iter().all(|grey| {
            let seen = eye.sees(Linear::grey(*grey)).0;
            seen.iter().all(|channel| (channel - grey).abs() < 2e-6)
        })
    }

    #[test]
    fn white_stays_white_and_greys_stay_grey() {
        let eyes = every_eye();
        assert_eq!(eyes.len(), 19, "fifteen, two and two");
        for eye in &eyes {
            assert!(greys_stay(eye), "{eye:?}");
        }
        // Must fail: one weight moved by a thousandth, and a matrix read by columns.
        let mut moved = Eye::machado(Deficiency::Deutan, 1.0);
        moved.0[1][1] += 1e-3;
        let Eye(by_rows) = Eye::machado(Deficiency::Deutan, 1.0);
        let by_columns = Eye(rows(
            &Matrix3::from_row_iterator(by_rows.into_iter().flatten()).transpose(),
        ));
        assert!(!greys_stay(&moved) && !greys_stay(&by_columns), "{moved:?}");
    }

    #[test]
    fn the_projections_of_1999_are_those_printed() {
        // Viénot, Brettel, Mollon 1999, equations 5 and 6 (from memory): protan L = 2.02344 M − 2.52581 S, deutan
        // M = 0.494207 L + 1.24827 S. Printed with 6 digits; we reach 2e-5 of white's 65.5 and 34.5.
        let printed = |kind: Deficiency| match kind {
            Deficiency::Protan => (0, [0.0, 2.02344, -2.52581]),
            _ => (1, [0.494_207, 0.0, 1.24827]),
        };
        for kind in [Deficiency::Protan, Deficiency::Deutan] {
            let (missing, weights) = printed(kind);
            for colour in [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.2, 0.7, 0.9], [1.0; 3]] {
                let cones = CONES * nalgebra::Vector3::from(colour);
                let seen = Eye::vienot(kind).unwrap().sees(Linear(colour)).0;
                let seen = CONES * nalgebra::Vector3::from(seen);
                let expected: f64 = weights.iter().zip(&cones).map(|(w, c)| w * c).sum();
                assert!(
                    (seen[missing] - expected).abs() < 1e-3,
                    "{kind}: {seen} {expected}"
                );
                let other = 1 - missing;
                assert!((seen[other] - cones[other]).abs() < 1e-9, "{kind}: {seen}");
            }
        }
        assert_eq!(Eye::vienot(Deficiency::Tritan), None);
    }

    #[test]
    fn severity_beyond_its_range_is_the_nearer_end() {
        let deutan = |severity| Eye::machado(Deficiency::Deutan, severity);
        assert_eq!(deutan(-1.0), Eye::USUAL);
        assert_eq!(deutan(7.0), deutan(1.0));
        assert_ne!(deutan(0.9), deutan(1.0));
    }
}
