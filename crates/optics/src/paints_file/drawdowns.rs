//! Drawdowns as the text of a `paints.toml`: made from a photo of a card.

use velatura_document::{one_line, quoted, word_for};

use super::{FORMAT, Pair};
use crate::colour::Encoded;
use crate::surface::{SPECULAR_WORDS, Specular};

/// A paint's drawdown with its tints.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnPaint {
    /// Its name.
    pub name: String,
    /// Whether the painter has it.
    pub owned: bool,
    /// Its colours over both cards.
    pub pair: Pair,
    /// Its mixes with others: their names, parts by volume (this paint, the other), colours over both cards.
    pub tints: Vec<(String, [f64; 2], Pair)>,
}

/// The text of a `paints.toml`. `cards` are black and white; `photo` is named in the first line.
#[must_use]
pub fn drawdowns_text(
    photo: &str,
    cards: [Encoded; 2],
    specular: Option<Specular>,
    paints: &[DrawnPaint],
) -> String {
    let [black, white] = cards;
    let mut text = format!(
        "# Made by Velatura from the photo {}. Black and white of the cards are those of the layout.\n\
         format = \"{FORMAT}\"\n\n[cards]\nblack = \"{black}\"\nwhite = \"{white}\"\n",
        one_line(photo)
    );
    if let Some(specular) = specular {
        text += &format!("specular = \"{}\"\n", word_for(&SPECULAR_WORDS, &specular));
    }
    for paint in paints {
        text += &format!(
            "\n[[paint]]\nname = {}\n{}",
            quoted(&paint.name),
            codes(&paint.pair)
        );
        if !paint.owned {
            text += "owned = false\n";
        }
        for (with, [this, other], pair) in &paint.tints {
            text += &format!(
                "\n[[paint.tint]]\nwith = {}\nparts = [{this}, {other}]\n{}",
                quoted(with),
                codes(pair)
            );
        }
    }
    text
}

fn codes(pair: &Pair) -> String {
    format!(
        "over_black = \"{}\"\nover_white = \"{}\"\n",
        pair.over_black, pair.over_white
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paints_file::{Given, read_paints_file};
    use velatura_document::SourceText;

    #[test]
    fn what_is_written_reads_back_as_the_same_paints() {
        let code = |hex: &str| hex.parse::<Encoded>().unwrap();
        let pair = |black, white| Pair {
            over_black: code(black),
            over_white: code(white),
        };
        let paints = [
            DrawnPaint {
                name: "Oil \"Amber\" \\ 2".into(),
                owned: false,
                pair: pair("#4d3718", "#f4a520"),
                tints: vec![("Gull White".into(), [1.0, 9.5], pair("#b99a6a", "#d9b980"))],
            },
            DrawnPaint {
                name: "Gull White".into(),
                owned: true,
                pair: pair("#c9c8c2", "#efeeea"),
                tints: Vec::new(),
            },
        ];
        let text = drawdowns_text(
            "card\n.jpg",
            [code("#1c1c1c"), code("#f0f0f0")],
            Some(Specular::Excluded),
            &paints,
        );
        let source = SourceText::new("paints.toml", text);
        let file = read_paints_file(&source)
            .unwrap_or_else(|problems| panic!("{problems:?}\n{}", source.text()))
            .value;
        assert_eq!(file.cards.specular, Specular::Excluded);
        assert_eq!(file.paints.len(), paints.len());
        for (read, written) in file.paints.iter().zip(&paints) {
            assert_eq!(
                (&read.name.value, read.owned),
                (&written.name, written.owned)
            );
            assert!(matches!(&read.given, Given::Drawdown(pair) if *pair == written.pair));
            assert_eq!(read.tints.len(), written.tints.len());
            for (read, (with, parts, pair)) in read.tints.iter().zip(&written.tints) {
                assert_eq!(read.with.value, *with);
                assert!((read.parts[1] - parts[1]).abs() < 1e-12);
                assert!(matches!(&read.given, Given::Drawdown(found) if found == pair));
            }
        }
    }
}
