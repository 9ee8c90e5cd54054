//! Text of unknown origin, made safe to print: no character moves the cursor, rings the bell or turns the writing direction.
//!
//! In: text from files and arguments. Out: the same text with escapes such as `\u001b`, which mean the same character in JSON
//! and TOML.

use std::borrow::Cow;

/// The most characters of one part of a message that are printed.
const PART_AT_MOST: usize = 1000;

/// A part of a message as one printable line; a very long one is cut.
pub(crate) fn printable(text: &str) -> Cow<'_, str> {
    let too_long = text.char_indices().nth(PART_AT_MOST).map(|(at, _)| at);
    if too_long.is_none() && !text.contains(|c| replacement(c).is_some()) {
        return Cow::Borrowed(text);
    }
    let mut line = escaped(&text[..too_long.unwrap_or(text.len())]);
    if too_long.is_some() {
        line.push('…');
    }
    Cow::Owned(line)
}

/// Text of any number of lines with escapes in place of the characters that a terminal obeys. Line breaks and tabs stay.
///
/// JSON and TOML keep their meaning, because the escapes are theirs too and such characters occur only within their strings.
#[must_use]
pub fn for_terminal(text: &str) -> Cow<'_, str> {
    if !text.contains(|c| c != '\n' && replacement(c).is_some()) {
        return Cow::Borrowed(text);
    }
    let lines: Vec<String> = text.split('\n').map(escaped).collect();
    Cow::Owned(lines.join("\n"))
}

/// The text on one line, with escapes in place of the characters that a terminal obeys. Tabs stay.
pub(crate) fn escaped(text: &str) -> String {
    let mut line = String::new();
    for c in text.chars() {
        match replacement(c) {
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
pub(crate) fn replacement(c: char) -> Option<String> {
    match c {
        '\t' => None,
        '\n' => Some("\\n".to_owned()),
        '\r' => Some("\\r".to_owned()),
        '\u{61c}'
        | '\u{200e}'
        | '\u{200f}'
        | '\u{2028}'..='\u{202e}'
        | '\u{2066}'..='\u{2069}'
        | '\u{feff}' => Some(format!("\\u{:04x}", u32::from(c))),
        c if c.is_control() => Some(format!("\\u{:04x}", u32::from(c))),
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
            "a\\u001b[2J\\u0007\\u0000b\\u202ec\\u009bd\\ne"
        );
        // Must stay: letters of other scripts, tabs, joined emoji.
        let fine = "Größe\t漆 פח 👩‍🎨";
        assert!(matches!(printable(fine), Cow::Borrowed(same) if same == fine));
    }

    #[test]
    fn json_and_toml_mean_the_same_after_their_escapes() {
        let name = "Lamp\x1b[2J\u{202e}x\u{9b}\u{7f}";
        let json = serde_json::to_string_pretty(&[name]).unwrap();
        assert_eq!(
            serde_json::from_str::<[String; 1]>(&for_terminal(&json)).unwrap(),
            [name]
        );
        // TOML allows most of these within a string as they are.
        let toml = "name = \"a\u{202e}b\u{9b}\"\n\tother = 1\n";
        let shown = for_terminal(toml);
        assert_eq!(shown, "name = \"a\\u202eb\\u009b\"\n\tother = 1\n");
        let read = |text: &str| toml::from_str::<toml::Table>(text).unwrap();
        assert_eq!(read(&shown), read(toml));
        // A lone CR would let the end of a line overwrite its start.
        assert_eq!(for_terminal("safe\rnot\r\n"), "safe\\rnot\\r\n");
        assert!(matches!(for_terminal("plain\n\ttext"), Cow::Borrowed(_)));
    }

    #[test]
    fn a_very_long_part_is_cut() {
        let long = "x".repeat(PART_AT_MOST);
        assert_eq!(printable(&long), long);
        let longer = printable(&(long.clone() + "yz")).into_owned();
        assert_eq!(longer, long + "…");
    }
}
