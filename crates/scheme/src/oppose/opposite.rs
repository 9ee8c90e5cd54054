//! The opposite of a colour: four definitions.

use palette::convert::FromColorUnclamped;
use palette::{LinSrgb, Oklab};
use velatura_optics::colour::{Encoded, Lab, Linear, decode, encode};

/// How a colour is inverted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// The photographic negative: 255 minus every encoded sRGB channel.
    Negative,
    /// The opposite hue, lightness and chroma kept.
    Hue(HueSpace),
    /// The mirrored lightness (100 − L\*), hue and chroma kept, in CIELAB.
    Lightness,
    /// Opposite hue and mirrored lightness, in this space.
    Both(HueSpace),
}

/// The colour space in which hue is an angle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HueSpace {
    /// CIELAB (CIE 15).
    Cielab,
    /// `OKLCh` (Ottosson 2020, "A perceptual color space for image processing"): blues stay blue along their chroma.
    Oklch,
}

/// The opposite of a dried colour. It may be outside sRGB: nothing is clipped except before a negative is taken.
#[must_use]
pub fn opposite(dried: Linear, way: Way) -> Lab {
    let Lab([lightness, a, b]) = dried.lab();
    match way {
        Way::Negative => {
            let negative = dried
                .0
                .map(|channel| decode(1.0 - encode(channel.clamp(0.0, 1.0))));
            Linear(negative).lab()
        }
        Way::Hue(HueSpace::Cielab) => Lab([lightness, -a, -b]),
        Way::Lightness => Lab([100.0 - lightness, a, b]),
        Way::Both(HueSpace::Cielab) => Lab([100.0 - lightness, -a, -b]),
        Way::Hue(HueSpace::Oklch) => in_oklab(dried, |Oklab { l, a, b }| Oklab::new(l, -a, -b)),
        // Lightness is mirrored in CIELAB here too, so that both spaces mean the same by it.
        Way::Both(HueSpace::Oklch) => {
            let Lab([_, a, b]) = in_oklab(dried, |Oklab { l, a, b }| Oklab::new(l, -a, -b));
            Lab([100.0 - lightness, a, b])
        }
    }
}

fn in_oklab(colour: Linear, turned: impl Fn(Oklab<f64>) -> Oklab<f64>) -> Lab {
    let [red, green, blue] = colour.0;
    let turned = turned(Oklab::from_color_unclamped(LinSrgb::<f64>::new(
        red, green, blue,
    )));
    let LinSrgb {
        red, green, blue, ..
    } = LinSrgb::<f64>::from_color_unclamped(turned);
    Linear([red, green, blue]).lab()
}

/// The codes that come nearest to a colour, and whether they show it exactly.
#[must_use]
pub fn shown(colour: Lab) -> (Encoded, bool) {
    let linear = colour.linear();
    (linear.encoded(), linear.in_gamut())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lab(hex: &str) -> Lab {
        hex.parse::<Encoded>().unwrap().lab()
    }

    fn of(hex: &str, way: Way) -> Lab {
        opposite(hex.parse::<Encoded>().unwrap().linear(), way)
    }

    /// Degrees from red over yellow.
    fn hue(Lab([_, a, b]): Lab) -> f64 {
        libm::atan2(b, a).to_degrees().rem_euclid(360.0)
    }

    fn near(a: Lab, b: Lab) -> bool {
        a.0.iter().zip(b.0).all(|(a, b)| (a - b).abs() < 1e-6)
    }

    #[test]
    fn a_negative_is_the_codes_from_255_and_its_own_negative() {
        for (hex, negative) in [
            ("#3cb44b", "#c34bb4"),
            ("#ffffff", "#000000"),
            ("#102030", "#efdfcf"),
        ] {
            assert!(near(of(hex, Way::Negative), lab(negative)), "{hex}");
            assert!(near(of(negative, Way::Negative), lab(hex)), "{hex}");
        }
        // Must fail: the negative of linear light is another colour.
        let linear = Linear(
            "#3cb44b"
                .parse::<Encoded>()
                .unwrap()
                .linear()
                .0
                .map(|c| 1.0 - c),
        );
        assert!(!near(linear.lab(), lab("#c34bb4")));
    }

    #[test]
    fn lightness_and_chroma_stay_where_only_the_hue_turns() {
        for hex in ["#3cb44b", "#d07a20", "#402060"] {
            let (own, turned) = (lab(hex), of(hex, Way::Hue(HueSpace::Cielab)));
            assert!((own.0[0] - turned.0[0]).abs() < 1e-9);
            assert!(((hue(own) - hue(turned)).rem_euclid(360.0) - 180.0).abs() < 1e-6);
            let mirrored = of(hex, Way::Lightness);
            assert!((own.0[0] + mirrored.0[0] - 100.0).abs() < 1e-9);
            assert!((hue(own) - hue(mirrored)).abs() < 1e-9);
            // OKLCh keeps its own lightness; inverted twice it is the same colour.
            let once = of(hex, Way::Hue(HueSpace::Oklch)).linear();
            let twice = opposite(once, Way::Hue(HueSpace::Oklch));
            // The published matrices have ten digits and are not exactly each other's inverse; the error is 2e-4.
            let miss = (0..3).fold(0.0_f64, |worst, i| worst.max((twice.0[i] - own.0[i]).abs()));
            assert!(miss < 1e-3, "{hex}: {miss}");
        }
    }

    #[test]
    fn grey_has_no_opposite_hue() {
        for space in [HueSpace::Cielab, HueSpace::Oklch] {
            let (own, turned) = (lab("#777777"), of("#777777", Way::Hue(space)));
            assert!(
                own.0
                    .iter()
                    .zip(turned.0)
                    .all(|(a, b)| (a - b).abs() < 1e-3),
                "{turned:?}"
            );
        }
    }
}
