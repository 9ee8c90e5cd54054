//! A place in a text file: line, column, and the part of the line that a message shows.

use std::fmt;
use std::ops::Range;

use serde::Serialize;

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::shown::{escaped, replacement};

/// The most columns of a terminal that a line takes, the "…" at its cuts apart: two lines of a usual terminal.
const SHOWN_COLUMNS: usize = 160;
/// How many of them come before the place, in a line that is cut.
const SHOWN_BEFORE: usize = 80;
/// Columns that a tab takes at most.
const TAB_COLUMNS: usize = 8;

/// A place in a text file. Lines and columns count from 1, columns in characters.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Place {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters of the whole line, from 1.
    pub column: usize,
    /// The line as written. Of a line that takes more than 160 columns of a terminal, the part around the place, with "…" at
    /// each cut.
    pub text: String,
    /// How many characters of `text` come before the caret.
    pub indent: usize,
    /// How many characters of `text` the caret underlines, at least 1.
    pub width: usize,
}

impl Place {
    /// The place of a byte range in a line; the range ends at character boundaries inside the line.
    pub(crate) fn in_line(number: usize, line: &str, at: Range<usize>) -> Self {
        let (before, after) = line.split_at(at.start);
        let (bytes, left) = fitting(before.chars().rev(), SHOWN_BEFORE);
        let mut from = at.start - bytes;
        let (bytes, left) = fitting(after.chars(), SHOWN_COLUMNS - SHOWN_BEFORE + left);
        let to = at.start + bytes;
        if to == line.len() {
            from -= fitting(line[..from].chars().rev(), left).0;
        }
        let start = if from > 0 { "…" } else { "" };
        let end = if to < line.len() { "…" } else { "" };
        let width = line[at.start..at.end.min(to)].chars().count();
        Self {
            line: number,
            column: before.chars().count() + 1,
            text: format!("{start}{}{end}", &line[from..to]),
            indent: line[from..at.start].chars().count() + usize::from(from > 0),
            width: width.max(1),
        }
    }
}

/// How many bytes of a text fit into so many columns, and how many columns are left.
fn fitting(text: impl Iterator<Item = char>, columns: usize) -> (usize, usize) {
    let (mut bytes, mut left) = (0, columns);
    for c in text {
        let Some(rest) = left.checked_sub(columns_at_most(c)) else {
            break;
        };
        left = rest;
        bytes += c.len_utf8();
    }
    (bytes, left)
}

/// Columns that a character takes at most. None takes no column here, so that a line of accents ends as well.
fn columns_at_most(c: char) -> usize {
    match replacement(c) {
        Some(escape) => escape.len(),
        None if c == '\t' => TAB_COLUMNS,
        None => c.width().unwrap_or(0).max(1),
    }
}

/// Two lines: the text, and carets below the place.
impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let split = |text: &str, count: usize| {
            text.char_indices()
                .nth(count)
                .map_or(text.len(), |(at, _)| at)
        };
        let (before, rest) = self.text.split_at(split(&self.text, self.indent));
        let marked = &rest[..split(rest, self.width)];
        // Tabs stay tabs above the caret, so that it is under its word whatever the tab width.
        let before = escaped(before);
        let indent: Vec<String> = before
            .split('\t')
            .map(|part| " ".repeat(part.width()))
            .collect();
        let carets = escaped(marked).width().max(1);
        write!(
            f,
            "   | {}\n   | {}{}",
            escaped(&self.text),
            indent.join("\t"),
            "^".repeat(carets)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The characters that the carets are under.
    fn marked(place: &Place) -> String {
        let shown = place.text.chars().skip(place.indent);
        shown.take(place.width).collect()
    }

    #[test]
    fn a_long_line_is_cut_around_its_place() {
        let line = format!("{}wrong{}", "a".repeat(5000), "b".repeat(5000));
        let place = Place::in_line(1, &line, 5000..5005);
        assert_eq!(place.column, 5001);
        assert_eq!(place.text.chars().count(), SHOWN_COLUMNS + 2);
        assert_eq!(marked(&place), "wrong");
        assert!(place.text.starts_with("…aa") && place.text.ends_with("bb…"));
        // At the very end nothing is cut there, and the caret is one past the last character.
        let end = Place::in_line(1, &line, line.len()..line.len());
        assert!(end.text.starts_with('…') && end.text.ends_with('b'));
        assert_eq!((end.indent, end.width), (SHOWN_COLUMNS + 1, 1));
        // A word longer than what is shown is underlined as far as it is shown.
        let word = Place::in_line(1, &line, 0..line.len());
        assert_eq!((word.indent, word.width), (0, SHOWN_COLUMNS));
        assert!(!word.text.starts_with('…') && word.text.ends_with('…'));
        // Must stay whole: a line of exactly as many characters as are shown, wherever its place.
        let fits = "ä".repeat(SHOWN_COLUMNS);
        for at in [0, 4, 100, 300, fits.len()] {
            assert_eq!(Place::in_line(1, &fits, at..at).text, fits, "{at}");
        }
        let more = fits.clone() + "ä";
        assert_ne!(Place::in_line(1, &more, 4..6).text, more);
    }

    #[test]
    fn wide_characters_tabs_and_escapes_are_cut_by_the_columns_that_they_take() {
        // A full-width character takes 2 columns (Unicode Standard Annex 11), a tab up to 8, an escape 6.
        for (filling, columns) in [("漆", 2), ("\t", 8), ("\x1b", 6), ("e\u{301}", 2)] {
            let line = format!("{}wrong{}", filling.repeat(400), filling.repeat(400));
            let at = line.find("wrong").unwrap();
            let place = Place::in_line(1, &line, at..at + 5);
            assert_eq!(marked(&place), "wrong", "{filling:?}");
            let kept = place.text.matches(filling).count();
            let fit = SHOWN_COLUMNS / columns;
            assert!((fit - 4..=fit).contains(&kept), "{filling:?}: {kept}");
        }
    }

    #[test]
    fn carets_are_under_wide_characters() {
        let line = "名 = \"漆色\" # e\u{301}x";
        let at = line.find("漆").unwrap();
        let place = Place::in_line(1, line, at..at + "漆色".len());
        assert_eq!(place.to_string(), format!("   | {line}\n   |       ^^^^"));
        let at = line.find('x').unwrap();
        let place = Place::in_line(1, line, at..at + 1);
        assert_eq!(
            place.to_string(),
            format!("   | {line}\n   | {}^", " ".repeat(15))
        );
    }

    #[test]
    fn escapes_do_not_move_the_caret_off_its_word() {
        let line = "\t\x1bx = \"\u{202e}\"";
        let at = line.find('\u{202e}').unwrap();
        let place = Place::in_line(3, line, at..at + 3);
        assert_eq!(
            place.to_string(),
            "   | \t\\u001bx = \"\\u202e\"\n   | \t           ^^^^^^"
        );
    }
}
