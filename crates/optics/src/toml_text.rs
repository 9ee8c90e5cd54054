//! Pieces of TOML files that this crate writes.

use std::fmt::Write as _;

/// A basic string of TOML: quotation marks and backslashes escaped, control characters as code points.
pub(crate) fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => {
                quoted.push('\\');
                quoted.push(c);
            }
            c if c.is_control() => {
                write!(quoted, "\\u{:04X}", u32::from(c)).expect("a text can always be added to");
            }
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
}

/// A file's name in a comment.
pub(crate) fn one_line(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { '?' } else { c })
        .collect()
}
