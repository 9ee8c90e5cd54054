//! Edits of `schemes.toml`.

use std::sync::Arc;

use toml_edit::{ArrayOfTables, InlineTable, Item, Table, value};
use velatura_document::{Error, SourceText, counted};
use velatura_pipeline::scheme::{MEDIUM, brush_coats, read_schemes_file};

use crate::file_names::SCHEMES;
use crate::text::{
    Text, mix_in, mix_of, number, reordered, set, set_with_remark, tables_of, text_in,
    with_key_renamed,
};

/// The file's name and a new text of it.
type Edited = Result<Arc<str>, Error>;

/// An edited schemes file, if it can be read.
fn checked(text: Text) -> Edited {
    let text = text.done(Some("scheme"));
    let source = SourceText::from_bytes(SCHEMES, text.as_bytes().to_vec())?;
    // Warnings come with the next view.
    let _ = read_schemes_file(&source).map_err(Error::inputs)?;
    Ok(text)
}

fn edit(schemes: &str) -> Result<Text, Error> {
    Text::edit(SCHEMES, schemes)
}

/// There is no scheme or coat at this place.
pub(crate) fn none(what: &str, place: usize) -> Error {
    let found = format!("there is no {what} {}", place + 1);
    Error::refused(SCHEMES, found, "", "look at the schemes again")
}

fn scheme(text: &mut Text, scheme: usize) -> Result<&mut Table, Error> {
    let schemes = text.tables("scheme")?;
    schemes
        .get_mut(scheme)
        .ok_or_else(|| none("scheme", scheme))
}

fn coats(text: &mut Text, at: usize) -> Result<&mut ArrayOfTables, Error> {
    tables_of(scheme(text, at)?, "coat", SCHEMES)
}

fn coat(text: &mut Text, scheme: usize, coat: usize) -> Result<&mut Table, Error> {
    let coats = coats(text, scheme)?;
    coats.get_mut(coat).ok_or_else(|| none("coat", coat))
}

/// A name that no scheme has: the one wished for, or with a number after it.
fn free_name(text: &mut Text, wished: &str) -> Result<String, Error> {
    let schemes = text.tables("scheme")?;
    let taken = |name: &str| {
        schemes
            .iter()
            .any(|table| text_in(table, "name") == Some(name))
    };
    let mut name = wished.to_owned();
    let mut number = 2;
    while taken(&name) {
        name = format!("{wished} {number}");
        number += 1;
    }
    Ok(name)
}

/// A coat of one paint thinned with medium, or of medium alone.
fn new_coat(region: &str, paint: Option<&str>) -> Table {
    let mut mix = InlineTable::new();
    if let Some(paint) = paint {
        mix.insert(paint, 1.into());
    }
    // A usual glaze: one part of paint, two of medium (common practice, no source).
    mix.insert(MEDIUM, if paint.is_some() { 2 } else { 1 }.into());
    let mut coat = Table::new();
    coat.decor_mut().set_prefix("\n");
    coat.insert("region", value(region));
    coat.insert("mix", value(mix));
    set_with_remark(&mut coat, "film", 1.0, &brush_coats(1.0));
    coat
}

/// Adds a scheme with one coat per part, the owned paints in turn.
pub(crate) fn with_new_scheme(schemes: &str, parts: &[&str], paints: &[&str]) -> Edited {
    let mut text = edit(schemes)?;
    let name = free_name(&mut text, "New scheme")?;
    let mut new = Table::new();
    new.decor_mut().set_prefix("\n");
    new.insert("name", value(name));
    let mut coats = ArrayOfTables::new();
    for (part, at) in parts.iter().zip(0..) {
        let paint = paints.get(at % paints.len().max(1)).copied();
        coats.push(new_coat(part, paint));
    }
    new.insert("coat", Item::ArrayOfTables(coats));
    text.tables("scheme")?.push(new);
    checked(text)
}

/// The schemes of another file, in place of all or after them. Returns how many there are now.
pub(crate) fn with_file(schemes: &str, other: &str, replace: bool) -> Edited {
    if replace {
        return Ok(other.into());
    }
    let mut text = edit(schemes)?;
    let mut other = edit(other)?;
    for mut new in other.tables("scheme")?.clone() {
        let wished = text_in(&new, "name").unwrap_or("Scheme").to_owned();
        let name = free_name(&mut text, &wished)?;
        set(&mut new, "name", name);
        text.tables("scheme")?.push(new);
    }
    checked(text)
}

/// Adds the schemes of another file after one of these.
pub(crate) fn with_file_after(schemes: &str, other: &str, after: usize) -> Edited {
    let count = edit(schemes)?.tables("scheme")?.len();
    let mut joined = with_file(schemes, other, false)?;
    let added = edit(&joined)?.tables("scheme")?.len() - count;
    for index in 0..added {
        joined = with_scheme_moved(&joined, count + index, after + 1 + index)?;
    }
    Ok(joined)
}

/// Copies a scheme; the copy follows it.
pub(crate) fn with_scheme_copied(schemes: &str, at: usize) -> Edited {
    let mut text = edit(schemes)?;
    let mut copy = scheme(&mut text, at)?.clone();
    let name = text_in(&copy, "name").unwrap_or("Scheme").to_owned();
    let name = free_name(&mut text, &format!("{name}, changed"))?;
    set(&mut copy, "name", name);
    reordered(text.tables("scheme")?, |all| all.insert(at + 1, copy));
    checked(text)
}

/// Renames a scheme.
pub(crate) fn with_scheme_renamed(schemes: &str, at: usize, name: &str) -> Edited {
    let mut text = edit(schemes)?;
    let same = text
        .tables("scheme")?
        .iter()
        .position(|table| text_in(table, "name") == Some(name));
    if same.is_some_and(|other| other != at) {
        let found = format!("another scheme is called \"{name}\"");
        return Err(Error::refused(
            SCHEMES,
            found,
            "a different name for every scheme",
            "choose another name",
        ));
    }
    set(scheme(&mut text, at)?, "name", name);
    checked(text)
}

/// Removes a scheme.
pub(crate) fn without_scheme(schemes: &str, at: usize) -> Edited {
    let mut text = edit(schemes)?;
    scheme(&mut text, at)?;
    reordered(text.tables("scheme")?, |all| {
        all.remove(at);
    });
    checked(text)
}

/// Moves a scheme to another place.
pub(crate) fn with_scheme_moved(schemes: &str, at: usize, to: usize) -> Edited {
    let mut text = edit(schemes)?;
    scheme(&mut text, at)?;
    scheme(&mut text, to)?;
    reordered(text.tables("scheme")?, |all| {
        let moved = all.remove(at);
        all.insert(to, moved);
    });
    checked(text)
}

/// Sets a text of a scheme: its team, its undercoat or its varnish.
pub(crate) fn with_text(schemes: &str, at: usize, key: &str, new: &str) -> Edited {
    let mut text = edit(schemes)?;
    set(scheme(&mut text, at)?, key, new);
    checked(text)
}

/// Adds a coat on a part, above its others.
pub(crate) fn with_coat(schemes: &str, at: usize, part: &str, paint: Option<&str>) -> Edited {
    let mut text = edit(schemes)?;
    coats(&mut text, at)?.push(new_coat(part, paint));
    checked(text)
}

/// Removes a coat.
pub(crate) fn without_coat(schemes: &str, at: usize, which: usize) -> Edited {
    let mut text = edit(schemes)?;
    coat(&mut text, at, which)?;
    reordered(coats(&mut text, at)?, |all| {
        all.remove(which);
    });
    checked(text)
}

/// Exchanges a coat with the next one above or below it on the same part.
pub(crate) fn with_coat_moved(schemes: &str, at: usize, which: usize, up: bool) -> Edited {
    let mut text = edit(schemes)?;
    coat(&mut text, at, which)?;
    reordered(coats(&mut text, at)?, |all| {
        let region = text_in(&all[which], "region").map(str::to_owned);
        let same = |place: &usize| text_in(&all[*place], "region") == region.as_deref();
        let other = match up {
            true => (which + 1..all.len()).find(same),
            false => (0..which).rev().find(same),
        };
        if let Some(other) = other {
            all.swap(which, other);
        }
    });
    checked(text)
}

/// Sets the parts of a paint in a mix; 0 leaves it out.
pub(crate) fn with_parts(
    schemes: &str,
    at: usize,
    which: usize,
    paint: &str,
    parts: f64,
) -> Edited {
    let mut text = edit(schemes)?;
    let coat = coat(&mut text, at, which)?;
    let mix = coat.get_mut("mix").and_then(Item::as_table_like_mut);
    let mix = mix.ok_or_else(|| none("mix in coat", which))?;
    if parts > 0.0 {
        mix.insert(paint, Item::Value(number(parts)));
    } else {
        if mix.len() == 1 && mix.contains_key(paint) {
            return Err(Error::refused(
                SCHEMES,
                format!("\"{paint}\" is all that is in this mix"),
                "at least one paint, or medium",
                "add another paint first, or remove the coat",
            ));
        }
        mix.remove(paint);
    }
    checked(text)
}

/// Puts another mix in the place of all coats of a part, or adds a coat.
pub(crate) fn with_mix_on_part(
    schemes: &str,
    at: usize,
    part: &str,
    mix: &[(String, f64)],
    film: f64,
) -> Edited {
    let mut text = edit(schemes)?;
    let mut new = new_coat(part, None);
    new.insert("mix", value(mix_of(mix)));
    set_with_remark(&mut new, "film", film, &brush_coats(film));
    reordered(coats(&mut text, at)?, |all| {
        let first = all
            .iter()
            .position(|coat| text_in(coat, "region") == Some(part));
        all.retain(|coat| text_in(coat, "region") != Some(part));
        all.insert(first.unwrap_or(all.len()).min(all.len()), new);
    });
    checked(text)
}

/// The mix of the only coat that a part has in a scheme.
///
/// # Errors
/// It has no coat or several: proposals give a part one mix.
pub(crate) fn mix_on_part(
    schemes: &str,
    at: usize,
    part: &str,
) -> Result<Vec<(String, f64)>, Error> {
    let mut text = edit(schemes)?;
    let coats: Vec<&Table> = coats(&mut text, at)?
        .iter()
        .filter(|coat| text_in(coat, "region") == Some(part))
        .collect();
    let [coat] = coats[..] else {
        let found = format!("\"{part}\" has {}", counted(coats.len(), "coat"));
        let help = "proposals give a part one mix: leave one coat on it";
        return Err(Error::refused(SCHEMES, found, "one coat", help));
    };
    Ok(mix_in(coat, "mix"))
}

/// Sets the film of a coat.
pub(crate) fn with_film(schemes: &str, at: usize, which: usize, film: f64) -> Edited {
    let mut text = edit(schemes)?;
    let coat = coat(&mut text, at, which)?;
    set_with_remark(coat, "film", film, &brush_coats(film));
    checked(text)
}

/// Sets where a coat goes.
pub(crate) fn with_where(schemes: &str, at: usize, which: usize, place: &str) -> Edited {
    let mut text = edit(schemes)?;
    let coat = coat(&mut text, at, which)?;
    set(coat, "where", place);
    if place != "edges" {
        coat.remove("width_mm");
    }
    checked(text)
}

/// Sets a number of a coat: how far it runs into the recesses, or how wide it is along edges.
pub(crate) fn with_number(schemes: &str, at: usize, which: usize, key: &str, new: f64) -> Edited {
    let mut text = edit(schemes)?;
    set(coat(&mut text, at, which)?, key, new);
    checked(text)
}

/// Renames a part in every coat.
pub(crate) fn with_part_renamed(schemes: &str, from: &str, to: &str) -> Edited {
    let mut text = edit(schemes)?;
    for scheme in text.tables("scheme")?.iter_mut() {
        for coat in tables_of(scheme, "coat", SCHEMES)?.iter_mut() {
            if text_in(coat, "region") == Some(from) {
                set(coat, "region", to);
            }
        }
    }
    checked(text)
}

/// Removes every coat of a part.
pub(crate) fn without_part(schemes: &str, part: &str) -> Edited {
    let mut text = edit(schemes)?;
    for scheme in text.tables("scheme")?.iter_mut() {
        reordered(tables_of(scheme, "coat", SCHEMES)?, |all| {
            all.retain(|coat| text_in(coat, "region") != Some(part));
        });
    }
    checked(text)
}

/// Renames a paint in every mix.
pub(crate) fn with_paint_renamed(schemes: &str, from: &str, to: &str) -> Edited {
    let mut text = edit(schemes)?;
    for scheme in text.tables("scheme")?.iter_mut() {
        for coat in tables_of(scheme, "coat", SCHEMES)?.iter_mut() {
            if let Some(mix) = coat.get_mut("mix").and_then(Item::as_table_like_mut) {
                with_key_renamed(mix, from, to);
            }
        }
    }
    checked(text)
}
