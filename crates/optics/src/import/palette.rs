//! Palettes as text (`.gpl`, the open format of general picture editors): colours with names, each a chip.
//!
//! In: first line `GIMP Palette …`, then lines `Name:` and `Columns:`, comments with `#`, and `R G B name` with codes 0…255.
//! Out: a [`Table`]. The format is from memory.

use super::found::Found;
use super::row::{Row, Seen, Table, fault};
use crate::colour::Encoded;
use crate::paints_file::reflectance::Fault;
use velatura_document::{At, SourceText};

/// What the first line begins with.
const FIRST_LINE: &str = "GIMP Palette";
/// What editors call a colour that nobody named.
const UNNAMED: &str = "untitled";

/// Whether a text is of this kind.
pub(super) fn is_palette(text: &str) -> bool {
    text.lines()
        .next()
        .is_some_and(|line| line.trim_start().starts_with(FIRST_LINE))
}

/// Reads a file. Problems go into `problems`, and reading goes on.
pub(super) fn read<'a>(source: &'a SourceText, problems: &Found<'_>) -> Table<'a> {
    let mut any_wrong = false;
    let mut rows = Vec::new();
    let mut start = 0;
    for (index, line) in source.text().split_inclusive('\n').enumerate() {
        let text = line.trim();
        let begins = start + (line.len() - line.trim_start().len());
        let at = begins..begins + text.len();
        start += line.len();
        let heading = text.starts_with(|c: char| c.is_ascii_alphabetic()) && text.contains(':');
        if index == 0 || text.is_empty() || text.starts_with('#') || heading {
            continue;
        }
        match colour(text) {
            Ok((colour, name)) => {
                let at = at.end - name.len()..at.end;
                rows.push(Row {
                    source,
                    name: At {
                        value: name.to_owned(),
                        at,
                    },
                    seen: Seen::Colour(colour),
                });
            }
            Err(wrong) => {
                any_wrong = true;
                problems.at(source, &at, || wrong);
            }
        }
    }
    if rows.is_empty() && !any_wrong {
        problems.in_file(source, || {
            fault(
                "this palette has no colour",
                "lines such as: 184 160 116 Old Rope",
                "",
            )
        });
    }
    Table {
        source,
        rows,
        specular: None,
    }
}

/// A line's colour and name.
fn colour(line: &str) -> Result<(Encoded, &str), Fault> {
    let mut rest = line;
    let mut codes = [0; 3];
    for code in &mut codes {
        let end = rest.find(char::is_whitespace).unwrap_or(rest.len());
        *code = rest[..end].parse().map_err(|_| {
            fault(
                format!("\"{}\" is not a colour code", &rest[..end]),
                "red, green and blue, each 0 to 255, and the paint's name",
                "",
            )
        })?;
        rest = rest[end..].trim_start();
    }
    if rest.is_empty() || rest.eq_ignore_ascii_case(UNNAMED) {
        return Err(fault(
            "this colour has no name",
            "the paint's name after the three codes",
            "add a name, or remove the line",
        ));
    }
    Ok((Encoded(codes), rest))
}
