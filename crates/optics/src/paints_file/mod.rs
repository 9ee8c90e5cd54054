//! `paints.toml`: what each paint was given as. Reading only; K and S come from `calibrate`.
//!
//! In: text. Out: entries with the place of every field, and all problems at once.

mod drawdowns;
mod entry;
mod keys;
pub(crate) mod reflectance;
mod spectra;

pub use drawdowns::{DrawnPaint, drawdowns_text};
pub use entry::{Given, PaintEntry, Pair, TintEntry};
pub use keys::{OPACITY_WORDS, OWNED, PAINTS_FILE, PARTS, TINT_PARTS};
pub use reflectance::{Unit, Wavelengths};
pub use spectra::MeasuredDrawdown;

use std::collections::HashSet;

use crate::colour::{Encoded, luminance};
use crate::surface::{SPECULAR_WORDS, Specular};
use velatura_document::{Diagnostic, Fields, SourceText, Warned, nearest, read_document};

/// The format line of this file.
pub const FORMAT: &str = "velatura-paints/1";

/// Black cards darker than this count as photographed without glare: with the surface's own reflection a card cannot be
/// darker than about 0.04 (Saunderson's k1).
const GLARE_FREE_BELOW: f64 = 0.04;

/// What the drawdowns were brushed on.
#[derive(Debug, Clone, Copy)]
pub struct Cards {
    /// The black card.
    pub black: Encoded,
    /// The white card.
    pub white: Encoded,
    /// Whether all codes of the file include the surface's own reflection.
    pub specular: Specular,
}

/// A `paints.toml`.
#[derive(Debug, Clone)]
pub struct PaintsFile {
    /// The cards; codes of a drawdown mean nothing without them.
    pub cards: Cards,
    /// The paints in the order written.
    pub paints: Vec<PaintEntry>,
    /// The text they were read from, for later messages.
    pub source: SourceText,
}

/// Reads `paints.toml`.
///
/// # Errors
/// All problems, warnings included, if any of them is an error.
pub fn read_paints_file(source: &SourceText) -> Result<Warned<PaintsFile>, Vec<Diagnostic>> {
    read_document(source, &PAINTS_FILE, |fields| {
        let cards = read_cards(fields);
        let tables = fields.tables("paint");
        let paints: Vec<Option<PaintEntry>> = tables.iter().map(entry::read).collect();
        let paints: Option<Vec<PaintEntry>> = paints.into_iter().collect();
        let file = PaintsFile {
            cards: cards?,
            paints: paints?,
            source: source.clone(),
        };
        report_names(&file, &tables);
        Some(file)
    })
}

fn read_cards(fields: &Fields<'_>) -> Option<Cards> {
    let table = fields.table("cards")?;
    let black = table.colour::<Encoded>("black");
    let white = table.colour::<Encoded>("white");
    let specular = table.word("specular", &SPECULAR_WORDS);
    let (black, white) = (black?, white?);
    let (dark, light) = (
        luminance(black.value.linear()),
        luminance(white.value.linear()),
    );
    if dark >= light {
        table.problem(
            &black.at,
            format!(
                "the black card ({}) is not darker than the white card ({})",
                black.value, white.value
            ),
            "black darker than white",
            "are the two swapped?",
        );
        return None;
    }
    let guessed = if dark < GLARE_FREE_BELOW {
        Specular::Excluded
    } else {
        Specular::Included
    };
    Some(Cards {
        black: black.value,
        white: white.value,
        specular: specular.map_or(guessed, |s| s.value),
    })
}

/// Reports names that two paints share, and tints with a paint that is not in the file.
fn report_names(file: &PaintsFile, tables: &[Fields<'_>]) {
    let mut earlier = HashSet::new();
    let all: HashSet<&str> = file.paints.iter().map(|p| p.name.value.as_str()).collect();
    for (paint, table) in file.paints.iter().zip(tables) {
        let name = &paint.name.value;
        if name.eq_ignore_ascii_case("medium") {
            table.problem(
                &paint.name.at,
                "a paint is called \"medium\"",
                "another name: `medium` is reserved for clear glaze medium",
                "rename or remove this paint",
            );
        }
        if !earlier.insert(name) {
            table.problem(
                &paint.name.at,
                format!("two paints are called \"{name}\""),
                "a different name for every paint",
                "rename one of them",
            );
        }
        for tint in &paint.tints {
            let with = &tint.with.value;
            if with == name || !all.contains(with.as_str()) {
                table.problem_with(&tint.with.at, || {
                    let names = file.paints.iter().map(|p| p.name.value.as_str());
                    let help = nearest(with, names.filter(|other| other != name)).map_or_else(
                        || "add that paint, or remove the tint".to_owned(),
                        |near| format!("did you mean \"{near}\"?"),
                    );
                    (
                        format!("no other paint is called \"{with}\""),
                        "the name of another paint in this file".to_owned(),
                        help.into(),
                    )
                });
            }
        }
    }
}
