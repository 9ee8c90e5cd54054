//! Characters that no name may hold: those that a terminal obeys, line breaks, tabs, and marks that turn the writing
//! direction. A name with them could forge lines in a report, or look like another name.

use crate::shown::{escaped, replacement};

/// Whether no name may hold a character.
fn is_control(c: char) -> bool {
    c == '\t' || replacement(c).is_some()
}

/// The text without its control characters.
#[must_use]
pub fn without_control_characters(text: &str) -> String {
    text.chars().filter(|c| !is_control(*c)).collect()
}

/// The text with an escape in place of each control character: `Oil\u001bAmber`.
#[must_use]
pub fn shown_escaped(text: &str) -> String {
    escaped(text).replace('\t', "\\t")
}

/// The pattern of JSON Schema for texts without them. It lists the same characters in the escapes of ECMA-262.
pub(crate) const NO_CONTROL_CHARACTERS: &str =
    r"^[^\u0000-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff]*$";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_moves_the_cursor_or_turns_the_writing_is_taken_out_and_writing_is_not() {
        // Bidi_Control: Unicode Standard Annex 9; the rest are Unicode's general category Cc and two separators.
        let wrong = "\0\x07\x1b\t\r\n\x7f\u{85}\u{9b}\u{61c}\u{200e}\u{200f}\u{2028}\u{2029}\u{202a}\u{202b}\u{202c}\
                     \u{202d}\u{202e}\u{2066}\u{2067}\u{2068}\u{2069}\u{feff}";
        for c in wrong.chars() {
            let name = format!("Oil{c}Amber");
            assert_eq!(without_control_characters(&name), "OilAmber", "{c:?}");
            assert!(shown_escaped(&name).contains('\\'), "{c:?}");
        }
        let fine = "Größe 漆 פח 👩‍🎨 \"Newt & Iris\" №2";
        assert_eq!(without_control_characters(fine), fine);
        assert_eq!(shown_escaped("a\x1b\t"), "a\\u001b\\t");
    }
}
