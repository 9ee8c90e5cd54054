//! What a part of a figure is: a closed list of plain words, and the colours that each usually has.
//!
//! The ranges are common practice, no source: what painters call "looks like leather" on a tabletop figure, as wide as they
//! would allow. They hold for the dried colour, averaged over the part, in full light. Their limits were set by eye on proposed
//! schemes for three figures, and not yet judged on others.

use velatura_document::{Choice, words_of};
use velatura_optics::colour::Lab;

/// What a part is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Material {
    /// The skin of people.
    Skin,
    /// Hair, beards, fur.
    Hair,
    /// Cloth: any colour.
    Cloth,
    /// Leather.
    Leather,
    /// Wood.
    Wood,
    /// Metal.
    Metal,
    /// Bone, horn, teeth.
    Bone,
    /// Stone.
    Stone,
    /// Leaves, grass, reed, straw.
    Plant,
    /// Light: a lamp, a flame.
    Glow,
}

/// The words in a figure file.
pub(crate) const MATERIALS: [Choice<Material>; 10] = [
    Choice {
        word: "skin",
        about: "the skin of people",
        value: Material::Skin,
    },
    Choice {
        word: "hair",
        about: "hair, a beard or fur",
        value: Material::Hair,
    },
    Choice {
        word: "cloth",
        about: "cloth, in any colour: it carries the scheme",
        value: Material::Cloth,
    },
    Choice {
        word: "leather",
        about: "leather",
        value: Material::Leather,
    },
    Choice {
        word: "wood",
        about: "wood",
        value: Material::Wood,
    },
    Choice {
        word: "metal",
        about: "metal: steel, brass, copper or gold",
        value: Material::Metal,
    },
    Choice {
        word: "bone",
        about: "bone, horn or teeth",
        value: Material::Bone,
    },
    Choice {
        word: "stone",
        about: "stone",
        value: Material::Stone,
    },
    Choice {
        word: "plant",
        about: "leaves, grass, reed or straw",
        value: Material::Plant,
    },
    Choice {
        word: "glow",
        about: "a lamp or a flame",
        value: Material::Glow,
    },
];

/// The same, for a field's declaration.
pub(crate) const MATERIAL_WORDS: [(&str, &str); 10] = words_of(&MATERIALS);

/// A range of colours in CIELAB.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColourRange {
    /// Least and most L\*.
    pub lightness: [f64; 2],
    /// Least and most chroma, √(a\*² + b\*²).
    pub chroma: [f64; 2],
    /// First and last hue in degrees from red over yellow; every hue where the first is 0 and the last 360. A first hue above the
    /// last means the way over 0. Colours with a chroma below [`NO_HUE`] have no hue.
    pub hue: [f64; 2],
}

/// Chroma below which a colour counts as grey.
pub const NO_HUE: f64 = 3.0;

const fn range(lightness: [f64; 2], chroma: [f64; 2], hue: [f64; 2]) -> ColourRange {
    ColourRange {
        lightness,
        chroma,
        hue,
    }
}

pub(crate) const EVERY_HUE: [f64; 2] = [0.0, 360.0];

/// The colours of each material, one range or several; none for any colour. Common practice, no source; narrowed after forty
/// explored schemes on three figures were viewed, and twice more after ninety had been judged blind. Skin covers what measured
/// faces of people have, about L\* 30 to 75, chroma 15 to 30 and hue 45 to 70° (from memory), and what painters add in light and
/// warmth.
const NATURAL: [(Material, &[ColourRange]); 10] = [
    (
        Material::Skin,
        &[range([30.0, 82.0], [18.0, 34.0], [48.0, 67.0])],
    ),
    (
        Material::Hair,
        // Black to white, and brown, red and fair.
        &[
            range([4.0, 92.0], [0.0, 3.0], EVERY_HUE),
            range([8.0, 48.0], [5.0, 42.0], [48.0, 95.0]),
            // Light hair is yellow: what is nearer to red looks like skin.
            range([48.0, 92.0], [2.0, 42.0], [70.0, 95.0]),
        ],
    ),
    (Material::Cloth, &[]),
    (
        Material::Leather,
        // Black, then tanned.
        &[
            range([4.0, 32.0], [0.0, 5.0], [30.0, 110.0]),
            range([8.0, 58.0], [10.0, 42.0], [48.0, 88.0]),
        ],
    ),
    (
        Material::Wood,
        &[
            range([10.0, 52.0], [6.0, 38.0], [56.0, 98.0]),
            // Light wood is yellow, too.
            range([52.0, 80.0], [6.0, 38.0], [70.0, 98.0]),
            // Weathered.
            range([22.0, 72.0], [0.0, 4.0], EVERY_HUE),
        ],
    ),
    (
        Material::Metal,
        // Steel, then copper, then brass and gold.
        &[
            range([8.0, 94.0], [0.0, 9.0], EVERY_HUE),
            range([18.0, 68.0], [8.0, 45.0], [45.0, 68.0]),
            range([25.0, 90.0], [8.0, 66.0], [68.0, 98.0]),
        ],
    ),
    (
        Material::Bone,
        &[range([52.0, 96.0], [2.0, 32.0], [58.0, 110.0])],
    ),
    (
        Material::Stone,
        &[
            range([12.0, 92.0], [0.0, 9.0], EVERY_HUE),
            range([25.0, 88.0], [6.0, 24.0], [45.0, 110.0]),
        ],
    ),
    (
        Material::Plant,
        &[range([12.0, 86.0], [8.0, 46.0], [72.0, 140.0])],
    ),
    (
        Material::Glow,
        // A flame, then white light.
        &[
            range([44.0, 100.0], [18.0, 110.0], [40.0, 105.0]),
            range([78.0, 100.0], [0.0, 18.0], EVERY_HUE),
        ],
    ),
];

impl Material {
    /// All, in the order of the list.
    pub const ALL: [Self; 10] = [
        Self::Skin,
        Self::Hair,
        Self::Cloth,
        Self::Leather,
        Self::Wood,
        Self::Metal,
        Self::Bone,
        Self::Stone,
        Self::Plant,
        Self::Glow,
    ];

    /// Its word in a figure file.
    #[must_use]
    pub fn word(self) -> &'static str {
        velatura_document::word_for(&MATERIALS, &self)
    }

    /// The colours that it usually has; empty for any colour.
    ///
    /// # Panics
    /// Never: every material has an entry.
    #[must_use]
    pub fn natural(self) -> &'static [ColourRange] {
        let own = NATURAL.iter().find(|(material, _)| *material == self);
        own.expect("every material has an entry").1
    }

    /// How far a colour is outside the natural colours, in units of CIELAB; 0 inside, and for cloth.
    #[must_use]
    pub fn unnatural(self, colour: Lab) -> f64 {
        outside_all(self.natural(), colour)
    }
}

/// How far a colour is outside the nearest of several ranges, in units of CIELAB; 0 without any.
pub(crate) fn outside_all<'a>(
    ranges: impl IntoIterator<Item = &'a ColourRange>,
    colour: Lab,
) -> f64 {
    let outside = ranges.into_iter().map(|range| range.outside(colour));
    outside.min_by(f64::total_cmp).unwrap_or(0.0)
}

impl ColourRange {
    /// How far a colour is outside: along L\* and chroma, and along the hue as an arc of the colour's chroma.
    #[must_use]
    pub fn outside(&self, Lab([lightness, a, b]): Lab) -> f64 {
        let beyond =
            |[least, most]: [f64; 2], value: f64| (least - value).max(value - most).max(0.0);
        let chroma = libm::hypot(a, b);
        let degrees = match chroma < NO_HUE || self.hue == EVERY_HUE {
            true => 0.0,
            false => {
                let hue = libm::atan2(b, a).to_degrees().rem_euclid(360.0);
                let turn = |to: f64| {
                    let turn = (hue - to).rem_euclid(360.0);
                    turn.min(360.0 - turn)
                };
                let [first, last] = self.hue;
                let inside = match first <= last {
                    true => (first..=last).contains(&hue),
                    false => hue >= first || hue <= last,
                };
                match inside {
                    true => 0.0,
                    false => turn(first).min(turn(last)),
                }
            }
        };
        let arc = degrees.to_radians() * chroma;
        libm::hypot(
            libm::hypot(
                beyond(self.lightness, lightness),
                beyond(self.chroma, chroma),
            ),
            arc,
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use velatura_optics::colour::Encoded;

    fn off(material: Material, hex: &str) -> f64 {
        material.unnatural(hex.parse::<Encoded>().unwrap().lab())
    }

    #[test]
    fn what_painters_use_for_a_material_is_natural_and_what_they_do_not_is_not() {
        // Common practice, no source; the codes are invented.
        let natural = [
            (Material::Skin, ["#e8b998", "#8a5a3c", "#c08868"]),
            (Material::Hair, ["#1c1a18", "#8a5a2a", "#d8d4cc"]),
            (Material::Leather, ["#5e4128", "#2a2320", "#8f6038"]),
            (Material::Wood, ["#7a5a38", "#b09468", "#8a8478"]),
            (Material::Metal, ["#9aa0a6", "#b08d4a", "#3a3c40"]),
            (Material::Bone, ["#d8cba8", "#e8e0cc", "#b8a680"]),
            (Material::Stone, ["#808080", "#a89c88", "#4a4c50"]),
            (Material::Plant, ["#5a7d46", "#a8a050", "#2f4a28"]),
            (Material::Glow, ["#f8e088", "#f0a040", "#fff4d8"]),
            (Material::Cloth, ["#ff00ff", "#00ff00", "#000000"]),
        ];
        for (material, codes) in natural {
            for hex in codes {
                assert!(
                    off(material, hex) < 1e-9,
                    "{material:?} {hex}: {}",
                    off(material, hex)
                );
            }
        }
        let unnatural = [
            (Material::Skin, ["#6a9a5a", "#8a70b0", "#f0f0f0"]),
            (Material::Hair, ["#5a9a5a", "#4060c0", "#b03080"]),
            (Material::Leather, ["#f0f0f0", "#3060b0", "#40a050"]),
            (Material::Wood, ["#7050a0", "#3080b0", "#c03030"]),
            (Material::Metal, ["#c02060", "#30a040", "#4040c0"]),
            (Material::Bone, ["#302820", "#a04040", "#5070c0"]),
            (Material::Stone, ["#c04040", "#40a040", "#4050c0"]),
            (Material::Plant, ["#c03050", "#4050c0", "#101010"]),
            (Material::Glow, ["#202020", "#3050c0", "#206030"]),
        ];
        for (material, codes) in unnatural {
            for hex in codes {
                assert!(
                    off(material, hex) > 3.0,
                    "{material:?} {hex}: {}",
                    off(material, hex)
                );
            }
        }
    }

    #[test]
    fn a_range_of_hues_may_pass_zero() {
        let red = range([0.0, 100.0], [0.0, 100.0], [340.0, 20.0]);
        let off = |degrees: f64| {
            let (sin, cos) = degrees.to_radians().sin_cos();
            red.outside(Lab([50.0, 40.0 * cos, 40.0 * sin]))
        };
        for inside in [340.0, 350.0, 0.0, 10.0, 20.0] {
            assert!(off(inside) < 1e-9, "{inside}: {}", off(inside));
        }
        // An arc of 20° at a chroma of 40, on either side.
        let arc = 20_f64.to_radians() * 40.0;
        assert!((off(40.0) - arc).abs() < 1e-9 && (off(320.0) - arc).abs() < 1e-9);
    }

    #[test]
    fn the_list_the_words_and_the_ranges_have_the_same_order() {
        for (index, material) in Material::ALL.into_iter().enumerate() {
            assert_eq!(MATERIALS[index].value, material);
            assert_eq!(NATURAL[index].0, material);
        }
    }
}
