//! Invented paints and a figure of three regions in a row: cloak, hood, boots.

use velatura_document::SourceText;
use velatura_figure::{
    FigureSummary, Grey, Origin, RegionSummary, Sourced, UndercoatKind, UndercoatPoints,
};
use velatura_optics::calibrate::{PaintBox, calibrate};
use velatura_optics::paints_file::read_paints_file;
use velatura_scheme::{FigureGround, Scheme, read_schemes_file, resolve};

pub(crate) const REGIONS: [&str; 3] = ["cloak", "hood", "boots"];

/// Name, over black, over white, owned.
const PAINTS: [(&str, &str, &str, bool); 9] = [
    ("Amber", "#4d3718", "#f4a520", true),
    ("Red", "#481a1a", "#cf364f", true),
    ("Teal", "#1a3436", "#3fafc3", true),
    ("Green", "#3d5130", "#8ec559", true),
    ("Blue", "#202946", "#4c5fcb", true),
    ("Violet", "#140f28", "#4a2a80", true),
    ("White", "#b4b2ad", "#f4f3ee", true),
    ("Black", "#121212", "#2a2a2a", true),
    ("Rose \"quoted\"", "#5a2038", "#e04a90", false),
];

pub(crate) fn paints() -> PaintBox {
    let mut text =
        "format = \"velatura-paints/1\"\n[cards]\nblack = \"#1c1c1c\"\nwhite = \"#f0f0f0\"\n"
            .to_owned();
    for (name, over_black, over_white, owned) in PAINTS {
        text += &format!(
            "[[paint]]\nname = '{name}'\nover_black = \"{over_black}\"\nover_white = \"{over_white}\"\nowned = {owned}\n"
        );
    }
    let source = SourceText::from_bytes("paints.toml", text.into_bytes()).unwrap();
    let file = read_paints_file(&source).unwrap_or_else(|problems| panic!("{problems:?}"));
    let file = file.value;
    calibrate(&file).value
}

/// Cloak 60 %, hood 30 %, boots 10 % of the figure; cloak and hood touch, hood and boots do not.
pub(crate) fn ground(paints: &PaintBox) -> FigureGround {
    let region = |name: &str, area: f64| RegionSummary {
        name: name.to_owned(),
        area,
        greys: [(0.08, 0.1, 0.2), (0.3, 0.5, 0.5), (0.7, 0.9, 0.3)]
            .map(|(substrate, relief, weight)| Grey {
                substrate,
                relief,
                weight,
            })
            .to_vec(),
    };
    let known = |value| Sourced {
        value,
        from: Origin::Given,
    };
    FigureGround {
        summary: FigureSummary {
            regions: vec![
                region("cloak", 0.6),
                region("hood", 0.3),
                region("boots", 0.1),
            ],
            borders: vec![vec![0, 120, 40], vec![120, 0, 0], vec![40, 0, 0]],
        },
        points: UndercoatPoints {
            kind: UndercoatKind::BlackToWhite,
            black: known(0.012),
            white: known(0.8),
            light_share: known(0.2),
        },
        specular: paints.cards.specular,
    }
}

/// Schemes of a text without its format line.
pub(crate) fn schemes(text: &str, paints: &PaintBox) -> Vec<Scheme> {
    let text = format!("format = \"velatura-schemes/1\"\n{text}");
    read(&text, paints)
}

/// Schemes of a whole file's text.
pub(crate) fn read(text: &str, paints: &PaintBox) -> Vec<Scheme> {
    let source = SourceText::from_bytes("schemes.toml", text.as_bytes().to_vec()).unwrap();
    let file = read_schemes_file(&source)
        .unwrap_or_else(|problems| panic!("{problems:?}\n{text}"))
        .value;
    let regions = REGIONS.map(str::to_owned);
    resolve(&file, &regions, "figure.toml", paints, "paints.toml").unwrap()
}
