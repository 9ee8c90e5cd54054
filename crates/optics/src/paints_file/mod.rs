//! `paints.toml`: what each paint was given as. Reading only; K and S come from `calibrate`.
//!
//! In: text. Out: entries with the place of every field, and all problems at once.

mod drawdowns;
mod entry;
mod joined;
mod keys;
pub(crate) mod reflectance;
mod spectra;

pub use drawdowns::{DrawnPaint, drawdowns_text};
pub use entry::{Given, PaintEntry, Pair, TintEntry};
pub use joined::{read_paints_file, read_paints_files};
pub use keys::{OPACITY_WORDS, OWNED, PAINTS_FILE, PARTS, TINT_PARTS};
pub use reflectance::{Unit, Wavelengths};
pub use spectra::MeasuredDrawdown;

use crate::colour::{Encoded, luminance};
use crate::surface::{SPECULAR_WORDS, Specular};
use velatura_document::{Fields, InPart, SourceText, read_document_in_part};

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

/// The paints of one or several `paints.toml`.
#[derive(Debug, Clone)]
pub struct PaintsFile {
    /// The cards of the first file. Photo and undercoat are taken in their convention; a paint has its own cards.
    pub cards: Cards,
    /// The paints in the order written, file after file.
    pub paints: Vec<PaintEntry>,
}

/// One file as far as it can be read; its names are not compared yet.
fn read_one(source: &SourceText) -> InPart<PaintsFile> {
    read_document_in_part(source, &PAINTS_FILE, |fields| {
        let cards = read_cards(fields);
        let tables = fields.tables("paint");
        let read = |table| entry::read(table, cards, source);
        let paints: Vec<Option<PaintEntry>> = tables.iter().map(read).collect();
        let paints: Option<Vec<PaintEntry>> = paints.into_iter().collect();
        Some(PaintsFile {
            cards: cards?,
            paints: paints?,
        })
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
