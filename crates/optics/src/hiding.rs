//! How well a paint hides what is below it, and how it looks in thick and thin films.
//!
//! In: measurements of a film over the black and the white card, or K and S. Out: the contrast ratio, 0…1, the painter's word
//! for it, masstone and undertone. Source of the ratio: ISO 6504-3, Y over black divided by Y over white; Y as in
//! [`luminance`]. Not here: missing data (`paint_report.rs`).

use crate::calibrate::smoothest_spectrum;
use crate::coat::reflectance;
use crate::colour::{Encoded, Linear, luminance};
use crate::paint::Optics;
use crate::paints_file::{Given, OPACITY_WORDS};
use crate::spectrum::{Spectrum, colour};
use crate::surface::Specular;

/// The thin film whose colour over white is called undertone: a quarter of the drawdown. One part of paint with three
/// parts of medium, a usual glaze, leaves as much paint in a film as thick as the drawdown. Our choice: the trade only
/// says "thin".
pub const UNDERTONE_FILM: f64 = 0.25;

/// A film so thick that nothing below shows, for every paint that absorbs or scatters at all.
const THICK_FILM: f64 = 1e4;

/// Y over black divided by Y over white (ISO 6504-3). A film that is black over both cards hides everything: 1.
#[must_use]
pub fn contrast_ratio(over_black: Linear, over_white: Linear) -> f64 {
    let (dark, light) = (luminance(over_black), luminance(over_white));
    if light > 0.0 { dark / light } else { 1.0 }
}

/// The contrast ratio from the data of a paint; for a chip, the stated one.
#[must_use]
pub fn given_contrast_ratio(given: &Given) -> f64 {
    match given {
        Given::Drawdown(pair) => contrast_ratio(pair.over_black.linear(), pair.over_white.linear()),
        Given::Spectrum(measured) => {
            contrast_ratio(colour(&measured.over_black), colour(&measured.over_white))
        }
        Given::Chip { contrast_ratio, .. } => *contrast_ratio,
    }
}

/// The painter's word whose ratio is nearest.
#[must_use]
pub fn opacity_word(contrast_ratio: f64) -> &'static str {
    let off = |ratio: f64| (ratio - contrast_ratio).abs();
    OPACITY_WORDS
        .iter()
        .min_by(|a, b| off(a.value).total_cmp(&off(b.value)))
        .map_or("", |choice| choice.word)
}

/// Colour of the paint so thick that nothing below shows.
#[must_use]
pub fn masstone(optics: &Optics, specular: Specular) -> Linear {
    let nothing: Spectrum = smoothest_spectrum(Linear::grey(0.5));
    colour(&reflectance(&optics.film(THICK_FILM), &nothing, specular))
}

/// Colour of a film of [`UNDERTONE_FILM`] over the white card.
#[must_use]
pub fn undertone(optics: &Optics, white_card: Encoded, specular: Specular) -> Linear {
    let card = smoothest_spectrum(white_card.linear());
    colour(&reflectance(&optics.film(UNDERTONE_FILM), &card, specular))
}

#[cfg(test)]
mod tests {
    use velatura_document::Choice;

    use super::*;
    use crate::paints_file::Pair;
    use crate::spectrum::BANDS;

    fn pair(over_black: &str, over_white: &str) -> Given {
        Given::Drawdown(Pair {
            over_black: over_black.parse().unwrap(),
            over_white: over_white.parse().unwrap(),
        })
    }

    #[test]
    fn the_contrast_ratio_is_y_over_black_by_y_over_white_on_linear_light() {
        // ISO 6504-3 defines the ratio, ITU-R BT.709 the weights, IEC 61966-2-1 the decoding: written out here by hand.
        let y = |codes: [u8; 3]| -> f64 {
            codes
                .iter()
                .zip([0.2126, 0.7152, 0.0722])
                .map(|(code, weight)| {
                    weight * libm::pow((f64::from(*code) / 255.0 + 0.055) / 1.055, 2.4)
                })
                .sum()
        };
        let direct = y([0x4d, 0x37, 0x18]) / y([0xf4, 0xa5, 0x20]);
        let ours = given_contrast_ratio(&pair("#4d3718", "#f4a520"));
        assert!((ours - direct).abs() < 1e-6, "{ours} {direct}");
        // Must fail: the same weights on encoded values.
        let encoded = |codes: [u8; 3]| -> f64 {
            codes
                .iter()
                .zip([0.2126, 0.7152, 0.0722])
                .map(|(code, weight)| weight * f64::from(*code))
                .sum()
        };
        let wrong = encoded([0x4d, 0x37, 0x18]) / encoded([0xf4, 0xa5, 0x20]);
        assert!((ours - wrong).abs() > 0.1, "{ours} {wrong}");
        // Must fail: black and white swapped.
        assert!((ours - given_contrast_ratio(&pair("#f4a520", "#4d3718"))).abs() > 1.0);
        assert!((contrast_ratio(Linear::grey(0.0), Linear::grey(0.0)) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn each_word_is_nearest_to_its_own_ratio() {
        for Choice { word, about, value } in OPACITY_WORDS {
            assert_eq!(opacity_word(value), word);
            assert_eq!(about, format!("a contrast ratio of {value:.2}"));
        }
        assert_eq!(
            (opacity_word(0.0), opacity_word(1.0)),
            ("transparent", "opaque")
        );
    }

    #[test]
    fn masstone_is_the_limit_of_thick_films_and_undertone_lies_towards_the_card() {
        let optics = Optics {
            k: std::array::from_fn(|band| if band < 15 { 2.0 } else { 0.05 }),
            s: [0.4; BANDS],
        };
        let white: Encoded = "#f4f2ee".parse().unwrap();
        let specular = Specular::Excluded;
        // 1 + K/S − √((K/S)² + 2K/S), Kubelka–Munk 1931, in one band, and then the surface.
        let ratio: f64 = 2.0 / 0.4;
        let inside = 1.0 + ratio - (ratio * ratio + 2.0 * ratio).sqrt();
        let thick = reflectance(&optics.film(THICK_FILM), &[0.5; BANDS], specular)[0];
        assert!((thick - specular.measured(inside)).abs() < 1e-12);
        let y = |colour: Linear| luminance(colour);
        let (mass, under) = (
            masstone(&optics, specular),
            undertone(&optics, white, specular),
        );
        assert!(y(mass) < y(under) && y(under) < luminance(white.linear()));
        // Must fail: a film as thick as the drawdown is not an undertone.
        let card = smoothest_spectrum(white.linear());
        let drawdown = colour(&reflectance(&optics.film(1.0), &card, specular));
        assert!(y(drawdown) < y(under) - 0.05);
    }
}
