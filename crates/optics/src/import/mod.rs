//! Import: a `paints.toml` from instruments' files, spreadsheets and palettes.
//!
//! In: texts in CGATS.17 (ISO 28178), CSV or `.gpl`, recognised by their content. Sample names of the convention in
//! `names.rs` say which rows belong together. Out: text that `paints_file` reads back to the same numbers. What a file
//! does not say is an error, never assumed. The one exception, the cards below chips, is marked in the file.

mod assemble;
mod cgats;
mod columns;
mod draft;
mod found;
mod names;
mod pairing;
mod palette;
mod row;
mod table_text;
pub(crate) mod write;

use crate::colour::Encoded;
use crate::paints_file::{Unit, read_paints_file};
use crate::surface::Specular;
use draft::{CardsFrom, Draft, GivenDraft};
use found::Found;
use row::Table;
use velatura_document::{Diagnostic, Hint, SourceText};

/// What the files leave open, from the painter.
#[derive(Debug, Clone, Default)]
pub struct ImportOptions {
    /// Whether spectra, and cards given as colours, include the surface's own reflection; if missing, what the file says.
    pub specular: Option<Specular>,
    /// The unit of spectra; if missing, it follows from the largest value.
    pub unit: Option<Unit>,
    /// Opacity of all chips that do not state theirs: a word of [`OPACITY_WORDS`](crate::paints_file::OPACITY_WORDS).
    pub opacity: Option<&'static str>,
    /// The bare black card, if no row has it.
    pub black_card: Option<Encoded>,
    /// The bare white card, if no row has it.
    pub white_card: Option<Encoded>,
}

/// A `paints.toml` from other files.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Imported {
    /// The file's text.
    pub text: String,
    /// How many paints it holds.
    pub paints: usize,
    /// How many tints.
    pub tints: usize,
    /// How many of the paints are chips.
    pub chips: usize,
    /// What to check.
    pub warnings: Vec<Diagnostic>,
}

/// Makes a `paints.toml` called `name` from files.
///
/// # Errors
/// Every problem of every file, each with its place; of a file with more than
/// [`COLLECTED_AT_MOST`](velatura_document::COLLECTED_AT_MOST), so many and the number of the others.
pub fn import(
    sources: &[SourceText],
    options: &ImportOptions,
    name: &str,
) -> Result<Imported, Vec<Diagnostic>> {
    let problems = Found::none_in(sources);
    let tables: Vec<Table<'_>> = sources
        .iter()
        .map(|source| table(source, &problems))
        .collect();
    let draft = assemble::assemble(&tables, options, &problems);
    let Some(draft) = draft.filter(|_| !problems.any()) else {
        return Err(problems.into_sorted());
    };
    let files: Vec<&str> = sources.iter().map(|source| source.name()).collect();
    let text = write::text(&draft, &files);
    let written = SourceText::new(name, text.as_str());
    // The reader decides: what it cannot read is not written.
    let mut warnings = read_paints_file(&written)?.warnings;
    if draft.cards.from == CardsFrom::Assumed {
        warnings.push(assumed_cards(&draft, name));
    }
    let is_chip = |given: &GivenDraft| matches!(given, GivenDraft::Chip(..));
    Ok(Imported {
        paints: draft.paints.len(),
        tints: draft.paints.iter().map(|paint| paint.tints.len()).sum(),
        chips: draft
            .paints
            .iter()
            .filter(|paint| is_chip(&paint.given))
            .count(),
        text,
        warnings,
    })
}

fn table<'a>(source: &'a SourceText, problems: &Found<'_>) -> Table<'a> {
    if palette::is_palette(source.text()) {
        palette::read(source, problems)
    } else if cgats::is_cgats(source.text()) {
        cgats::read(source, problems)
    } else {
        table_text::read(source, problems)
    }
}

fn assumed_cards(draft: &Draft, name: &str) -> Diagnostic {
    Diagnostic::warning(
        name,
        format!(
            "[cards] is assumed: black {}, white {}",
            draft.cards.black, draft.cards.white
        ),
    )
    .expected(
        "this is fine while there are only chips; measure the cards before you add a drawdown",
    )
    .help(Hint::CardColours)
}
