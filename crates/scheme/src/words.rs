//! The words of `schemes.toml` for undercoats, varnishes and places: read, written and reported from one list.

use velatura_figure::SimulatedUndercoat;
use velatura_optics::coat::Where;

/// The varnish over a scheme.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Varnish {
    /// The paint as its drawdown dried.
    #[default]
    Matte,
    /// Half way to gloss.
    Satin,
    /// Deep darks and highlights of the lamp.
    Gloss,
}

/// Words for undercoats.
pub const UNDERCOATS: [(&str, SimulatedUndercoat); 4] = [
    ("as-photographed", SimulatedUndercoat::AsPhotographed),
    ("white-with-wash", SimulatedUndercoat::WhiteWithWash),
    ("plain-white", SimulatedUndercoat::PlainWhite),
    ("black-to-white", SimulatedUndercoat::BlackToWhite),
];

/// Words for varnishes.
pub const VARNISHES: [(&str, Varnish); 3] = [
    ("matte", Varnish::Matte),
    ("satin", Varnish::Satin),
    ("gloss", Varnish::Gloss),
];

/// Words for where a coat is.
pub const PLACES: [(&str, Where); 4] = [
    ("all", Where::All),
    ("recesses", Where::Recesses),
    ("raised", Where::Raised),
    ("upper", Where::Upper),
];

/// The word for one of the values in [`UNDERCOATS`], [`VARNISHES`] or [`PLACES`].
///
/// # Panics
/// If the list does not have it; those three have every value of their type.
#[must_use]
pub fn word_for<T: PartialEq>(words: &[(&'static str, T)], value: &T) -> &'static str {
    words
        .iter()
        .find_map(|(word, meant)| (meant == value).then_some(*word))
        .expect("every value has a word")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_is_found_again_by_what_it_means() {
        for (word, meant) in UNDERCOATS {
            assert_eq!(word_for(&UNDERCOATS, &meant), word);
        }
        for (word, meant) in VARNISHES {
            assert_eq!(word_for(&VARNISHES, &meant), word);
        }
        for (word, meant) in PLACES {
            assert_eq!(word_for(&PLACES, &meant), word);
        }
    }
}
