//! Pieces of TOML for the files that are written here. Comments and the order of keys are for people, so each writer lays out
//! its own file; quoting is `toml_writer`'s.

use toml_writer::{ToTomlValue, TomlStringBuilder};

/// A text as a basic string of TOML on one line, for a value or a key.
#[must_use]
pub fn quoted(text: &str) -> String {
    TomlStringBuilder::new(text).as_basic().to_toml_value()
}

/// A text for a comment: a line break within a name must not end the comment.
#[must_use]
pub fn one_line(text: &str) -> String {
    text.replace(char::is_control, " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read_again_and_is_one_line() {
        for text in [
            "",
            "Wick & Ember",
            "\"a\\b'",
            "a\nb\tc\r\u{7f}\u{1}",
            "Ёжик ☾",
            "#",
        ] {
            let line = format!("{} = {}", quoted(text), quoted(text));
            assert_eq!(line.lines().count(), 1, "{line}");
            let read: toml::Table = line.parse().unwrap();
            assert_eq!(read[text].as_str(), Some(text), "{line}");
        }
        let comment = format!("# {}\na = 1", one_line("x\nb = 2"));
        assert_eq!(comment.parse::<toml::Table>().unwrap().len(), 1);
    }
}
