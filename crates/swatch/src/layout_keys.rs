//! The keys of `layout.toml`: what each means, what it may hold, and what applies without it.

use velatura_document::{Field, FileKind, Kind, Need, Range, Table, words_of};
use velatura_optics::paints_file::{OWNED, TINT_PARTS};
use velatura_optics::surface::SPECULAR_WORDS;

use super::chart::LEAST_PATCHES;

/// What `layout.toml` may hold.
pub static LAYOUT_FILE: FileKind = FileKind {
    name: "layout.toml",
    top: &LAYOUT,
    example: include_str!("../data/layout.toml"),
};

/// No card on a painting desk is larger.
const LARGEST_MM: f64 = 2000.0;
/// A place on the card; also to the left of it or above, where a chart may be.
const AT_MM: Range = Range::new(-LARGEST_MM, LARGEST_MM).unit("mm");
/// The length of a thing on the card; shorter ones are lost in the photo.
const LENGTH_MM: Range = Range::new(1.0, LARGEST_MM).unit("mm");

static LAYOUT: Table = Table {
    about: "What is where on a photographed drawdown card. All lengths are in mm, from the centre of the card's upper left \
            mark, x to the right and y down.",
    fields: &[
        Field::format("velatura-layout/1"),
        Field {
            key: "corners",
            kind: Kind::Points(4, Range::new(-100_000.0, 100_000.0).unit("pixels")),
            need: Need::May("the printed marks are looked for"),
            about: "Where the centres of the four marks are in the upright photo, clockwise from the card's upper left.",
            example: "[[212, 180], [2830, 196], [2815, 3960], [198, 3942]]",
        },
        Field::table(
            "cards",
            &CARDS,
            Need::May("a matte black and a plain white card, from memory"),
        ),
        Field::table("card", &CARD, Need::May("the printed card")),
        Field {
            need: Need::Must,
            ..Field::tables("field", &FIELD, 0, None)
        },
        Field::table(
            "chart",
            &CHART,
            Need::May("the card's black and white alone correct the colours"),
        ),
    ],
};

static CARDS: Table = Table {
    about: "The true colours of the card's bare black and white.",
    fields: &[
        Field {
            key: "black",
            kind: Kind::Colour,
            need: Need::May("`\"#1c1c1c\"`, a matte black, from memory"),
            about: "The colour of the bare black.",
            example: "\"#1c1c1c\"",
        },
        Field {
            key: "white",
            kind: Kind::Colour,
            need: Need::May("`\"#f4f2ee\"`, a plain white, from memory"),
            about: "The colour of the bare white.",
            example: "\"#f0f0f0\"",
        },
        Field {
            key: "specular",
            kind: Kind::Word(const { &words_of(&SPECULAR_WORDS) }),
            need: Need::May("left out of paints.toml as well"),
            about: "Whether these two colours hold the surface's own reflection, about 4 %; it goes into paints.toml as it is.",
            example: "\"excluded\"",
        },
    ],
};

static CARD: Table = Table {
    about: "A card of your own, in place of the printed one.",
    fields: &[
        Field {
            key: "marks_mm",
            kind: Kind::Numbers(&[LENGTH_MM, LENGTH_MM]),
            need: Need::Must,
            about: "Width and height between the centres of the marks, or between the four `corners`.",
            example: "[170, 100]",
        },
        Field {
            key: "first_mm",
            kind: Kind::Number(Range::new(0.0, LARGEST_MM).unit("mm")),
            need: Need::Must,
            about: "From the left corners to the left edge of the first place.",
            example: "16",
        },
        Field {
            key: "field_mm",
            kind: Kind::Number(LENGTH_MM),
            need: Need::Must,
            about: "Width of a place.",
            example: "12",
        },
        Field {
            key: "step_mm",
            kind: Kind::Number(LENGTH_MM),
            need: Need::Must,
            about: "From the left edge of one place to the next, at least 2 mm more than `field_mm`.",
            example: "18",
        },
        Field {
            key: "across",
            kind: Kind::Whole(Range::new(1.0, 200.0)),
            need: Need::May("as many as fit"),
            about: "How many places are next to each other.",
            example: "8",
        },
        Field::tables("pair", &PAIR, 1, None),
        Field::tables("bare_white", &BARE_WHITE, 0, None),
    ],
};

static PAIR: Table = Table {
    about: "A black and a white strip across the card; the places for drawdowns cross both.",
    fields: &[
        Field {
            key: "black_mm",
            kind: Kind::Numbers(&[AT_MM, AT_MM]),
            need: Need::Must,
            about: "Upper and lower edge of the black strip.",
            example: "[31, 55]",
        },
        Field {
            key: "white_mm",
            kind: Kind::Numbers(&[AT_MM, AT_MM]),
            need: Need::Must,
            about: "Upper and lower edge of the white strip.",
            example: "[55, 79]",
        },
    ],
};

static BARE_WHITE: Table = Table {
    about: "A further rectangle of bare white card, which helps to measure the light.",
    fields: &[
        Field {
            key: "from_mm",
            kind: Kind::Numbers(&[AT_MM, AT_MM]),
            need: Need::Must,
            about: "Its upper left corner, [x, y].",
            example: "[10, 82]",
        },
        Field {
            key: "to_mm",
            kind: Kind::Numbers(&[AT_MM, AT_MM]),
            need: Need::Must,
            about: "Its lower right corner, [x, y].",
            example: "[160, 90]",
        },
    ],
};

static FIELD: Table = Table {
    about: "A drawdown on the card: a paint, or a tint of it. They are written in the order in which they are on the card, \
            from left to right, then along the next pair of strips.",
    fields: &[
        Field {
            key: "name",
            kind: Kind::Name,
            need: Need::Must,
            about: "The name of the paint.",
            example: "\"Oil Amber\"",
        },
        OWNED,
        Field {
            key: "with",
            kind: Kind::Name,
            need: Need::May("the paint alone"),
            about: "The name of the other paint of a tint.",
            example: "\"Gull White\"",
        },
        Field {
            need: Need::May("the paint alone"),
            ..TINT_PARTS
        },
        Field {
            key: "place",
            kind: Kind::Whole(Range::new(1.0, 9999.0)),
            need: Need::May("the place after the field before"),
            about: "Its place on the card, counted from 1.",
            example: "5",
        },
    ],
};

static CHART: Table = Table {
    about: "A reference chart in the same photo and on the same plane as the card.",
    fields: &[
        Field {
            key: "source",
            kind: Kind::Name,
            need: Need::Must,
            about: "Who published the reference values.",
            example: "\"invented for this example\"",
        },
        Field {
            key: "licence",
            kind: Kind::Name,
            need: Need::Must,
            about: "The licence of the reference values.",
            example: "\"CC0-1.0\"",
        },
        Field {
            key: "patch_mm",
            kind: Kind::Number(Range::new(1.0, 200.0).unit("mm")),
            need: Need::Must,
            about: "Width of a patch.",
            example: "10",
        },
        Field::tables("patch", &PATCH, LEAST_PATCHES, None),
    ],
};

static PATCH: Table = Table {
    about: "A patch of the chart, with its published colour as `srgb` or as `lab`. They should differ in hue: a matrix of nine \
            numbers follows from them.",
    fields: &[
        Field {
            key: "name",
            kind: Kind::Text,
            need: Need::May("the patch has no name"),
            about: "What the patch is called.",
            example: "\"red\"",
        },
        Field {
            key: "at_mm",
            kind: Kind::Numbers(&[AT_MM, AT_MM]),
            need: Need::Must,
            about: "Its centre, [x, y].",
            example: "[190, 20]",
        },
        Field {
            key: "srgb",
            kind: Kind::Colour,
            need: Need::May("`lab` has the colour"),
            about: "Its published colour.",
            example: "\"#b23a3a\"",
        },
        Field {
            key: "lab",
            kind: Kind::Numbers(&[
                Range::new(0.0, 100.0),
                Range::new(-150.0, 150.0),
                Range::new(-150.0, 150.0),
            ]),
            need: Need::May("`srgb` has the colour"),
            about: "Its published colour as L*, a*, b* under D65, 2° observer.",
            example: "[41.2, 48.1, 27.5]",
        },
    ],
};
