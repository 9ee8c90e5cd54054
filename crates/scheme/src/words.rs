//! The words of `schemes.toml` for undercoats, varnishes and places: read, written and reported from one list.

use velatura_document::Choice;
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
pub const UNDERCOATS: [Choice<SimulatedUndercoat>; 4] = [
    Choice {
        word: "as-photographed",
        about: "the undercoat of the photo",
        value: SimulatedUndercoat::AsPhotographed,
    },
    Choice {
        word: "white-with-wash",
        about: "white primer with a dark wash in the recesses",
        value: SimulatedUndercoat::WhiteWithWash,
    },
    Choice {
        word: "plain-white",
        about: "one flat white primer",
        value: SimulatedUndercoat::PlainWhite,
    },
    Choice {
        word: "black-to-white",
        about: "black primer, drybrushed up to white",
        value: SimulatedUndercoat::BlackToWhite,
    },
];

/// Words for varnishes.
pub const VARNISHES: [Choice<Varnish>; 3] = [
    Choice {
        word: "matte",
        about: "shows the paint as its drawdown dried",
        value: Varnish::Matte,
    },
    Choice {
        word: "satin",
        about: "half way to gloss",
        value: Varnish::Satin,
    },
    Choice {
        word: "gloss",
        about: "deep darks, and highlights of the lamp",
        value: Varnish::Gloss,
    },
];

/// Words for where a coat is.
pub const PLACES: [Choice<Where>; 5] = [
    Choice {
        word: "all",
        about: "everywhere",
        value: Where::All,
    },
    Choice {
        word: "recesses",
        about: "only in the hollows",
        value: Where::Recesses,
    },
    Choice {
        word: "raised",
        about: "only on edges and bulges",
        value: Where::Raised,
    },
    Choice {
        word: "upper",
        about: "everywhere but in the hollows",
        value: Where::Upper,
    },
    Choice {
        word: "edges",
        about: "a thin line along the ridges that stand out brightest, `width_mm` wide",
        value: Where::Edges,
    },
];

#[cfg(test)]
mod tests {
    use velatura_document::word_for;

    use super::*;

    #[test]
    fn every_word_is_found_again_by_what_it_means() {
        for choice in UNDERCOATS {
            assert_eq!(word_for(&UNDERCOATS, &choice.value), choice.word);
        }
        for choice in VARNISHES {
            assert_eq!(word_for(&VARNISHES, &choice.value), choice.word);
        }
        for choice in PLACES {
            assert_eq!(word_for(&PLACES, &choice.value), choice.word);
        }
    }
}
