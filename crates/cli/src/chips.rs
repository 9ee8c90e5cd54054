//! True-colour chips next to colour codes, only on a terminal that can show them.

use std::io::IsTerminal;

use velatura_pipeline::optics::colour::Encoded;

/// Whether chips are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Chips {
    /// As coloured spaces.
    Shown,
    /// Not at all: the text has no terminal codes.
    Hidden,
}

impl Chips {
    /// What standard output can show.
    pub(crate) fn of_standard_output() -> Self {
        let set = |name: &str| std::env::var(name).ok();
        if std::io::stdout().is_terminal()
            && can_show(
                set("COLORTERM").as_deref(),
                set("NO_COLOR").as_deref(),
                set("TERM").as_deref(),
            )
        {
            Self::Shown
        } else {
            Self::Hidden
        }
    }

    /// A chip of a colour followed by a space, or nothing.
    pub(crate) fn chip(self, colour: Encoded) -> String {
        let Encoded([red, green, blue]) = colour;
        match self {
            Self::Shown => format!("\x1b[48;2;{red};{green};{blue}m    \x1b[0m "),
            Self::Hidden => String::new(),
        }
    }

    /// Spaces as wide as a chip, for the line above the chips.
    pub(crate) fn blank(self) -> &'static str {
        match self {
            Self::Shown => "     ",
            Self::Hidden => "",
        }
    }
}

/// Whether a terminal supports 24-bit colours and its user has not disabled colours (common use of these variables).
fn can_show(colour_term: Option<&str>, no_colour: Option<&str>, term: Option<&str>) -> bool {
    matches!(colour_term, Some("truecolor" | "24bit"))
        && no_colour.is_none()
        && term != Some("dumb")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_terminal_that_says_so_and_was_not_set_otherwise_shows_chips() {
        let xterm = Some("xterm-256color");
        assert!(can_show(Some("truecolor"), None, xterm) && can_show(Some("24bit"), None, xterm));
        assert!(!can_show(None, None, xterm) && !can_show(Some("yes"), None, xterm));
        assert!(!can_show(Some("truecolor"), Some("1"), xterm));
        assert!(!can_show(Some("truecolor"), None, Some("dumb")));
    }

    #[test]
    fn a_hidden_chip_leaves_no_trace() {
        let colour = Encoded([1, 2, 3]);
        assert_eq!(Chips::Hidden.chip(colour), "");
        let shown = Chips::Shown.chip(colour);
        assert!(shown.starts_with("\x1b[48;2;1;2;3m") && shown.ends_with("\x1b[0m "));
    }
}
