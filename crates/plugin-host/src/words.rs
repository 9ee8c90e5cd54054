//! Words from a component, made safe to show. In: any text. Out: one line of bounded length without control characters, so that
//! a message cannot move the cursor of a terminal, hide text or bury the message in its length.

/// One line of at most `chars` characters. Control characters and those that change the direction of writing are removed, line
/// breaks and tabs become spaces; "…" marks a cut.
pub(crate) fn one_line(text: &str, chars: usize) -> String {
    let mut kept = text
        .chars()
        .map(|c| if c.is_whitespace() { ' ' } else { c })
        .filter(|c| !is_hidden(*c));
    let mut line: String = kept.by_ref().take(chars).collect();
    if kept.next().is_some() {
        line.pop();
        line.push('…');
    }
    line.trim().to_owned()
}

/// The first character of a text that does not belong in a text file, with its line (from 1).
pub(crate) fn hidden_in_text(text: &str) -> Option<(char, usize)> {
    let mut line = 1;
    for c in text.chars() {
        match c {
            '\n' => line += 1,
            '\r' | '\t' => {}
            c if is_hidden(c) => return Some((c, line)),
            _ => {}
        }
    }
    None
}

/// The text without what [`hidden_in_text`] looks for.
pub(crate) fn without_hidden(text: &str) -> String {
    text.chars().filter(|c| !is_hidden(*c)).collect()
}

/// Control characters (terminal escapes begin with one) and the marks that change the direction of writing.
fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_terminal_escape_leaves_only_its_letters() {
        assert_eq!(
            one_line("\u{1b}[2Jdust\r\nand\tsand\u{202e}", 40),
            "[2Jdust  and sand"
        );
    }

    #[test]
    fn what_is_cut_off_leaves_a_mark() {
        assert_eq!(one_line("12345", 5), "12345");
        assert_eq!(one_line("123456", 5), "1234…");
        assert_eq!(
            one_line("123\u{1b}\u{1b}\u{1b}", 3),
            "123",
            "nothing visible was cut off"
        );
    }

    #[test]
    fn a_text_file_may_have_lines_and_tabs_and_nothing_else() {
        assert_eq!(hidden_in_text("a\tb\r\nc"), None);
        assert_eq!(hidden_in_text("a\nb\u{1b}[0m"), Some(('\u{1b}', 2)));
    }
}
