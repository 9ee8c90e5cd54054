//! Edits of `figure.toml`.

use std::sync::Arc;

use toml_edit::{Item, Table, value};
use velatura::NewFigure;
use velatura_document::{Error, SourceText};
use velatura_pipeline::figure::read_figure_file;
use velatura_pipeline::optics::colour::Encoded;

use crate::colours_of_parts::new_colour;
use crate::command::TonePoint;
use crate::file_names::FIGURE;
use crate::text::{
    Text, mix_in, mix_of, named, number_in, reordered, set, set_or_remove, text_in,
    with_key_renamed,
};

/// A figure without parts.
pub(crate) fn new_figure(name: &str, photo: &str) -> Arc<str> {
    let figure = NewFigure {
        name: name.to_owned(),
        photo: photo.to_owned(),
        mask: "mask.png".to_owned(),
        undercoat: "black-to-white".to_owned(),
        parts: Vec::new(),
    };
    figure.figure_text().into()
}

/// What a page needs to know of a figure file, whether or not it has parts.
#[derive(Debug, Clone, Default)]
pub(crate) struct FigureText {
    pub(crate) name: String,
    pub(crate) photo: String,
    pub(crate) mask: String,
    pub(crate) height_mm: f64,
    pub(crate) count: u32,
    pub(crate) undercoat: String,
    pub(crate) black: Option<String>,
    pub(crate) white: Option<String>,
    pub(crate) light_photo: Option<String>,
    pub(crate) parts: Vec<PartText>,
}

/// A part as written.
#[derive(Debug, Clone)]
pub(crate) struct PartText {
    pub(crate) name: String,
    pub(crate) colour: Encoded,
    pub(crate) is: Option<String>,
    pub(crate) same_as: Option<String>,
    pub(crate) natural: bool,
    /// Paints with their parts; empty: no mix is kept.
    pub(crate) keep: Vec<(String, f64)>,
}

impl FigureText {
    /// Reads a figure file that is known to be well written.
    pub(crate) fn read(text: &str) -> Result<Self, Error> {
        let mut text = Text::edit(FIGURE, text)?;
        let regions = text.tables("region")?;
        let parts = regions
            .iter()
            .filter_map(|region| {
                Some(PartText {
                    name: text_in(region, "name")?.to_owned(),
                    colour: text_in(region, "mask_colour")?.parse().ok()?,
                    is: text_in(region, "is").map(str::to_owned),
                    same_as: text_in(region, "same_as").map(str::to_owned),
                    natural: region.get("natural").and_then(Item::as_bool) != Some(false),
                    keep: mix_in(region, "keep"),
                })
            })
            .collect();
        let top = text.top();
        let count = top.get("count").and_then(Item::as_integer);
        let count = count.and_then(|count| u32::try_from(count).ok());
        let undercoat = top.get("undercoat").and_then(Item::as_table_like);
        let of_undercoat = |key: &str| {
            let item = undercoat?.get(key)?;
            item.as_str().map(str::to_owned)
        };
        Ok(Self {
            name: text_in(top, "name").unwrap_or_default().to_owned(),
            photo: text_in(top, "photo").unwrap_or_default().to_owned(),
            mask: text_in(top, "mask").unwrap_or_default().to_owned(),
            // The default of the file.
            height_mm: top.get("height_mm").and_then(number_in).unwrap_or(32.0),
            count: count.unwrap_or(1),
            undercoat: of_undercoat("kind").unwrap_or_default(),
            black: of_undercoat("black"),
            white: of_undercoat("white"),
            light_photo: of_undercoat("light_photo"),
            parts,
        })
    }

    /// The parts' colours in the mask, in the order of the file.
    pub(crate) fn colours(&self) -> Vec<Encoded> {
        self.parts.iter().map(|part| part.colour).collect()
    }

    /// The part of a name.
    ///
    /// # Errors
    /// There is none.
    pub(crate) fn part(&self, name: &str) -> Result<&PartText, Error> {
        let part = self.parts.iter().find(|part| part.name == name);
        part.ok_or_else(|| no_part(name))
    }
}

fn no_part(name: &str) -> Error {
    let found = format!("no part is called \"{name}\"");
    Error::refused(FIGURE, found, "a part of the figure", "add the part")
}

/// An edited figure file, if it can be read.
fn checked(text: Text) -> Result<Arc<str>, Error> {
    let text = text.done(None);
    let mut whole = text.to_string();
    if FigureText::read(&text)?.parts.is_empty() {
        // A file without parts is a beginning. Everything else in it must be right.
        whole += "\n[[region]]\nname = \"part\"\nmask_colour = \"#ff0000\"\n";
    }
    let source = SourceText::from_bytes(FIGURE, whole.into_bytes())?;
    // Warnings come with the next view.
    let _ = read_figure_file(&source).map_err(Error::inputs)?;
    Ok(text)
}

/// Sets a value above all tables.
pub(crate) fn with_name(figure: &str, name: &str) -> Result<Arc<str>, Error> {
    let mut text = Text::edit(FIGURE, figure)?;
    set(text.top(), "name", name);
    checked(text)
}

/// Sets how tall the figure is.
pub(crate) fn with_height(figure: &str, mm: f64) -> Result<Arc<str>, Error> {
    let mut text = Text::edit(FIGURE, figure)?;
    set(text.top(), "height_mm", mm);
    checked(text)
}

/// Sets how many such figures the team has.
pub(crate) fn with_count(figure: &str, count: u32) -> Result<Arc<str>, Error> {
    let mut text = Text::edit(FIGURE, figure)?;
    set(text.top(), "count", i64::from(count));
    checked(text)
}

/// Names the photo.
pub(crate) fn with_photo(figure: &str, photo: &str) -> Result<Arc<str>, Error> {
    let mut text = Text::edit(FIGURE, figure)?;
    set(text.top(), "photo", photo);
    checked(text)
}

fn undercoat(text: &mut Text) -> Result<&mut Table, Error> {
    let item = text.top().entry("undercoat");
    let item = item.or_insert_with(|| Item::Table(Table::new()));
    if item.is_value() {
        let written = std::mem::take(item);
        *item = written.into_table().map_or_else(|other| other, Item::Table);
    }
    item.as_table_mut().ok_or_else(|| {
        let found = "`undercoat` is not a table";
        Error::refused(FIGURE, found, "[undercoat]", "open another file")
    })
}

/// Sets how the figure was undercoated.
pub(crate) fn with_undercoat(figure: &str, kind: &str) -> Result<Arc<str>, Error> {
    let mut text = Text::edit(FIGURE, figure)?;
    set(undercoat(&mut text)?, "kind", kind);
    checked(text)
}

/// Sets a grey of the undercoat, or leaves it to be estimated.
pub(crate) fn with_point(
    figure: &str,
    point: TonePoint,
    colour: Option<Encoded>,
) -> Result<Arc<str>, Error> {
    let key = match point {
        TonePoint::Black => "black",
        TonePoint::White => "white",
    };
    set_in_undercoat(figure, key, colour.map(|colour| colour.to_string()))
}

/// Names the light photo.
pub(crate) fn with_light_photo(figure: &str, path: Option<&str>) -> Result<Arc<str>, Error> {
    set_in_undercoat(figure, "light_photo", path.map(str::to_owned))
}

fn set_in_undercoat(figure: &str, key: &str, new: Option<String>) -> Result<Arc<str>, Error> {
    let mut text = Text::edit(FIGURE, figure)?;
    set_or_remove(undercoat(&mut text)?, key, new);
    checked(text)
}

/// Adds a part, in a colour of its own unless one is given.
pub(crate) fn with_part(
    figure: &str,
    name: &str,
    colour: Option<Encoded>,
) -> Result<Arc<str>, Error> {
    let used = FigureText::read(figure)?.colours();
    let mut text = Text::edit(FIGURE, figure)?;
    let mut part = Table::new();
    part.decor_mut().set_prefix("\n");
    part.insert("name", value(name));
    let colour = colour.unwrap_or_else(|| new_colour(&used));
    part.insert("mask_colour", value(colour.to_string()));
    text.tables("region")?.push(part);
    checked(text)
}

/// The table of a part.
fn region<'a>(text: &'a mut Text, part: &str) -> Result<&'a mut Table, Error> {
    let regions = text.tables("region")?;
    let found = named(regions, part);
    found
        .and_then(|at| regions.get_mut(at))
        .ok_or_else(|| no_part(part))
}

/// Renames a part, and where others share its mix.
pub(crate) fn with_part_renamed(figure: &str, part: &str, name: &str) -> Result<Arc<str>, Error> {
    let mut text = Text::edit(FIGURE, figure)?;
    set(region(&mut text, part)?, "name", name);
    for other in text.tables("region")?.iter_mut() {
        if text_in(other, "same_as") == Some(part) {
            set(other, "same_as", name);
        }
    }
    checked(text)
}

/// Sets what a part is.
pub(crate) fn with_material(figure: &str, part: &str, is: Option<&str>) -> Result<Arc<str>, Error> {
    let mut text = Text::edit(FIGURE, figure)?;
    set_or_remove(region(&mut text, part)?, "is", is);
    checked(text)
}

/// Names the part whose mix proposals also give to this one.
pub(crate) fn with_same_as(
    figure: &str,
    part: &str,
    other: Option<&str>,
) -> Result<Arc<str>, Error> {
    let mut text = Text::edit(FIGURE, figure)?;
    set_or_remove(region(&mut text, part)?, "same_as", other);
    checked(text)
}

/// Sets whether a part stays in natural colours.
pub(crate) fn with_natural(figure: &str, part: &str, natural: bool) -> Result<Arc<str>, Error> {
    let mut text = Text::edit(FIGURE, figure)?;
    // Natural colours are the file's default.
    set_or_remove(
        region(&mut text, part)?,
        "natural",
        (!natural).then_some(false),
    );
    checked(text)
}

/// Sets the mix that a part has in every proposal; without paints it is free again.
pub(crate) fn with_kept_mix(
    figure: &str,
    part: &str,
    mix: &[(String, f64)],
) -> Result<Arc<str>, Error> {
    let mut text = Text::edit(FIGURE, figure)?;
    let mix = (!mix.is_empty()).then(|| mix_of(mix));
    set_or_remove(region(&mut text, part)?, "keep", mix);
    checked(text)
}

/// Renames a paint in the mixes that are kept.
pub(crate) fn with_paint_renamed(figure: &str, from: &str, to: &str) -> Result<Arc<str>, Error> {
    let mut text = Text::edit(FIGURE, figure)?;
    for region in text.tables("region")?.iter_mut() {
        if let Some(keep) = region.get_mut("keep").and_then(Item::as_table_like_mut) {
            with_key_renamed(keep, from, to);
        }
    }
    checked(text)
}

/// Removes a part.
pub(crate) fn without_part(figure: &str, part: &str) -> Result<Arc<str>, Error> {
    let mut text = Text::edit(FIGURE, figure)?;
    region(&mut text, part)?;
    reordered(text.tables("region")?, |regions| {
        regions.retain(|region| text_in(region, "name") != Some(part));
    });
    for other in text.tables("region")?.iter_mut() {
        if text_in(other, "same_as") == Some(part) {
            other.remove("same_as");
        }
    }
    checked(text)
}
