//! `paints.toml`: what each paint was given as. Reading only; K and S come from `calibrate`.
//!
//! In: text. Out: entries with the place of every field, and all problems at once.

mod drawdowns;
mod entry;
pub(crate) mod reflectance;
mod schema;
mod spectra;

pub use drawdowns::{DrawnPaint, drawdowns_text};
pub use entry::{Given, PaintEntry, Pair, TintEntry};
pub use reflectance::{Unit, Wavelengths};
pub use schema::json_schema;
pub use spectra::MeasuredDrawdown;

use std::collections::HashSet;

use crate::colour::{Encoded, luminance};
use crate::surface::Specular;
use velatura_document::{At, Fields, SourceText, read_document};
use velatura_document::{Diagnostic, nearest};

/// The format line of this file.
pub const FORMAT: &str = "velatura-paints/1";

/// Black cards darker than this count as photographed without glare: with the surface's own reflection a card cannot be
/// darker than about 0.04 (Saunderson's k1).
const GLARE_FREE_BELOW: f64 = 0.04;

const KEYS: &[&str] = &["format", "cards", "paint"];
const CARD_KEYS: &[&str] = &["black", "white", "specular"];

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
/// Returns the file and warnings, or no file and all errors.
#[must_use]
pub fn read_paints_file(source: &SourceText) -> (Option<PaintsFile>, Vec<Diagnostic>) {
    read_document(source, FORMAT, KEYS, |fields| {
        let cards = read_cards(fields);
        let tables = fields.tables("paint", "paint", entry::KEYS);
        if tables.is_empty() && !fields.has("paint") {
            fields.problem(
                &(0..0),
                "this file has no paint",
                "at least one [[paint]]",
                "add a [[paint]]",
            );
        }
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
    let Some(table) = fields.table("cards", "[cards]", CARD_KEYS) else {
        if !fields.has("cards") {
            fields.problem(
                &(0..0),
                "`[cards]` is missing",
                "[cards] with `black` and `white`: the colours of the bare cards in the photo of the drawdowns",
                "add [cards]; if you have not measured them, black = \"#1c1c1c\" and white = \"#f4f2ee\" are typical",
            );
        }
        return None;
    };
    let black = colour(&table, "black", true);
    let white = colour(&table, "white", true);
    let specular = table.word(
        "specular",
        &[
            ("excluded", Specular::Excluded),
            ("included", Specular::Included),
        ],
    );
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

/// A colour field.
fn colour(fields: &Fields<'_>, key: &'static str, required: bool) -> Option<At<Encoded>> {
    let expected = "a colour such as \"#c98318\"";
    let text = if required {
        fields.required_text(key, expected)?
    } else {
        fields.text(key, expected)?
    };
    if let Ok(value) = text.value.parse() {
        return Some(At { value, at: text.at });
    }
    let help = if text.value.len() == 6 && text.value.bytes().all(|b| b.is_ascii_hexdigit()) {
        format!("add a #: \"#{}\"", text.value)
    } else {
        "write # and six hexadecimal digits, two each for red, green and blue".to_owned()
    };
    fields.problem(
        &text.at,
        format!("`{key}` is \"{}\"", text.value),
        expected,
        &help,
    );
    None
}
