//! Changed files of instruments, spreadsheets and palettes: what is imported can be read again.

use rand::RngExt;
use rand::seq::IndexedRandom;
use velatura_document::{Error, SourceText};
use velatura_pipeline::optics::colour::Encoded;
use velatura_pipeline::optics::import::{ImportOptions, import};
use velatura_pipeline::optics::paints_file::Unit;
use velatura_pipeline::optics::surface::Specular;

use super::paints::{paints_of, read};
use crate::kit::base::text;
use crate::kit::case::Case;
use crate::kit::oracle::{diagnostics, error, must};
use crate::kit::texts::changed;
use crate::kit::{Chance, Target, Verdict};

const SAMPLES: [&str; 5] = [
    "codes.csv",
    "deep-eel-columns.csv",
    "deep-eel.csv",
    "drawdowns.txt",
    "harbour.gpl",
];

pub(crate) const TARGET: Target = Target {
    name: "import",
    share: 150,
    make,
    run,
};

/// One sample or two; values: the conventions, the unit, the opacity, and whether the cards are given.
fn make(chance: &mut Chance) -> Case {
    let samples = SAMPLES.map(|name| text(&format!("crates/optics/tests/import-samples/{name}")));
    let texts: Vec<&str> = samples.iter().map(String::as_str).collect();
    let mut case = Case::of("");
    for _ in 0..chance.random_range(1..=2) {
        let number = chance.random_range(0..SAMPLES.len());
        case = case.file(SAMPLES[number], changed(texts[number], &texts, chance));
    }
    for choices in [
        &["", "included", "excluded"][..],
        &["", "percent", "fraction"],
        &["", "opaque", "semi-opaque"],
        &["", "both"],
    ] {
        case = case.value(*choices.choose(chance).unwrap_or(&""));
    }
    case
}

fn options(case: &Case) -> ImportOptions {
    let value = |index: usize| case.values.get(index).map_or("", String::as_str);
    let cards = value(3) == "both";
    ImportOptions {
        specular: match value(0) {
            "included" => Some(Specular::Included),
            "excluded" => Some(Specular::Excluded),
            _ => None,
        },
        unit: match value(1) {
            "percent" => Some(Unit::Percent),
            "fraction" => Some(Unit::Fraction),
            _ => None,
        },
        opacity: ["opaque", "semi-opaque"]
            .into_iter()
            .find(|word| *word == value(2)),
        black_card: cards.then_some(Encoded([0x1c; 3])),
        white_card: cards.then_some(Encoded([0xf0; 3])),
    }
}

fn run(case: &Case) -> Verdict {
    let mut sources = Vec::new();
    for name in case.files.keys() {
        match read(case, name)? {
            Some(source) => sources.push(source),
            None => return Ok(()),
        }
    }
    let imported = match import(&sources, &options(case), "paints.toml") {
        Ok(imported) => imported,
        Err(problems) => return error(&Error::Input(problems)),
    };
    diagnostics(&imported.warnings)?;
    let again = paints_of(&SourceText::new("paints.toml", &imported.text))?;
    let count = again.as_ref().map(|file| file.paints.len());
    must(count == Some(imported.paints), || {
        format!(
            "{} paints are imported, {count:?} are read again:\n{}",
            imported.paints, imported.text
        )
    })
}
