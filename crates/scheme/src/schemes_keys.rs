//! The keys of `schemes.toml`: what each means, what it may hold, and what applies without it.

use velatura_document::{Field, FileKind, Kind, Need, Preset, Range, Table, words_of};
use velatura_optics::coat::{EDGE_WIDTHS_MM, USUAL_EDGE_MM};
use velatura_optics::paints_file::PARTS;

use crate::words::{PLACES, UNDERCOATS, VARNISHES};

/// The format line of this file.
pub(crate) const FORMAT: &str = "velatura-schemes/1";

/// Thickest film accepted: twenty drawdowns on top of each other would crack before they dried.
pub const THICKEST_FILM: f64 = 20.0;

/// What `schemes.toml` may hold.
pub static SCHEMES_FILE: FileKind = FileKind {
    name: "schemes.toml",
    top: &SCHEMES,
    example: include_str!("../data/schemes.toml"),
};

static SCHEMES: Table = Table {
    about: "Schemes: which mix of paints goes on which region, and in what order.",
    fields: &[
        Field::format(FORMAT),
        // The list may be empty where stages make all schemes.
        Field {
            need: Need::Must,
            ..Field::tables("scheme", &SCHEME, 0, None)
        },
        Field::stages("Parameters of stages, for all schemes of this file."),
    ],
};

static SCHEME: Table = Table {
    about: "One way to paint the figure. Regions without a coat stay as photographed.",
    fields: &[
        Field {
            key: "name",
            kind: Kind::Name,
            need: Need::Must,
            about: "What the scheme is called.",
            example: "\"Foglight\"",
        },
        Field {
            key: "team",
            kind: Kind::Text,
            need: Need::May("no team is shown"),
            about: "The team that wears the scheme.",
            example: "\"Lamplighters\"",
        },
        Field {
            key: "undercoat",
            kind: Kind::Word(const { &words_of(&UNDERCOATS) }),
            need: Need::Default(Preset::Word("as-photographed")),
            about: "What is under the coats: the undercoat of the photo, or a simulated one.",
            example: "\"white-with-wash\"",
        },
        Field {
            key: "finish",
            kind: Kind::Word(const { &words_of(&VARNISHES) }),
            need: Need::Default(Preset::Word("matte")),
            about: "The varnish over everything.",
            example: "\"satin\"",
        },
        Field::tables("coat", &COAT, 0, None),
        Field::stages(
            "Parameters of stages, for this scheme alone; such a table replaces the whole table of the same name elsewhere.",
        ),
    ],
};

static COAT: Table = Table {
    about: "A coat of paint on one region. Coats are painted in the order in which they are written, lowest first.",
    fields: &[
        Field {
            key: "region",
            kind: Kind::Name,
            need: Need::Must,
            about: "The name of a region in figure.toml.",
            example: "\"coat\"",
        },
        Field {
            key: "mix",
            kind: Kind::NamedNumbers(PARTS),
            need: Need::Must,
            about: "Paints of paints.toml with their parts by volume; `medium` is clear glaze medium and always there.",
            example: "{ \"Oil Amber\" = 3, medium = 7 }",
        },
        Field {
            key: "film",
            kind: Kind::Number(Range::new(0.0, THICKEST_FILM)),
            need: Need::Default(Preset::Number(1.0)),
            about: "How thick the dried coat is; 1 is as thick as the paint's drawdown.",
            example: "0.8",
        },
        Field {
            key: "where",
            kind: Kind::Word(const { &words_of(&PLACES) }),
            need: Need::Default(Preset::Word("all")),
            about: "Which part of the relief gets the coat.",
            example: "\"recesses\"",
        },
        Field {
            key: "pooling",
            kind: Kind::Number(Range::new(0.0, 1.0)),
            need: Need::Default(Preset::Number(0.0)),
            about: "How far the paint runs off the raised parts into the recesses: 0 is an even film, 1 a wash.",
            example: "0.5",
        },
        Field {
            key: "width_mm",
            kind: Kind::Number(Range::new(EDGE_WIDTHS_MM[0], EDGE_WIDTHS_MM[1]).unit("mm")),
            need: Need::Default(Preset::Number(USUAL_EDGE_MM)),
            about: "How wide the line along an edge is on the figure; only for `where = \"edges\"`.",
            example: "0.2",
        },
    ],
};
