//! A mix as a user types it: `Oil Amber:3,medium:7`, parts by volume.
//!
//! In: text, and the box whose paints it names. Out: the mix, or everything that is wrong with the text. The other way round as
//! well.

use velatura_document::{Diagnostic, counted, nearest};
use velatura_optics::calibrate::PaintBox;
use velatura_optics::mixture::Mix;
use velatura_optics::paints_file::PARTS;

use crate::resolve::MEDIUM;

/// The form of a mix, for messages.
const FORM: &str = "paints with their parts by volume, such as \"Oil Amber:3,medium:7\"";

/// Reads a mix.
///
/// `paints_name` is the name of the box's file, for messages. A paint's name may hold commas and colons.
///
/// # Errors
/// Every part that is empty, has no number of parts or names no paint of the box, with the most similar name.
pub fn read_mix(text: &str, paints: &PaintBox, paints_name: &str) -> Result<Mix, Vec<Diagnostic>> {
    let mut mix = Mix::default();
    let mut problems = Vec::new();
    for piece in pieces(text, paints) {
        match part(piece, paints, paints_name) {
            Ok((Some(paint), parts)) if mix.paints.iter().all(|(other, _)| *other != paint) => {
                mix.paints.push((paint, parts));
            }
            Ok((None, parts)) if mix.medium <= 0.0 => mix.medium = parts,
            Ok((paint, _)) => {
                let name = paint.map_or(MEDIUM, |paint| &paints.paints[paint].name);
                problems.push(
                    problem(format!("\"{name}\" appears twice"))
                        .help("write it once, with all of its parts"),
                );
            }
            Err(found) => problems.push(found),
        }
    }
    if problems.is_empty() {
        Ok(mix)
    } else {
        Err(problems)
    }
}

/// Writes a mix so that [`read_mix`] reads it.
#[must_use]
pub fn mix_text(mix: &Mix, paints: &PaintBox) -> String {
    named_parts(mix, paints)
        .map(|(name, parts)| format!("{name}:{parts}"))
        .collect::<Vec<_>>()
        .join(",")
}

/// The names of a mix with their parts, medium last.
pub fn named_parts<'a>(mix: &Mix, paints: &'a PaintBox) -> impl Iterator<Item = (&'a str, f64)> {
    let medium = (mix.medium > 0.0).then_some((MEDIUM, mix.medium));
    let named = mix
        .paints
        .iter()
        .map(|(paint, parts)| (paints.paints[*paint].name.as_str(), *parts));
    named.chain(medium)
}

/// The text between commas. A comma inside a paint's name separates nothing.
fn pieces<'a>(text: &'a str, paints: &PaintBox) -> Vec<&'a str> {
    let mut pieces = Vec::new();
    let mut begin = 0;
    for (comma, _) in text.match_indices(',').chain([(text.len(), "")]) {
        let begun = text[begin..comma].trim();
        let goes_on = paints.paints.iter().any(|paint| {
            text[begin..].trim_start().starts_with(&paint.name)
                && paint.name.len() > begun.len()
                && comma < text.len()
        });
        if !goes_on {
            pieces.push(begun);
            begin = comma + 1;
        }
    }
    pieces
}

fn part(
    piece: &str,
    paints: &PaintBox,
    paints_name: &str,
) -> Result<(Option<usize>, f64), Diagnostic> {
    if piece.is_empty() {
        return Err(problem("the mix has an empty part".to_owned())
            .help("remove the comma with nothing before or after it"));
    }
    let Some((name, parts)) = piece.rsplit_once(':') else {
        return Err(problem(format!("\"{piece}\" has no parts"))
            .help(format!("add a number: \"{piece}:1\"")));
    };
    let (name, parts) = (name.trim(), parts.trim());
    if name.is_empty() {
        return Err(problem("the mix has a part without a name".to_owned())
            .help("write the paint's name before the colon"));
    }
    let index = paints.index_of(name);
    if index.is_none() && name != MEDIUM {
        return Err(unknown(name, paints, paints_name));
    }
    match parts.parse::<f64>() {
        Ok(number) if PARTS.contains(number) => Ok((index, number)),
        Ok(number) if number.is_finite() => Err(problem(format!("{parts} parts of \"{name}\""))
            .help(format!(
                "use parts {}, or remove it from the mix",
                PARTS.words()
            ))),
        _ => Err(problem(format!("\"{parts}\" parts of \"{name}\""))
            .help("write a number with a decimal point, not a comma: 2.5")),
    }
}

fn unknown(name: &str, paints: &PaintBox, paints_name: &str) -> Diagnostic {
    let names = paints.paints.iter().map(|paint| paint.name.as_str());
    let found = Diagnostic::error("", format!("no paint is called \"{name}\"")).expected(format!(
        "a paint in {paints_name} ({}), or medium",
        counted(paints.paints.len(), "paint")
    ));
    match nearest(name, names.chain([MEDIUM])) {
        Some(near) => found.help(format!("did you mean \"{near}\"?")),
        None => found.help(format!("add the paint to {paints_name}, or use another")),
    }
}

fn problem(found: String) -> Diagnostic {
    Diagnostic::error("", found).expected(FORM)
}
