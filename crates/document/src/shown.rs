//! Text of unknown origin, made safe to print: no character moves the cursor, rings the bell or turns the writing direction.

use std::borrow::Cow;

/// The most characters of one part of a message that are printed.
const PART_AT_MOST: usize = 1000;

/// A part of a message as one printable line; a very long one is cut.
pub(crate) fn printable(text: &str) -> Cow<'_, str> {
    let too_long = text.char_indices().nth(PART_AT_MOST).map(|(at, _)| at);
    if too_long.is_none() && text.chars().all(|c| escape(c).is_none()) {
        return Cow::Borrowed(text);
    }
    let mut line = escaped(&text[..too_long.unwrap_or(text.len())]);
    if too_long.is_some() {
        line.push('…');
    }
    Cow::Owned(line)
}

/// The text with escapes in place of characters that a terminal obeys. Tabs stay.
pub(crate) fn escaped(text: &str) -> String {
    let mut line = String::new();
    for c in text.chars() {
        match escape(c) {
            Some(escape) => line += &escape,
            None => line.push(c),
        }
    }
    line
}

/// What is printed in place of a character, if it is not printed itself.
///
/// These are the control characters (C0, DEL, C1) but the tab, the line and paragraph separators, the byte order mark, and
/// the characters with the Unicode property `Bidi_Control` (Unicode Standard Annex 9; the list is from memory).
fn escape(c: char) -> Option<String> {
    match c {
        '\t' => None,
        '\n' | '\r' => Some(c.escape_default().to_string()),
        '\u{61c}'
        | '\u{200e}'
        | '\u{200f}'
        | '\u{2028}'..='\u{202e}'
        | '\u{2066}'..='\u{2069}'
        | '\u{feff}' => Some(c.escape_unicode().to_string()),
        c if c.is_control() => Some(c.escape_unicode().to_string()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_terminal_obeys_is_escaped_and_writing_is_not() {
        assert_eq!(
            printable("a\x1b[2J\x07\0b\u{202e}c\u{9b}d\ne"),
            "a\\u{1b}[2J\\u{7}\\u{0}b\\u{202e}c\\u{9b}d\\ne"
        );
        // Must stay: letters of other scripts, tabs, joined emoji.
        let fine = "Größe\t漆 פח 👩‍🎨";
        assert!(matches!(printable(fine), Cow::Borrowed(same) if same == fine));
    }

    #[test]
    fn a_very_long_part_is_cut() {
        let long = "x".repeat(PART_AT_MOST);
        assert_eq!(printable(&long), long);
        let longer = printable(&(long.clone() + "yz")).into_owned();
        assert_eq!(longer, long + "…");
    }
}
