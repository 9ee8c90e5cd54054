//! Inputs of `view` that run through twin and device.
//!
//! Not covered: NaN and ∞, which WGSL lets a device assume never occur.

use super::Axis;
use crate::Pixel;
use crate::dice::Dice;

/// Largest difference between twin and device, absolute up to 1 and relative above: a device may fuse multiplications
/// with additions, in sums of up to 90 weights. `README.md` has the error reached.
pub const TOLERANCE: f32 = 2e-6;

/// A piece of the WGSL text, and a change to it that must fail.
pub const MUST_FAIL: (&str, &str) = ("var tap = 0u", "var tap = 1u");

/// A frame and how it is seen.
#[derive(Debug, Clone)]
pub struct Case {
    /// Along its rows.
    pub across: Axis,
    /// Down its columns.
    pub down: Axis,
    /// Linear light.
    pub frame: Vec<Pixel>,
}

/// All cases.
#[must_use]
pub fn cases() -> Vec<Case> {
    let mut dice = Dice::new(12);
    [
        ((1, 1), (1, 1), 0.0),
        ((1, 1), (1, 1), 5.0),
        ((17, 17), (13, 13), 0.0),
        ((65, 65), (3, 3), 2.5),
        ((97, 31), (89, 29), 0.0),
        ((127, 40), (101, 33), 10.0),
        ((64, 1), (64, 1), 1.0),
    ]
    .into_iter()
    .map(
        |(across, down, sigma_px): ((usize, usize), (usize, usize), f64)| Case {
            across: Axis::new(across.0, across.1, sigma_px),
            down: Axis::new(down.0, down.1, sigma_px),
            frame: (0..across.0 * down.0)
                .map(|index| match index % 7 {
                    0 => [0.0, -0.0, f32::MIN_POSITIVE / 4.0, 1.0],
                    1 => [1.0, 3.0, -0.1, 1.0],
                    _ => std::array::from_fn(|_| dice.share()),
                })
                .collect(),
        },
    )
    .collect()
}
