//! Inputs of `downscale` that run through twin and device.

use crate::dice::Dice;

/// Largest share of pixels that may differ, by one code at most: sums are in the same order, but a device may fuse the
/// last multiplication with the addition. `README.md` has the error reached.
pub const SHARE: f64 = 1e-3;

/// A piece of the WGSL text, and a change to it that must fail.
pub const MUST_FAIL: (&str, &str) = (
    "f32(params.factor * params.factor)) + 0.5",
    "f32(params.factor * params.factor)) + 9.5",
);

/// A picture and the factor to reduce it by.
#[derive(Debug, Clone)]
pub struct Case {
    /// Pixels per row, a multiple of the factor.
    pub width: usize,
    /// Pixels per side of a block.
    pub factor: usize,
    /// Rows × columns.
    pub picture: Vec<[u8; 3]>,
}

/// All cases.
#[must_use]
pub fn cases() -> Vec<Case> {
    let mut dice = Dice::new(4);
    let mut cases: Vec<Case> = [
        (1, 1, 1),
        (7, 5, 1),
        (13, 1, 2),
        (97, 89, 2),
        (31, 17, 3),
        (64, 64, 4),
        (5, 3, 16),
    ]
    .into_iter()
    .map(|(columns, rows, factor)| Case {
        width: columns * factor,
        factor,
        picture: (0..columns * rows * factor * factor)
            .map(|_| std::array::from_fn(|_| dice.byte()))
            .collect(),
    })
    .collect();
    for code in [0, 1, 254, 255] {
        cases.push(Case {
            width: 10,
            factor: 2,
            picture: vec![[code; 3]; 60],
        });
    }
    cases
}
