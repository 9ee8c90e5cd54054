//! A text file in memory: its name, its text, and where its lines begin.

use std::ops::Range;
use std::sync::{Arc, OnceLock};

use crate::diagnostic::{Diagnostic, Severity};
use crate::place::Place;

/// A text file: its name as the user wrote it, and its text. Clones share the text.
#[derive(Debug, Clone)]
pub struct SourceText(Arc<File>);

#[derive(Debug)]
struct File {
    name: String,
    text: String,
    /// The byte at which each line begins; made when the first place is asked for, since most files have no problem.
    line_starts: OnceLock<Vec<usize>>,
}

impl SourceText {
    /// A file by its name and text; a byte order mark at the start is taken off.
    #[must_use]
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        let mut text = text.into();
        if text.starts_with('\u{feff}') {
            text.drain(..'\u{feff}'.len_utf8());
        }
        Self(Arc::new(File {
            name: name.into(),
            text,
            line_starts: OnceLock::new(),
        }))
    }

    /// A file by its name and bytes.
    ///
    /// # Errors
    /// If the bytes are not UTF-8: a diagnostic with the line of the first wrong byte.
    pub fn from_bytes(name: impl Into<String>, bytes: Vec<u8>) -> Result<Self, Diagnostic> {
        match String::from_utf8(bytes) {
            Ok(text) => Ok(Self::new(name, text)),
            Err(wrong) => {
                let upto = wrong.utf8_error().valid_up_to();
                let before = &wrong.as_bytes()[..upto];
                let line = before.iter().filter(|b| **b == b'\n').count() + 1;
                Err(Diagnostic::error(
                    name,
                    format!("line {line} holds bytes that are not UTF-8 text"),
                )
                .expected("a TOML file, saved as UTF-8")
                .help("save it again with the encoding UTF-8"))
            }
        }
    }

    /// The name, for messages.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.0.name
    }

    /// The text, without a byte order mark.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.0.text
    }

    /// A problem at a byte range of this file. Complete it with `within`, `expected` and `help`.
    #[must_use]
    pub fn error_at(&self, at: &Range<usize>, found: impl Into<String>) -> Diagnostic {
        Diagnostic::new(
            Severity::Error,
            self.name().to_owned(),
            Some(self.place(at)),
            found.into(),
        )
    }

    /// Line, column and caret of a byte range. A range over several lines ends with its first line; one beyond the text is
    /// moved to the end of the text.
    #[must_use]
    pub fn place(&self, at: &Range<usize>) -> Place {
        let text = self.text();
        let start = self.floor_boundary(at.start);
        let end = self.floor_boundary(at.end.max(start));
        let starts = self.line_starts();
        // The first line begins at 0, so at least one is at or before any byte.
        let number = starts.partition_point(|begin| *begin <= start);
        let line_start = starts[number - 1];
        let next = starts.get(number).map_or(text.len(), |next| next - 1);
        let line = text[line_start..next].trim_end_matches('\r');
        let inside = |byte: usize| byte.min(line_start + line.len()) - line_start;
        Place::in_line(number, line, inside(start)..inside(end))
    }

    fn line_starts(&self) -> &[usize] {
        self.0.line_starts.get_or_init(|| {
            let breaks = self.text().match_indices('\n').map(|(at, _)| at + 1);
            std::iter::once(0).chain(breaks).collect()
        })
    }

    fn floor_boundary(&self, mut at: usize) -> usize {
        at = at.min(self.text().len());
        while !self.text().is_char_boundary(at) {
            at -= 1;
        }
        at
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_become_text_without_a_copy_and_without_a_byte_order_mark() {
        let bytes = b"a = 1\n".to_vec();
        let address = bytes.as_ptr();
        let source = SourceText::from_bytes("a.toml", bytes).unwrap();
        assert_eq!(source.text().as_ptr(), address);
        assert_eq!(source.clone().text().as_ptr(), address);
        let marked = SourceText::from_bytes("a.toml", b"\xef\xbb\xbfa = 1".to_vec()).unwrap();
        assert_eq!(marked.text(), "a = 1");
        let wrong = SourceText::from_bytes("a.toml", b"a\nb\xff".to_vec()).unwrap_err();
        assert!(wrong.found.starts_with("line 2 holds"), "{wrong}");
    }

    #[test]
    fn places_count_lines_and_characters_from_one() {
        let source = SourceText::new("a.toml", "é = 1\r\nxy = 2\n");
        let place = |at: Range<usize>| {
            let place = source.place(&at);
            (place.line, place.column, place.text, place.width)
        };
        assert_eq!(place(0..2), (1, 1, "é = 1".to_owned(), 1));
        assert_eq!(place(5..6), (1, 5, "é = 1".to_owned(), 1));
        assert_eq!(place(8..10), (2, 1, "xy = 2".to_owned(), 2));
        // A range over two lines ends with the first, one in the middle of a character begins with it.
        assert_eq!(place(1..12), (1, 1, "é = 1".to_owned(), 5));
        // Beyond the text: the empty line after the last line break.
        assert_eq!(place(99..100), (3, 1, String::new(), 1));
        assert_eq!(SourceText::new("b", "").place(&(0..0)).line, 1);
        // One table of lines for all places, shared by clones: no problem scans the file again.
        assert!(std::ptr::eq(
            source.line_starts(),
            source.clone().line_starts()
        ));
    }
}
