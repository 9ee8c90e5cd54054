//! The keys of `figure.toml`: what each means, what it may hold, and what applies without it.

use velatura_document::{Choice, Field, FileKind, Kind, Need, Preset, Range, Table, words_of};
use velatura_optics::paints_file::PARTS;
use velatura_photo::flat::MOST_REGIONS;

use crate::material::{MATERIAL_WORDS, Material};
use crate::own_range::MOST_RANGES;

/// What `figure.toml` may hold.
pub static FIGURE_FILE: FileKind = FileKind {
    name: "figure.toml",
    top: &FIGURE,
    example: include_str!("../data/figure.toml"),
};

/// How the figure was prepared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UndercoatKind {
    /// Black primer, drybrushed up to white.
    BlackToWhite,
    /// White primer with a dark wash in the recesses.
    WhiteWithWash,
    /// One flat primer.
    Plain,
}

/// How a figure was prepared before the photo.
pub(crate) const KINDS: [Choice<UndercoatKind>; 3] = [
    Choice {
        word: "black-to-white",
        about: "black primer, drybrushed up to white",
        value: UndercoatKind::BlackToWhite,
    },
    Choice {
        word: "white-with-wash",
        about: "white primer with a dark wash in the recesses",
        value: UndercoatKind::WhiteWithWash,
    },
    Choice {
        word: "plain",
        about: "one flat primer, so that the photo shows only light and shade",
        value: UndercoatKind::Plain,
    },
];

static FIGURE: Table = Table {
    about: "One figure: its photo, the mask of its parts, and how it was undercoated.",
    fields: &[
        Field::format("velatura-figure/1"),
        Field {
            key: "name",
            kind: Kind::Name,
            need: Need::Must,
            about: "What the figure is called.",
            example: "\"Lamplighter with a pole\"",
        },
        Field {
            key: "photo",
            kind: Kind::Path,
            need: Need::Must,
            about: "The photo of the underpainted figure, as JPEG, PNG, TIFF or WebP.",
            example: "\"lamplighter.jpg\"",
        },
        Field {
            key: "mask",
            kind: Kind::Path,
            need: Need::Must,
            about: "A picture as large as the upright photo, with one flat colour per region.",
            example: "\"lamplighter-mask.png\"",
        },
        Field {
            key: "height_mm",
            kind: Kind::Number(Range::new(1.0, 1000.0).unit("mm")),
            // A common size of small tabletop figures (common practice, no source).
            need: Need::Default(Preset::Number(32.0)),
            about: "How tall the figure is, from the lowest to the highest pixel of its mask.",
            example: "32",
        },
        Field {
            key: "count",
            kind: Kind::Whole(Range::new(1.0, 100_000.0)),
            need: Need::Default(Preset::Number(1.0)),
            about: "How many such figures are in the team; a comparison of two teams shows them in a row.",
            example: "12",
        },
        Field::table("undercoat", &UNDERCOAT, Need::Must),
        Field::tables("region", &REGION, 1, Some(MOST_REGIONS)),
        Field::tables(
            "material",
            &MATERIAL,
            0,
            Some(MOST_RANGES * Material::ALL.len()),
        ),
        Field::tables("step", &STEP, 0, Some(MOST_STEPS)),
        Field {
            key: "plugins",
            kind: Kind::Paths,
            need: Need::May("no plugin is attached for this figure"),
            about: "Plugins (WebAssembly components) that add stages for this figure.",
            example: "[\"dust.wasm\"]",
        },
        Field::stages("Parameters of stages, for all schemes on this figure."),
    ],
};

static MATERIAL: Table = Table {
    about: "The natural colours of a material on this figure, in place of those in materials.md. Several tables of one material are \
            alternatives. They hold for the dried colour in CIELAB, averaged over the region.",
    fields: &[
        Field {
            key: "is",
            kind: Kind::Word(&MATERIAL_WORDS),
            need: Need::Must,
            about: "The material.",
            example: "\"skin\"",
        },
        Field {
            key: "lightness",
            kind: Kind::Numbers(&[Range::new(0.0, 100.0), Range::new(0.0, 100.0)]),
            need: Need::May("any lightness"),
            about: "Least and most L*.",
            example: "[30, 80]",
        },
        Field {
            key: "chroma",
            kind: Kind::Numbers(&[Range::new(0.0, 200.0), Range::new(0.0, 200.0)]),
            need: Need::May("any chroma"),
            about: "Least and most chroma, the distance from grey.",
            example: "[5, 40]",
        },
        Field {
            key: "hue",
            kind: Kind::Numbers(&[
                Range::new(0.0, 360.0).unit("degrees"),
                Range::new(0.0, 360.0).unit("degrees"),
            ]),
            need: Need::May("any hue"),
            about: "First and last hue, from red (0) over yellow (90), green (180) and blue (270); a first hue above the last means the way over red.",
            example: "[100, 160]",
        },
    ],
};

/// A bench card has one page.
const MOST_STEPS: usize = 20;

static STEP: Table = Table {
    about: "A step of your own for the bench card, such as the work on the base. It follows the paint.",
    fields: &[
        Field {
            key: "text",
            kind: Kind::Name,
            need: Need::Must,
            about: "What to do.",
            example: "\"Glue fine sand on the base, and drybrush it\"",
        },
        Field {
            key: "minutes",
            kind: Kind::Number(Range::new(0.0, 1000.0).unit("min")),
            need: Need::Default(Preset::Number(0.0)),
            about: "How long it takes for one figure.",
            example: "5",
        },
    ],
};

static UNDERCOAT: Table = Table {
    about: "How the figure was primed and drybrushed or washed before the photo.",
    fields: &[
        Field {
            key: "kind",
            kind: Kind::Word(const { &words_of(&KINDS) }),
            need: Need::Must,
            about: "How the figure was prepared.",
            example: "\"black-to-white\"",
        },
        Field {
            key: "black",
            kind: Kind::Colour,
            need: Need::May(
                "measured from `light_photo`, or that of the black card in paints.toml, or estimated from the photo",
            ),
            about: "The colour that the photo shows where bare dark primer is in full light.",
            example: "\"#1c1c1c\"",
        },
        Field {
            key: "white",
            kind: Kind::Colour,
            need: Need::May("measured from `light_photo`, or estimated from the photo"),
            about: "The colour that the photo shows where the brightest undercoat is in full light.",
            example: "\"#e7e7e7\"",
        },
        Field {
            key: "light_share",
            kind: Kind::Number(Range::new(0.0, 1.0)),
            need: Need::May(
                "measured from `light_photo`, or estimated: from the photo for `black-to-white`, 0.8 for `white-with-wash`",
            ),
            about: "How much of the photo's tone is light and shade (1) rather than paint (0); a `light_photo` replaces it.",
            example: "0.2",
        },
        Field {
            key: "light_photo",
            kind: Kind::Path,
            need: Need::May("light and paint are estimated, with about twice the error"),
            about: "A photo of the same pose under the same lamp, taken before the drybrushing or the wash.",
            example: "\"primed.jpg\"",
        },
    ],
};

static REGION: Table = Table {
    about: "A part of the figure that gets its own paint.",
    fields: &[
        Field {
            key: "name",
            kind: Kind::Name,
            need: Need::Must,
            about: "What schemes call this region.",
            example: "\"coat\"",
        },
        Field {
            key: "mask_colour",
            kind: Kind::Colour,
            need: Need::Must,
            about: "The region's colour in the mask.",
            example: "\"#e6194b\"",
        },
        Field {
            key: "is",
            kind: Kind::Word(&MATERIAL_WORDS),
            need: Need::May("it is guessed from the name of the region, and the guess is reported"),
            about: "What the region is, so that `explore` and `oppose` keep it in a colour that such things have.",
            example: "\"cloth\"",
        },
        Field {
            key: "same_as",
            kind: Kind::Name,
            need: Need::May(
                "it has a mix of its own; skin shares the mix of the first region of skin",
            ),
            about: "The name of another region whose mix `explore` and `oppose` also give to this one.",
            example: "\"face\"",
        },
        Field {
            key: "natural",
            kind: Kind::Flag,
            need: Need::Default(Preset::Flag(true)),
            about: "Whether `explore` and `oppose` keep the region in a natural colour; false allows green skin or blue leather.",
            example: "true",
        },
        Field {
            key: "keep",
            kind: Kind::NamedNumbers(PARTS),
            need: Need::May("the region gets its mix from `explore` and `oppose`"),
            about: "A mix that stays: `explore` gives it to the region in every scheme, and `oppose` leaves the region as the scheme has \
                    it. A mix that is kept in a call wins over it.",
            example: "{ \"Oil Amber\" = 2, medium = 3 }",
        },
    ],
};
