//! Inputs of `pack` that run through twin and device.
//!
//! Not covered: NaN, which WGSL lets a device assume never occurs. ∞ is covered, because `clamp` has to handle it.

use crate::Pixel;
use crate::dice::Dice;

/// Largest share of pixels that may differ, by one code at most: a device may fuse `× 65535 + 2^23`, which moves a value
/// over the border of two steps, and with it of two codes, only where it is within a rounding of it. The error reached is in
/// `README.md`.
pub const SHARE: f64 = 1e-3;

/// A piece of the WGSL text, and a change to it that must fail.
pub const MUST_FAIL: (&str, &str) = ("* LAST_STEP + ROUND", "* LAST_STEP + (ROUND + 1.0)");

/// A frame and the photo below it.
#[derive(Debug, Clone)]
pub struct Case {
    /// Its purpose.
    pub name: String,
    /// Linear light and coverage.
    pub frame: Vec<Pixel>,
    /// The same number of pixels.
    pub photo: Vec<[u8; 3]>,
}

/// All cases.
#[must_use]
pub fn cases() -> Vec<Case> {
    let mut dice = Dice::new(9);
    let mut cases: Vec<Case> = [1, 63, 64, 65, 20_011]
        .into_iter()
        .map(|pixels| Case {
            name: format!("{pixels} random pixels"),
            frame: (0..pixels)
                .map(|_| {
                    let covered = if dice.byte() < 200 { 1.0 } else { 0.0 };
                    let mut channel = || dice.share() * 1.2 - 0.1;
                    [channel(), channel(), channel(), covered]
                })
                .collect(),
            photo: (0..pixels)
                .map(|_| std::array::from_fn(|_| dice.byte()))
                .collect(),
        })
        .collect();
    let ends = [
        0.0,
        -0.0,
        f32::MIN_POSITIVE / 8.0,
        1.0,
        1.0 + f32::EPSILON,
        f32::MAX,
        f32::INFINITY,
        f32::NEG_INFINITY,
        -1.0,
    ];
    cases.push(Case {
        name: "ends".to_owned(),
        frame: ends.map(|end| [end, end, end, 1.0]).to_vec(),
        photo: vec![[1, 2, 3]; ends.len()],
    });
    // The middle of every step of the table: no rounding can move it, so every code must be the same.
    let steps = 0..=u16::MAX;
    cases.push(Case {
        name: "every step of the encoding table".to_owned(),
        frame: steps
            .clone()
            .map(|step| [f32::from(step) / 65535.0, 0.0, 1.0, 1.0])
            .collect(),
        photo: steps.map(|_| [0; 3]).collect(),
    });
    cases
}
