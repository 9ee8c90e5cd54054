//! `layout.toml`: what is where on the photographed card, and the true colours of its bare black and white.
//!
//! In: text. Out: entries with the place of every field, and all problems at once. Not here: the photo.

use std::collections::{HashMap, HashSet};

use velatura_document::{At, Diagnostic, Fields, SourceText, Warned, nearest, read_document};
use velatura_optics::colour::{Encoded, luminance};
use velatura_optics::surface::{SPECULAR_WORDS, Specular};

use super::geometry::CardGeometry;
use super::layout_card;
use super::layout_chart::{self, Chart};
use super::layout_keys::LAYOUT_FILE;
use super::marks::is_convex;

/// A matte black and a plain white card without glare, if the layout does not state them. From memory, no source; the same
/// typical values as in the examples of `paints.toml`.
const USUAL_CARDS: [Encoded; 2] = [Encoded([0x1c; 3]), Encoded([0xf4, 0xf2, 0xee])];

/// A whole layout.
#[derive(Debug, Clone)]
pub struct LayoutFile {
    /// The positions of strips and places.
    pub geometry: CardGeometry,
    /// Pixels of the marks' centres, clockwise from the card's upper left, if they should not be searched for.
    pub corners: Option<[[f64; 2]; 4]>,
    /// The true colours of the bare card.
    pub cards: CardColours,
    /// The drawdowns, in the order written.
    pub fields: Vec<FieldEntry>,
    /// A reference chart in the same photo.
    pub chart: Option<Chart>,
    /// The text of the file, for later messages.
    pub source: SourceText,
}

/// True colours of the bare card.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CardColours {
    /// Of the black strip.
    pub black: Encoded,
    /// Of the white strip.
    pub white: Encoded,
    /// Whether they hold the surface's own reflection; `None` if the file does not say.
    pub specular: Option<Specular>,
}

/// One drawdown: a paint, or a tint of it.
#[derive(Debug, Clone)]
pub struct FieldEntry {
    /// The paint.
    pub name: At<String>,
    /// Whether the painter owns it; yes by default.
    pub owned: bool,
    /// The other paint and the parts by volume (this paint, the other), if it is a tint.
    pub tint: Option<TintOf>,
    /// Its place on the card, from 0.
    pub place: usize,
}

/// What a tint is mixed with.
#[derive(Debug, Clone, PartialEq)]
pub struct TintOf {
    /// The other paint.
    pub with: At<String>,
    /// Parts by volume: this paint, the other.
    pub parts: [f64; 2],
}

impl FieldEntry {
    /// Its title: `Oil Amber`, or `Oil Amber + Gull White 1:9`.
    #[must_use]
    pub fn title(&self) -> String {
        match &self.tint {
            None => self.name.value.clone(),
            Some(TintOf { with, parts }) => format!(
                "{} + {} {}:{}",
                self.name.value, with.value, parts[0], parts[1]
            ),
        }
    }
}

/// Reads a layout.
///
/// # Errors
/// All problems, warnings included, if any of them is an error.
pub fn read_layout_file(source: &SourceText) -> Result<Warned<LayoutFile>, Vec<Diagnostic>> {
    read_document(source, &LAYOUT_FILE, |fields| {
        let corners = read_corners(fields);
        let cards = read_cards(fields);
        let geometry = layout_card::read(fields);
        let chart = layout_chart::read(fields);
        let places = geometry.as_ref().map_or(usize::MAX, CardGeometry::places);
        let entries = read_fields(fields, places);
        Some(LayoutFile {
            geometry: geometry?,
            corners: corners?,
            cards: cards?,
            fields: entries?,
            chart: chart?,
            source: source.clone(),
        })
    })
}

/// The outer `None` is a mistake, the inner one no corners at all.
#[allow(
    clippy::option_option,
    reason = "a mistake and an absent key are different news"
)]
fn read_corners(fields: &Fields<'_>) -> Option<Option<[[f64; 2]; 4]>> {
    if !fields.has("corners") {
        return Some(None);
    }
    let corners = fields.points("corners")?;
    if !is_convex(&corners.value) {
        fields.problem(
            &corners.at,
            "the corners are not in clockwise order",
            "the card's upper left, upper right, lower right and lower left",
            "start with the upper left corner of the card (not of the photo) and continue with its upper right corner",
        );
        return None;
    }
    Some(Some(corners.value))
}

fn read_cards(fields: &Fields<'_>) -> Option<CardColours> {
    let [black, white] = USUAL_CARDS;
    if !fields.has("cards") {
        return Some(CardColours {
            black,
            white,
            specular: None,
        });
    }
    let table = fields.table("cards")?;
    let code = |key, usual| {
        if table.has(key) {
            table.colour(key).map(|code| code.value)
        } else {
            Some(usual)
        }
    };
    let specular = table.word("specular", &SPECULAR_WORDS);
    let cards = CardColours {
        black: code("black", black)?,
        white: code("white", white)?,
        specular: specular.map(|word| word.value),
    };
    if luminance(cards.black.linear()) >= luminance(cards.white.linear()) {
        table.problem(
            &table.key_at("black"),
            format!(
                "the black card ({}) is not darker than the white card ({})",
                cards.black, cards.white
            ),
            "black darker than white",
            "are the two swapped?",
        );
        return None;
    }
    Some(cards)
}

fn read_fields(fields: &Fields<'_>, places: usize) -> Option<Vec<FieldEntry>> {
    let tables = fields.tables("field");
    let mut next = 0;
    let entries: Vec<Option<FieldEntry>> = tables
        .iter()
        .map(|table| {
            let place = read_place(table, next, places);
            next = place.map_or(next, |place| place + 1);
            read_field(table, place)
        })
        .collect();
    report_places(&entries, &tables);
    let entries: Vec<FieldEntry> = entries.into_iter().collect::<Option<_>>()?;
    report_names(&entries, &tables);
    Some(entries)
}

/// A place, from 0: as written (from 1), or the one after the last.
fn read_place(table: &Fields<'_>, next: usize, places: usize) -> Option<usize> {
    let place = if table.has("place") {
        table.whole("place")?.value as usize - 1
    } else {
        next
    };
    if place >= places {
        table.problem(
            &table.key_at("place"),
            format!("this field would be in place {} of the card", place + 1),
            &format!("a place of the card, from 1 to {places}"),
            "put it on a second card with a separate layout, or describe a larger card in [card]",
        );
        return None;
    }
    Some(place)
}

fn read_field(table: &Fields<'_>, place: Option<usize>) -> Option<FieldEntry> {
    let name = table.text("name");
    let owned = table.flag_or_default("owned");
    let tint = match (table.has("with"), table.has("parts")) {
        (false, false) => Some(None),
        (true, false) => {
            table.missing("parts");
            None
        }
        (false, true) => {
            table.missing("with");
            None
        }
        (true, true) => {
            let (with, parts) = (table.text("with"), table.numbers("parts"));
            with.zip(parts).map(|(with, parts)| {
                let parts = parts.value;
                Some(TintOf { with, parts })
            })
        }
    };
    Some(FieldEntry {
        name: name?,
        owned,
        tint: tint?,
        place: place?,
    })
}

fn report_places(entries: &[Option<FieldEntry>], tables: &[Fields<'_>]) {
    let mut first_in = HashMap::new();
    for (entry, table) in entries.iter().zip(tables) {
        let Some(entry) = entry else { continue };
        let twin = *first_in.entry(entry.place).or_insert(entry);
        if !std::ptr::eq(twin, entry) {
            table.problem(
                &table.key_at("place"),
                format!("place {} is taken by \"{}\"", entry.place + 1, twin.title()),
                "a different place for every field",
                "a field without `place` uses the place after the previous field",
            );
        }
    }
}

/// Every paint has one drawdown, and tints use only paints with a drawdown, because `paints.toml` requires it.
fn report_names(entries: &[FieldEntry], tables: &[Fields<'_>]) {
    let pure = || {
        let pure = entries.iter().filter(|entry| entry.tint.is_none());
        pure.map(|entry| entry.name.value.as_str())
    };
    let known: HashSet<&str> = pure().collect();
    let mut earlier = HashSet::new();
    for (entry, table) in entries.iter().zip(tables) {
        let name = &entry.name;
        let Some(tint) = &entry.tint else {
            if name.value.eq_ignore_ascii_case("medium") {
                table.problem(
                    &name.at,
                    "a paint is called \"medium\"",
                    "another name: `medium` is reserved for clear glaze medium",
                    "remove this field; if its place on the card is painted, set `place` in the next field",
                );
            }
            if !earlier.insert(&name.value) {
                table.problem(
                    &name.at,
                    format!("two fields are called \"{}\"", name.value),
                    "one drawdown of each paint; a tint has `with` and `parts`",
                    "rename one of them, or remove the worse one",
                );
            }
            continue;
        };
        for paint in [name, &tint.with] {
            if !known.contains(paint.value.as_str()) {
                table.problem_with(&paint.at, || {
                    let help = nearest(&paint.value, pure()).map_or_else(
                        || "add its drawdown to the card, or remove the tint".to_owned(),
                        |near| format!("did you mean \"{near}\"?"),
                    );
                    (
                        format!("there is no drawdown of \"{}\" alone", paint.value),
                        "a drawdown of both paints of a tint on the same card".to_owned(),
                        help.into(),
                    )
                });
            }
        }
        if tint.with.value == name.value {
            table.problem(
                &tint.with.at,
                "this tint mixes a paint with itself",
                "another paint",
                "",
            );
        }
    }
}
