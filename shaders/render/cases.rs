//! Inputs of `render` that run through the twins and the device: those of `apply`, finished in every way that `finish`
//! tries.

use crate::apply;
use crate::dice::Dice;
use crate::finish;

/// Largest share of pixels that may differ, by one code at most: the frames differ by up to a millionth of linear light
/// (`apply`, `finish`), the closest codes are 3e-4 apart, so about one value in 300 could fall on the other side if all were
/// that dark. `README.md` has the error reached.
pub const SHARE: f64 = 1e-3;

/// A piece of the WGSL text, and a change to it that must fail.
pub const MUST_FAIL: (&str, &str) = ("* params.light_unit", "* (params.light_unit * 1.001)");

/// Planes, photo, tables and finishes.
#[derive(Debug, Clone)]
pub struct Case {
    /// Planes and tables.
    pub applied: apply::cases::Case,
    /// The same number of pixels.
    pub photo: Vec<[u8; 3]>,
    /// One per scheme.
    pub finishes: Vec<finish::Params>,
}

/// All cases.
#[must_use]
pub fn cases() -> Vec<Case> {
    let mut dice = Dice::new(21);
    let finishes = finish::cases::finishes();
    apply::cases::cases()
        .into_iter()
        .enumerate()
        .map(|(index, applied)| Case {
            photo: (0..applied.region.len())
                .map(|_| std::array::from_fn(|_| dice.byte()))
                .collect(),
            finishes: (0..applied.schemes.len())
                .map(|scheme| finishes[(scheme + index) % finishes.len()])
                .collect(),
            applied,
        })
        .collect()
}
