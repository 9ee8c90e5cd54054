//! Inputs of `finish` that run through twin and device.
//!
//! Not covered: NaN and ∞, which WGSL lets a device assume never occur.

use super::Params;
use crate::dice::Dice;
use crate::{PLANE_MAX, Pixel};

/// Largest difference between twin and device, absolute up to 1 and relative above: a device's division may be off by 2.5 units
/// in the last place (WGSL's accuracy table, from memory). `README.md` has the error reached.
pub const TOLERANCE: f32 = 2e-6;

/// A piece of the WGSL text, and a change to it that must fail.
pub const MUST_FAIL: (&str, &str) = ("SHEEN_FROM: f32 = 0.6", "SHEEN_FROM: f32 = 0.6002");

/// A frame, its planes, and how it is finished.
#[derive(Debug, Clone)]
pub struct Case {
    /// Its purpose.
    pub name: String,
    /// How it is finished.
    pub params: Params,
    /// One per pixel.
    pub relief: Vec<u16>,
    /// One per pixel, in units of [`LIGHT_UNIT`].
    pub light: Vec<u16>,
    /// One per pixel.
    pub frame: Vec<Pixel>,
}

/// Light per unit of the cases' light planes.
pub const LIGHT_UNIT: f32 = 1.0 / 32768.0;

/// Rec. ITU-R BT.709-6, item 3.2: a grey eye.
pub const GREY: [[f32; 3]; 3] = [[0.2126, 0.7152, 0.0722]; 3];

/// A matrix with negative parts, like those of colour-vision deficiencies. Invented; its rows sum to 1.
pub const ODD_EYE: [[f32; 3]; 3] = [[0.2, 1.0, -0.2], [0.1, 0.8, 0.1], [0.0, -0.1, 1.1]];

/// All finishes in the cases.
#[must_use]
pub fn finishes() -> Vec<Params> {
    vec![
        Params::MATTE,
        Params::SATIN,
        Params::GLOSS,
        Params::MATTE.seen_through(GREY),
        Params::GLOSS.seen_through(ODD_EYE),
    ]
}

/// All cases.
#[must_use]
pub fn cases() -> Vec<Case> {
    let mut cases = Vec::new();
    for (index, params) in finishes().into_iter().enumerate() {
        for pixels in [1_u64, 67, 64, 8191] {
            let mut dice = Dice::new(pixels + index as u64);
            cases.push(Case {
                name: format!("{pixels} pixels, finish {index}"),
                params,
                relief: (0..pixels).map(|_| dice.word()).collect(),
                light: (0..pixels).map(|_| dice.word()).collect(),
                frame: (0..pixels)
                    .map(|_| {
                        let covered = if dice.byte() < 200 { 1.0 } else { 0.0 };
                        let mut channel = || dice.share() * 1.3 - 0.1;
                        [channel(), channel(), channel(), covered]
                    })
                    .collect(),
            });
        }
        cases.push(ends(params, index));
    }
    cases
}

/// No light, little light, much light; flat and raised; channels at their ends.
fn ends(params: Params, index: usize) -> Case {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share of the plane"
    )]
    let edge = (super::SHEEN_FROM * PLANE_MAX) as u16;
    let mut case = Case {
        name: format!("ends, finish {index}"),
        params,
        relief: Vec::new(),
        light: Vec::new(),
        frame: Vec::new(),
    };
    for light in [0, 1, 32768, 65535] {
        for relief in [0, edge, edge + 1, 65535] {
            for channel in [0.0, -0.0, 1e-30, 0.5, 1.0, 2.0, -0.2] {
                case.light.push(light);
                case.relief.push(relief);
                // Dark enough for little light: reflectance stays below 2.
                let lit = channel * f32::from(light) * LIGHT_UNIT;
                case.frame.push([lit, lit / 2.0, lit, 1.0]);
            }
        }
    }
    case
}
