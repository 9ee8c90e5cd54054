//! A place in a text file: line, column, and the part of the line that a message shows.

use std::fmt;
use std::ops::Range;

use serde::Serialize;

use crate::shown::escaped;

/// The most characters of a line that are shown.
const SHOWN_CHARS: usize = 200;
/// How many of them come before the column, in a line that is cut.
const SHOWN_BEFORE: usize = 100;

/// A place in a text file. Lines and columns count from 1, columns in characters.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Place {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters of the whole line, from 1.
    pub column: usize,
    /// The line as written. Of a line with more than 200 characters, the 200 around the column, with "…" at each cut.
    pub text: String,
    /// How many characters of `text` come before the caret.
    pub indent: usize,
    /// How many characters of `text` the caret underlines, at least 1.
    pub width: usize,
}

impl Place {
    /// The place of a byte range in a line; the range ends at character boundaries inside the line.
    pub(crate) fn in_line(number: usize, line: &str, at: Range<usize>) -> Self {
        let before = line[..at.start].chars().count();
        let width = line[at.clone()].chars().count();
        let total = before + width + line[at.end..].chars().count();
        let (from, to) = if total <= SHOWN_CHARS {
            (0, total)
        } else {
            let from = before.saturating_sub(SHOWN_BEFORE).min(total - SHOWN_CHARS);
            (from, from + SHOWN_CHARS)
        };
        let start = if from > 0 { "…" } else { "" };
        let end = if to < total { "…" } else { "" };
        let text: String = line.chars().skip(from).take(to - from).collect();
        Self {
            line: number,
            column: before + 1,
            text: format!("{start}{text}{end}"),
            indent: before - from + usize::from(from > 0),
            width: width.min(to.saturating_sub(before)).max(1),
        }
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
        let indent: String = escaped(before)
            .chars()
            .map(|c| if c == '\t' { '\t' } else { ' ' })
            .collect();
        let carets = escaped(marked).chars().count().max(self.width);
        write!(
            f,
            "   | {}\n   | {indent}{}",
            escaped(&self.text),
            "^".repeat(carets)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_line_is_cut_around_its_column() {
        let line = format!("{}wrong{}", "a".repeat(5000), "b".repeat(5000));
        let place = Place::in_line(1, &line, 5000..5005);
        assert_eq!(place.column, 5001);
        assert_eq!(place.text.chars().count(), SHOWN_CHARS + 2);
        let shown: Vec<char> = place.text.chars().collect();
        let marked: String = shown[place.indent..place.indent + place.width]
            .iter()
            .collect();
        assert_eq!(marked, "wrong");
        assert!(place.text.starts_with("…aa") && place.text.ends_with("bb…"));
        // At the very end nothing is cut there, and the caret is one past the last character.
        let end = Place::in_line(1, &line, line.len()..line.len());
        assert!(end.text.starts_with('…') && end.text.ends_with('b'));
        assert_eq!((end.indent, end.width), (SHOWN_CHARS + 1, 1));
        // A word longer than what is shown is underlined as far as it is shown.
        let word = Place::in_line(1, &line, 0..line.len());
        assert_eq!((word.indent, word.width), (0, SHOWN_CHARS));
        assert!(!word.text.starts_with('…') && word.text.ends_with('…'));
        // Must stay whole: a line of exactly as many characters as are shown.
        let fits = "ä".repeat(SHOWN_CHARS);
        assert_eq!(Place::in_line(1, &fits, 4..6).text, fits);
    }

    #[test]
    fn escapes_do_not_move_the_caret_off_its_word() {
        let line = "\t\x1bx = \"\u{202e}\"";
        let at = line.find('\u{202e}').unwrap();
        let place = Place::in_line(3, line, at..at + 3);
        assert_eq!(
            place.to_string(),
            "   | \t\\u{1b}x = \"\\u{202e}\"\n   | \t           ^^^^^^^^"
        );
    }
}
