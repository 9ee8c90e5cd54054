//! Plain words for colours, so that a person remembers a scheme.

use velatura_optics::colour::{Encoded, Lab, delta_e};

/// Words and a colour that each means. Common words; the codes are from memory, no source.
const WORDS: [(&str, [u8; 3]); 42] = [
    ("ink", [0x1c, 0x1f, 0x26]),
    ("charcoal", [0x36, 0x38, 0x3c]),
    ("slate", [0x58, 0x62, 0x6c]),
    ("ash grey", [0x80, 0x80, 0x7e]),
    ("fog", [0xae, 0xb2, 0xb2]),
    ("chalk", [0xe8, 0xe6, 0xe0]),
    ("cream", [0xe8, 0xdc, 0xb8]),
    ("bone", [0xcc, 0xbc, 0x98]),
    ("sand", [0xb8, 0xa0, 0x70]),
    ("straw", [0xd0, 0xb8, 0x68]),
    ("lemon", [0xe0, 0xd0, 0x50]),
    ("gold", [0xd8, 0xa8, 0x30]),
    ("amber", [0xc0, 0x80, 0x20]),
    ("ochre", [0x98, 0x70, 0x28]),
    ("orange", [0xd0, 0x68, 0x20]),
    ("rust", [0x98, 0x48, 0x20]),
    ("brick", [0x88, 0x38, 0x28]),
    ("scarlet", [0xb8, 0x28, 0x24]),
    ("wine", [0x60, 0x18, 0x28]),
    ("rose", [0xc0, 0x60, 0x70]),
    ("salmon", [0xd0, 0x90, 0x7c]),
    ("plum", [0x58, 0x30, 0x50]),
    ("violet", [0x68, 0x48, 0x90]),
    ("lilac", [0xa8, 0x90, 0xb8]),
    ("mauve", [0x80, 0x68, 0x80]),
    ("indigo", [0x30, 0x30, 0x68]),
    ("navy", [0x1c, 0x28, 0x48]),
    ("cobalt", [0x28, 0x50, 0xa0]),
    ("steel blue", [0x50, 0x70, 0x90]),
    ("sky", [0x90, 0xb0, 0xc8]),
    ("teal", [0x20, 0x60, 0x68]),
    ("turquoise", [0x48, 0xa0, 0xa0]),
    ("sea green", [0x48, 0x80, 0x68]),
    ("bottle green", [0x18, 0x40, 0x30]),
    ("moss", [0x50, 0x60, 0x30]),
    ("leaf green", [0x50, 0x88, 0x38]),
    ("sage", [0x90, 0xa0, 0x80]),
    ("olive", [0x70, 0x68, 0x28]),
    ("tan", [0x98, 0x78, 0x58]),
    ("chestnut", [0x6c, 0x40, 0x24]),
    ("umber", [0x48, 0x34, 0x24]),
    ("peat", [0x2c, 0x24, 0x1c]),
];

/// The word nearest to a colour that is not among `taken`.
pub(super) fn word(colour: Lab, taken: &[&str]) -> &'static str {
    let free = WORDS.iter().filter(|(word, _)| !taken.contains(word));
    let near = free.map(|(word, code)| (delta_e(Encoded(*code).lab(), colour), *word));
    near.min_by(|a, b| a.0.total_cmp(&b.0))
        .map_or("grey", |(_, word)| word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_get_the_word_that_people_use() {
        for (hex, expected) in [
            ("#000000", "ink"),
            ("#ffffff", "chalk"),
            ("#7f8180", "ash grey"),
            ("#ff0000", "scarlet"),
            ("#20305a", "navy"),
            ("#c88a28", "amber"),
        ] {
            let colour: Encoded = hex.parse().unwrap();
            assert_eq!(word(colour.lab(), &[]), expected, "{hex}");
        }
        let white = Encoded([255; 3]).lab();
        assert_ne!(word(white, &["chalk"]), "chalk");
    }

    #[test]
    fn every_word_is_the_nearest_to_its_own_colour() {
        for (own, code) in WORDS {
            assert_eq!(word(Encoded(code).lab(), &[]), own);
        }
    }
}
