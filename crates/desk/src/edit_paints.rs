//! Edits of `paints.toml`.

use std::sync::Arc;

use toml_edit::{Array, Table, value};
use velatura_document::{Error, SourceText};
use velatura_pipeline::optics::paints_file::read_paints_file;

use crate::file_names::PAINTS;
use crate::text::{Text, named, number, reordered, set, set_or_remove, tables_of};

/// There is no such thing at this place.
fn none(what: &str, place: usize) -> Error {
    let found = format!("there is no {what} {}", place + 1);
    Error::refused(PAINTS, found, "", "look at the paints again")
}

/// A file without paints. The cards are those of the example in the file's description: a usual start, invented.
const NO_PAINTS: &str =
    "format = \"velatura-paints/1\"\n\n[cards]\nblack = \"#1c1c1c\"\nwhite = \"#f4f2ee\"\n";

/// An edited paints file, if it can be read.
fn checked(text: Text) -> Result<Arc<str>, Error> {
    let text = text.done(Some("paint"));
    let source = SourceText::from_bytes(PAINTS, text.as_bytes().to_vec())?;
    // Warnings come with the next view.
    let _ = read_paints_file(&source).map_err(Error::inputs)?;
    Ok(text)
}

fn edited(paints: Option<&str>) -> Result<Text, Error> {
    Text::edit(PAINTS, paints.unwrap_or(NO_PAINTS))
}

/// Adds a paint with these keys.
pub(crate) fn with_paint(
    paints: Option<&str>,
    name: &str,
    keys: [(&str, &str); 2],
) -> Result<Arc<str>, Error> {
    let mut text = edited(paints)?;
    let mut paint = Table::new();
    paint.decor_mut().set_prefix("\n");
    paint.insert("name", value(name));
    for (key, written) in keys {
        paint.insert(key, value(written));
    }
    text.tables("paint")?.push(paint);
    checked(text)
}

/// Adds the paints of another file; of equal names the new one stays.
pub(crate) fn with_file(paints: Option<&str>, other: &str) -> Result<Arc<str>, Error> {
    let Some(paints) = paints else {
        return Ok(other.into());
    };
    let mut new = Text::edit(PAINTS, other)?;
    let added: Vec<Table> = new.tables("paint")?.iter().cloned().collect();
    let mut text = edited(Some(paints))?;
    let name = |paint: &Table| crate::text::text_in(paint, "name").map(str::to_owned);
    reordered(text.tables("paint")?, |all| {
        all.retain(|paint| !added.iter().any(|new| name(new) == name(paint)));
        all.extend(added);
    });
    checked(text)
}

fn paint<'a>(text: &'a mut Text, paint: &str) -> Result<&'a mut Table, Error> {
    let paints = text.tables("paint")?;
    named(paints, paint)
        .and_then(|at| paints.get_mut(at))
        .ok_or_else(|| {
            let found = format!("no paint is called \"{paint}\"");
            Error::refused(PAINTS, found, "a paint of the box", "add the paint")
        })
}

/// Renames a paint, and where others are mixed with it.
pub(crate) fn with_paint_renamed(
    paints: Option<&str>,
    from: &str,
    to: &str,
) -> Result<Arc<str>, Error> {
    let mut text = edited(paints)?;
    set(paint(&mut text, from)?, "name", to);
    for other in text.tables("paint")?.iter_mut() {
        if let Some(tints) = other
            .get_mut("tint")
            .and_then(|tints| tints.as_array_of_tables_mut())
        {
            for tint in tints.iter_mut() {
                if crate::text::text_in(tint, "with") == Some(from) {
                    set(tint, "with", to);
                }
            }
        }
    }
    checked(text)
}

/// Sets whether the painter has a paint.
pub(crate) fn with_owned(paints: Option<&str>, name: &str, owned: bool) -> Result<Arc<str>, Error> {
    let mut text = edited(paints)?;
    set(paint(&mut text, name)?, "owned", owned);
    checked(text)
}

/// Sets whether a paint glints like metal.
pub(crate) fn with_metallic(
    paints: Option<&str>,
    name: &str,
    metallic: bool,
) -> Result<Arc<str>, Error> {
    let mut text = edited(paints)?;
    set_or_remove(
        paint(&mut text, name)?,
        "metallic",
        metallic.then_some(true),
    );
    checked(text)
}

/// Adds a drawdown of a paint mixed with another.
pub(crate) fn with_tint(
    paints: Option<&str>,
    name: &str,
    with: &str,
    parts: [f64; 2],
    colours: [(&str, &str); 2],
) -> Result<Arc<str>, Error> {
    let mut text = edited(paints)?;
    let mut tint = Table::new();
    tint.decor_mut().set_prefix("\n");
    tint.insert("with", value(with));
    let parts: Array = parts.into_iter().map(number).collect();
    tint.insert("parts", value(parts));
    for (key, written) in colours {
        tint.insert(key, value(written));
    }
    tables_of(paint(&mut text, name)?, "tint", PAINTS)?.push(tint);
    checked(text)
}

/// Removes a tint.
pub(crate) fn without_tint(
    paints: Option<&str>,
    name: &str,
    which: usize,
) -> Result<Arc<str>, Error> {
    let mut text = edited(paints)?;
    let tints = tables_of(paint(&mut text, name)?, "tint", PAINTS)?;
    if which >= tints.len() {
        return Err(none("tint", which));
    }
    tints.remove(which);
    checked(text)
}

/// Removes a paint, and the tints that others have with it.
pub(crate) fn without_paint(paints: Option<&str>, name: &str) -> Result<Arc<str>, Error> {
    let mut text = edited(paints)?;
    paint(&mut text, name)?;
    let is_it = |table: &Table, key: &str| crate::text::text_in(table, key) == Some(name);
    reordered(text.tables("paint")?, |paints| {
        paints.retain(|paint| !is_it(paint, "name"));
    });
    for other in text.tables("paint")?.iter_mut() {
        if let Some(tints) = other
            .get_mut("tint")
            .and_then(|tints| tints.as_array_of_tables_mut())
        {
            reordered(tints, |tints| tints.retain(|tint| !is_it(tint, "with")));
        }
    }
    checked(text)
}
