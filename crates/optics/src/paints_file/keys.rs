//! The keys of `paints.toml`: what each means, what it may hold, and what applies without it.

use velatura_document::{Choice, Field, FileKind, Kind, Need, Preset, Range, Table, words_of};

use super::FORMAT;
use super::reflectance::{MOST, UNIT_WORDS, Unit};
use crate::surface::SPECULAR_WORDS;

/// Parts by volume of one paint in a mix. Within these ends sums and products of parts stay finite and above 0.
pub const PARTS: Range = Range::new(0.000_001, 1_000_000.0);

/// The painter's four words and the contrast ratio of each. From memory of common use, not a standard.
pub const OPACITY_WORDS: [Choice<f64>; 4] = [
    Choice {
        word: "transparent",
        about: "a contrast ratio of 0.10",
        value: 0.10,
    },
    Choice {
        word: "semi-transparent",
        about: "a contrast ratio of 0.35",
        value: 0.35,
    },
    Choice {
        word: "semi-opaque",
        about: "a contrast ratio of 0.70",
        value: 0.70,
    },
    Choice {
        word: "opaque",
        about: "a contrast ratio of 0.97",
        value: 0.97,
    },
];

/// What `paints.toml` may hold.
pub static PAINTS_FILE: FileKind = FileKind {
    name: "paints.toml",
    top: &PAINTS,
    example: include_str!("../../data/paints.toml"),
};

static PAINTS: Table = Table {
    about: "Paints, and the black and white cards that their drawdowns were brushed on.",
    fields: &[
        Field::format(FORMAT),
        Field::table("cards", &CARDS, Need::Must),
        Field {
            need: Need::Must,
            ..Field::tables("paint", &PAINT, 0, None)
        },
    ],
};

static CARDS: Table = Table {
    about: "The bare black and white cards, in the same photo as the drawdowns. Without a card of your own, the colours of \
            the examples are a usual start.",
    fields: &[
        Field {
            key: "black",
            kind: Kind::Colour,
            need: Need::Must,
            about: "The colour of the bare black card.",
            example: "\"#1c1c1c\"",
        },
        Field {
            key: "white",
            kind: Kind::Colour,
            need: Need::Must,
            about: "The colour of the bare white card.",
            example: "\"#f4f2ee\"",
        },
        Field {
            key: "specular",
            kind: Kind::Word(const { &words_of(&SPECULAR_WORDS) }),
            need: Need::May(
                "excluded if the luminance Y of the black card is below 0.04, else included",
            ),
            about: "Whether all colours of this file hold the surface's own reflection, about 4 %.",
            example: "\"excluded\"",
        },
    ],
};

/// Why a key of a drawdown may be missing.
const NO_DRAWDOWN: &str = "the paint is given as a spectrum or a chip";

static PAINT: Table = Table {
    about: "A paint, given in one of three ways: a drawdown (`over_black` and `over_white`), a spectrum \
            (`[paint.spectrum]`), or a chip (`colour` with `contrast_ratio` or `opacity`). A spectrum says most, a chip least.",
    fields: &[
        Field {
            key: "name",
            kind: Kind::Name,
            need: Need::Must,
            about: "What the paint is called; `medium` is taken, since clear glaze medium is always there.",
            example: "\"Oil Amber\"",
        },
        OWNED,
        Field {
            key: "metallic",
            kind: Kind::Flag,
            need: Need::Default(Preset::Flag(false)),
            about: "Whether the paint glints like metal. Pictures show its colour without the glint, and say so.",
            example: "true",
        },
        Field {
            key: "over_black",
            kind: Kind::Colour,
            need: Need::May(NO_DRAWDOWN),
            about: "The colour of the dried drawdown over the black card.",
            example: "\"#4d3718\"",
        },
        Field {
            key: "over_white",
            kind: Kind::Colour,
            need: Need::May(NO_DRAWDOWN),
            about: "The colour of the dried drawdown over the white card.",
            example: "\"#f4a520\"",
        },
        Field::tables("tint", &TINT, 0, None),
        Field::table(
            "spectrum",
            &SPECTRUM,
            Need::May("the paint is given as a drawdown or a chip"),
        ),
        Field {
            key: "colour",
            kind: Kind::Colour,
            need: Need::May("the paint is given as a drawdown or a spectrum"),
            about: "The colour of a chip: dried paint so thick that nothing below shows.",
            example: "\"#8a6f4e\"",
        },
        Field {
            key: "contrast_ratio",
            kind: Kind::Number(Range::new(0.0, 1.0)),
            need: Need::May("`opacity` says how well a chip hides"),
            about: "How well the paint of a chip hides: Y over black divided by Y over white (ISO 6504-3).",
            example: "0.62",
        },
        Field {
            key: "opacity",
            kind: Kind::Word(const { &words_of(&OPACITY_WORDS) }),
            need: Need::May("`contrast_ratio` says how well a chip hides"),
            about: "How well the paint of a chip hides, in a word; the ratios are from memory of common use and not a standard.",
            example: "\"semi-opaque\"",
        },
    ],
};

/// Whether the painter has a paint, here and in the layout of a card.
pub const OWNED: Field = Field {
    key: "owned",
    kind: Kind::Flag,
    need: Need::Default(Preset::Flag(true)),
    about: "Whether you have the paint.",
    example: "false",
};

/// The parts of a tint, here and in the layout of a card.
pub const TINT_PARTS: Field = Field {
    key: "parts",
    kind: Kind::Numbers(&[PARTS, PARTS]),
    need: Need::Must,
    about: "Parts by volume, this paint first.",
    example: "[1, 9]",
};

static TINT: Table = Table {
    about: "This paint mixed with another, brushed over both cards: it shows how strong the paint is in a mix.",
    fields: &[
        Field {
            key: "with",
            kind: Kind::Name,
            need: Need::Must,
            about: "The name of the other paint, which is in this file too, or in another file that a call names together with this one.",
            example: "\"Gull White\"",
        },
        TINT_PARTS,
        Field {
            key: "over_black",
            kind: Kind::Colour,
            need: Need::May("the tint is given as a spectrum"),
            about: "The colour of the dried tint over the black card.",
            example: "\"#d4cdbd\"",
        },
        Field {
            key: "over_white",
            kind: Kind::Colour,
            need: Need::May("the tint is given as a spectrum"),
            about: "The colour of the dried tint over the white card.",
            example: "\"#f4e0c1\"",
        },
        Field::table(
            "spectrum",
            &SPECTRUM,
            Need::May("the tint is given as two colours"),
        ),
    ],
};

/// In percent; fractions end at a hundredth of it.
const REFLECTANCE: Kind = Kind::Series(Range::new(0.0, MOST * Unit::Percent.whole()));

static SPECTRUM: Table = Table {
    about: "Reflectance from an instrument, in percent or as fractions, from 400 to 700 nm; up to 20 nm may be missing at \
            either end. All lists are equally long.",
    fields: &[
        Field {
            key: "start_nm",
            kind: Kind::Number(Range::new(200.0, 1000.0).unit("nm")),
            need: Need::Must,
            about: "The first wavelength.",
            example: "400",
        },
        Field {
            key: "step_nm",
            kind: Kind::Number(Range::new(1.0, 20.0).unit("nm")),
            need: Need::Must,
            about: "The distance between two wavelengths.",
            example: "10",
        },
        Field {
            key: "unit",
            kind: Kind::Word(const { &words_of(&UNIT_WORDS) }),
            need: Need::May("percent if a value is above 1.5, else fractions"),
            about: "What the numbers are.",
            example: "\"percent\"",
        },
        Field {
            key: "specular",
            kind: Kind::Word(const { &words_of(&SPECULAR_WORDS) }),
            need: Need::Must,
            about: "How the instrument was set: whether the values hold the surface's own reflection, about 4 %.",
            example: "\"excluded\"",
        },
        Field {
            key: "over_black",
            kind: REFLECTANCE,
            need: Need::Must,
            about: "Reflectance of the dried film over the black card.",
            example: "[4.1, 4.3]",
        },
        Field {
            key: "over_white",
            kind: REFLECTANCE,
            need: Need::Must,
            about: "Reflectance of the dried film over the white card.",
            example: "[62.0, 63.5]",
        },
        Field {
            key: "black_card",
            kind: REFLECTANCE,
            need: Need::May("the black of `[cards]` counts"),
            about: "Reflectance of the bare black card.",
            example: "[1.1, 1.2]",
        },
        Field {
            key: "white_card",
            kind: REFLECTANCE,
            need: Need::May("the white of `[cards]` counts"),
            about: "Reflectance of the bare white card.",
            example: "[87.0, 88.0]",
        },
    ],
};
