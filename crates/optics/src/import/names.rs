//! The meaning of a sample's name: which paint, over which card, in which mix. The convention is our own.
//!
//! | name | means |
//! | --- | --- |
//! | `card / black`, `card / white` | the bare card |
//! | `Oil Amber / black`, `Oil Amber / white` | a drawdown over that card |
//! | `Oil Amber 1 + Gull White 9 / black` | a tint: parts by volume behind each name |
//! | `Old Rope / semi-opaque`, `Old Rope / 0.62` | a chip, and how well it hides (word or contrast ratio) |
//! | `Old Rope` | a chip without that |

use super::row::fault;
use crate::paints_file::reflectance::Fault;
use crate::paints_file::{OPACITY_WORDS, PARTS};
use velatura_document::{nearest, shown_escaped, without_control_characters};

/// One of the two fields of a drawdown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Card {
    Black,
    White,
}

impl Card {
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Black => "black",
            Self::White => "white",
        }
    }
}

/// What was brushed out.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Subject {
    /// Nothing: the bare card.
    Card,
    /// A paint as it comes.
    Paint(String),
    /// A paint with another.
    Tint {
        paint: String,
        with: String,
        parts: [f64; 2],
    },
}

/// How well a chip hides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Hiding {
    Word(&'static str),
    ContrastRatio(f64),
}

/// What a name says.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Meaning {
    /// A field over a card.
    Field(Subject, Card),
    /// A chip.
    Chip(String, Option<Hiding>),
}

/// Reads a sample's name.
pub(super) fn meaning(name: &str) -> Result<Meaning, Fault> {
    let name = name.trim();
    let clean = without_control_characters(name);
    if clean != name {
        return Err(fault(
            format!("the name is \"{}\"", shown_escaped(name)),
            "a name without control characters",
            format!("write \"{clean}\""),
        ));
    }
    let Some((before, tail)) = name.rsplit_once('/') else {
        return Ok(Meaning::Chip(name.trim().to_owned(), None));
    };
    let (before, tail) = (before.trim(), tail.trim().to_lowercase());
    if before.is_empty() {
        return Err(fault(
            "there is nothing before the \"/\"",
            "a paint's name, such as \"Oil Amber / black\"",
            "",
        ));
    }
    for card in [Card::Black, Card::White] {
        if tail == card.word() {
            return Ok(Meaning::Field(subject(before)?, card));
        }
    }
    let hiding = match OPACITY_WORDS.iter().find(|choice| choice.word == tail) {
        Some(choice) => Some(Hiding::Word(choice.word)),
        None => tail
            .replace(',', ".")
            .parse()
            .ok()
            .map(Hiding::ContrastRatio),
    };
    if let Some(Hiding::ContrastRatio(ratio)) = hiding
        && !(0.0..=1.0).contains(&ratio)
    {
        return Err(fault(
            format!("the contrast ratio is {tail}"),
            "0 to 1: Y over black divided by Y over white",
            "",
        ));
    }
    if hiding.is_some() {
        return Ok(Meaning::Chip(before.to_owned(), hiding));
    }
    let words = ["black", "white"]
        .into_iter()
        .chain(OPACITY_WORDS.map(|choice| choice.word));
    match nearest(&tail, words) {
        Some(near) => Err(fault(
            format!("\"{tail}\" comes after the \"/\""),
            "black or white, an opacity word or a contrast ratio",
            format!("did you mean \"{before} / {near}\"?"),
        )),
        None => Ok(Meaning::Chip(name.trim().to_owned(), None)),
    }
}

fn subject(text: &str) -> Result<Subject, Fault> {
    if text.eq_ignore_ascii_case("card") {
        return Ok(Subject::Card);
    }
    let parts: Vec<&str> = text.split(" + ").collect();
    let tint = || {
        fault(
            format!("\"{text}\" is not a mixture of two paints"),
            "both paints, each with its parts by volume: \"Oil Amber 1 + Gull White 9 / white\"",
            "write this paint first, then exactly one other",
        )
    };
    match parts[..] {
        [paint] => Ok(Subject::Paint(paint.to_owned())),
        [this, other] => {
            let (paint, part) = with_parts(this).ok_or_else(tint)?;
            let (with, other) = with_parts(other).ok_or_else(tint)?;
            Ok(Subject::Tint {
                paint,
                with,
                parts: [part, other],
            })
        }
        _ => Err(tint()),
    }
}

/// `Oil Amber 1.5` → the name and its parts.
fn with_parts(text: &str) -> Option<(String, f64)> {
    let (name, parts) = text.trim().rsplit_once(char::is_whitespace)?;
    let parts: f64 = parts.replace(',', ".").parse().ok()?;
    let sound = PARTS.contains(parts) && !name.trim().is_empty();
    sound.then(|| (name.trim().to_owned(), parts))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_say_which_paint_over_which_card_in_what_mix() {
        let field = |subject, card| Ok(Meaning::Field(subject, card));
        let paint = |name: &str| Subject::Paint(name.to_owned());
        assert_eq!(meaning("card / black"), field(Subject::Card, Card::Black));
        assert_eq!(
            meaning("Oil Amber/White"),
            field(paint("Oil Amber"), Card::White)
        );
        assert_eq!(
            meaning("Grey 5 / black"),
            field(paint("Grey 5"), Card::Black)
        );
        let tint = Subject::Tint {
            paint: "Grey 5".to_owned(),
            with: "Gull White".to_owned(),
            parts: [1.0, 9.5],
        };
        assert_eq!(
            meaning("Grey 5 1 + Gull White 9,5 / white"),
            field(tint, Card::White)
        );
        let chip = |name: &str, hiding| Ok(Meaning::Chip(name.to_owned(), hiding));
        assert_eq!(meaning("Old Rope"), chip("Old Rope", None));
        assert_eq!(meaning("Blue/Green"), chip("Blue/Green", None));
        assert_eq!(
            meaning("Old Rope / opaque"),
            chip("Old Rope", Some(Hiding::Word("opaque")))
        );
        assert_eq!(
            meaning("Old Rope / 0.62"),
            chip("Old Rope", Some(Hiding::ContrastRatio(0.62)))
        );
    }

    #[test]
    fn a_mistyped_ending_is_an_error_with_the_likely_name() {
        let help = |name: &str| meaning(name).unwrap_err().help.to_string();
        assert_eq!(
            help("Oil Amber / blakc"),
            "did you mean \"Oil Amber / black\"?"
        );
        for wrong in [
            "A 1 + B / black",
            "A 1 + B 2 + C 3 / black",
            "A 0 + B 1 / white",
            "/ black",
            "A / 1.2",
            "Oil\u{1b}Amber / black",
            "Oil\u{202e}rebmA",
        ] {
            assert!(meaning(wrong).is_err(), "{wrong}");
        }
    }
}
