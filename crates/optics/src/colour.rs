//! Colours as types, and the arithmetic between them: encoded sRGB, linear sRGB, XYZ, CIELAB, luminance, ΔE.
//!
//! The white point of every type is sRGB's D65. Encoding follows IEC 61966-2-1, CIELAB is CIE 15, luminance has the
//! weights of ITU-R BT.709 on linear light, ΔE is CIEDE2000 with kL = kC = kH = 1. `palette` does the conversions;
//! the types here keep bare triples out of public functions.

use std::fmt;
use std::str::FromStr;
use std::sync::LazyLock;

use nalgebra::{Matrix3, Vector3};
use palette::color_difference::Ciede2000;
use palette::convert::FromColorUnclamped;
use palette::white_point::{D65, WhitePoint};
use serde::{Serialize, Serializer};

/// Luminance weights on linear light (ITU-R BT.709-6, item 3.2).
pub const BT709: [f64; 3] = [0.2126, 0.7152, 0.0722];

/// Chromaticities x, y of red, green and blue, and of white (IEC 61966-2-1, table 1). Everything else follows.
const PRIMARIES: [[f64; 2]; 3] = [[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]];
const WHITE: [f64; 2] = [0.3127, 0.3290];

/// Linear sRGB → XYZ, derived from the chromaticities: rounded matrices in print differ by up to 2e-4 in Z.
static TO_XYZ: LazyLock<Matrix3<f64>> = LazyLock::new(|| {
    let column = |[x, y]: [f64; 2]| Vector3::new(x / y, 1.0, (1.0 - x - y) / y);
    let primaries = Matrix3::from_columns(&PRIMARIES.map(column));
    let amounts = primaries
        .lu()
        .solve(&column(WHITE))
        .expect("the primaries span the space");
    primaries * Matrix3::from_diagonal(&amounts)
});
static FROM_XYZ: LazyLock<Matrix3<f64>> =
    LazyLock::new(|| TO_XYZ.try_inverse().expect("the primaries span the space"));

/// An 8-bit sRGB colour as written in files, `#rrggbb`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Encoded(pub [u8; 3]);

/// Linear sRGB: 0…1 inside the gamut, below 0 or above 1 outside it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Linear(pub [f64; 3]);

/// CIE 1931 XYZ, Y of white = 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Xyz(pub [f64; 3]);

/// CIELAB under D65: L\* 0…100, a\*, b\*.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lab(pub [f64; 3]);

/// The linear value of an encoded one, both 0…1 (IEC 61966-2-1).
#[must_use]
pub fn decode(encoded: f64) -> f64 {
    if encoded <= 0.04045 {
        encoded / 12.92
    } else {
        libm::pow((encoded + 0.055) / 1.055, 2.4)
    }
}

/// The encoded value of a linear one, both 0…1 (IEC 61966-2-1).
#[must_use]
pub fn encode(linear: f64) -> f64 {
    if linear <= 0.003_130_8 {
        linear * 12.92
    } else {
        1.055 * libm::pow(linear, 1.0 / 2.4) - 0.055
    }
}

/// Relative luminance Y, 0…1, of linear light (ITU-R BT.709).
#[must_use]
pub fn luminance(linear: Linear) -> f64 {
    BT709
        .iter()
        .zip(linear.0)
        .map(|(weight, channel)| weight * channel)
        .sum()
}

/// CIEDE2000 between two colours (CIE 142; Sharma, Wu, Dalal 2005), all weights 1.
#[must_use]
pub fn delta_e(a: Lab, b: Lab) -> f64 {
    let lab = |c: Lab| palette::Lab::<D65, f64>::new(c.0[0], c.0[1], c.0[2]);
    lab(a).difference(lab(b))
}

impl Encoded {
    /// The linear colour of these codes.
    #[must_use]
    pub fn linear(self) -> Linear {
        Linear(self.0.map(|code| decode(f64::from(code) / 255.0)))
    }

    /// CIELAB of these codes.
    #[must_use]
    pub fn lab(self) -> Lab {
        self.linear().lab()
    }
}

impl Linear {
    /// A grey of a reflectance or luminance.
    #[must_use]
    pub fn grey(luminance: f64) -> Self {
        Self([luminance; 3])
    }

    /// The nearest codes. A colour outside the gamut is clipped channel by channel.
    #[must_use]
    pub fn encoded(self) -> Encoded {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to 0…255 just before"
        )]
        Encoded(
            self.0
                .map(|channel| (encode(channel.clamp(0.0, 1.0)) * 255.0).round() as u8),
        )
    }

    /// Whether the codes show this colour without clipping, within half a code value.
    #[must_use]
    pub fn in_gamut(self) -> bool {
        let slack = 0.5 / 255.0;
        self.0.iter().all(|channel| {
            let encoded = encode(channel.max(-1.0));
            encoded >= -slack && encoded <= 1.0 + slack
        })
    }

    /// XYZ with Y of white = 1.
    #[must_use]
    pub fn xyz(self) -> Xyz {
        Xyz((*TO_XYZ * Vector3::from(self.0)).into())
    }

    /// CIELAB.
    #[must_use]
    pub fn lab(self) -> Lab {
        // palette rounds its own D65 differently. CIELAB only depends on the ratio to white.
        let white = palette_white();
        let [x, y, z] = self.xyz().0;
        let [white_x, white_y, white_z] = Self::grey(1.0).xyz().0;
        let xyz = palette::Xyz::<D65, f64>::new(
            x / white_x * white.x,
            y / white_y * white.y,
            z / white_z * white.z,
        );
        let lab = palette::Lab::from_color_unclamped(xyz);
        Lab([lab.l, lab.a, lab.b])
    }
}

impl Xyz {
    /// The linear sRGB colour; outside the gamut if the XYZ is.
    #[must_use]
    pub fn linear(self) -> Linear {
        Linear((*FROM_XYZ * Vector3::from(self.0)).into())
    }
}

impl Lab {
    /// The linear sRGB colour; outside the gamut if the Lab is.
    #[must_use]
    pub fn linear(self) -> Linear {
        let white = palette_white();
        let xyz = palette::Xyz::from_color_unclamped(palette::Lab::<D65, f64>::new(
            self.0[0], self.0[1], self.0[2],
        ));
        let [white_x, white_y, white_z] = Linear::grey(1.0).xyz().0;
        Xyz([
            xyz.x / white.x * white_x,
            xyz.y / white.y * white_y,
            xyz.z / white.z * white_z,
        ])
        .linear()
    }
}

fn palette_white() -> palette::Xyz<D65, f64> {
    <D65 as WhitePoint<f64>>::get_xyz().with_white_point()
}

impl FromStr for Encoded {
    type Err = NotAColour;

    fn from_str(text: &str) -> Result<Self, NotAColour> {
        let digits = text
            .strip_prefix('#')
            .filter(|d| d.len() == 6 && d.bytes().all(|b| b.is_ascii_hexdigit()));
        let number = digits
            .and_then(|digits| u32::from_str_radix(digits, 16).ok())
            .ok_or(NotAColour)?;
        let [_, red, green, blue] = number.to_be_bytes();
        Ok(Self([red, green, blue]))
    }
}

/// A text is not of the form `#rrggbb`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("not a colour of the form #rrggbb")]
pub struct NotAColour;

impl fmt::Display for Encoded {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [red, green, blue] = self.0;
        write!(f, "#{red:02x}{green:02x}{blue:02x}")
    }
}

impl Serialize for Encoded {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_survives_the_round_trip() {
        for code in 0..=255 {
            let grey = Encoded([code; 3]);
            assert_eq!(grey.linear().encoded(), grey, "code {code}");
        }
    }

    #[test]
    fn luminance_has_the_bt709_weights_on_linear_light_only() {
        // ITU-R BT.709-6 item 3.2; primaries and secondaries follow by addition.
        let cases = [
            ("#ff0000", 0.2126),
            ("#00ff00", 0.7152),
            ("#0000ff", 0.0722),
            ("#ffff00", 0.9278),
            ("#00ffff", 0.7874),
            ("#ff00ff", 0.2848),
            ("#ffffff", 1.0),
            ("#000000", 0.0),
            // Mid grey: 0.5 encoded is 0.2140 linear (0.50196 for code 128 gives 0.21586).
            ("#808080", 0.215_860_5),
        ];
        for (hex, y) in cases {
            let colour: Encoded = hex.parse().unwrap();
            assert!((luminance(colour.linear()) - y).abs() < 1e-6, "{hex}");
        }
        // Must fail: the same weights on encoded values.
        let colour: Encoded = "#804020".parse().unwrap();
        let on_encoded: f64 = BT709
            .iter()
            .zip(colour.0)
            .map(|(w, c)| w * f64::from(c) / 255.0)
            .sum();
        assert!((on_encoded - luminance(colour.linear())).abs() > 0.1);
    }

    #[test]
    fn hex_codes_are_read_strictly() {
        assert_eq!("#E6194b".parse(), Ok(Encoded([0xe6, 0x19, 0x4b])));
        for wrong in ["e6194b", "#e6194", "#e6194bff", "#e619+b", "#é194b", ""] {
            assert_eq!(wrong.parse::<Encoded>(), Err(NotAColour), "{wrong}");
        }
    }

    #[test]
    fn lab_and_back_is_the_same_colour() {
        let colour = Linear([0.2, 0.5, 0.05]);
        let back = colour.lab().linear();
        for (a, b) in colour.0.iter().zip(back.0) {
            assert!((a - b).abs() < 1e-12, "{colour:?} {back:?}");
        }
    }
}
