//! Paints in the form for components: a name and two colours each, no optics.

use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::optics::coat::colour_over_grey;
use velatura_pipeline::optics::colour::{Encoded, luminance};

/// One paint.
pub(super) struct PaintWords<'a> {
    pub(super) name: &'a str,
    pub(super) owned: bool,
    pub(super) over_black: (u8, u8, u8),
    pub(super) over_white: (u8, u8, u8),
}

/// All paints of a box, in its order.
pub(super) fn paint_words(paints: &PaintBox) -> impl Iterator<Item = PaintWords<'_>> {
    let cards = paints.cards;
    paints.paints.iter().map(move |paint| {
        let drawdown = paint.optics.film(1.0);
        let over = |card: Encoded| {
            let grey = luminance(card.linear());
            let Encoded([red, green, blue]) =
                colour_over_grey(&drawdown, grey, cards.specular).encoded();
            (red, green, blue)
        };
        PaintWords {
            name: &paint.name,
            owned: paint.owned,
            over_black: over(cards.black),
            over_white: over(cards.white),
        }
    })
}

#[cfg(test)]
mod tests {
    use velatura_document::SourceText;
    use velatura_pipeline::optics::calibrate::calibrate;
    use velatura_pipeline::optics::paints_file::read_paints_file;

    use super::*;

    /// On cards that are neither quite black nor white.
    const PAINTS: &str = r##"format = "velatura-paints/1"
[cards]
black = "#3a3a3a"
white = "#d2d2d2"
specular = "excluded"
[[paint]]
name = "Oil Amber"
over_black = "#4f3a18"
over_white = "#b8741c"
"##;

    #[test]
    fn a_component_is_given_the_codes_that_stand_in_the_file() {
        let source = SourceText::from_bytes("paints.toml", PAINTS.into()).unwrap();
        let paints = calibrate(&read_paints_file(&source).unwrap().value).value;
        let words = paint_words(&paints).next().unwrap();
        let near = |(red, green, blue): (u8, u8, u8), given: [u8; 3]| {
            let codes = [red, green, blue].into_iter().zip(given);
            codes.map(|(code, given)| code.abs_diff(given)).max()
        };
        // A calibration may miss a code by one or two.
        let over_black = near(words.over_black, [0x4f, 0x3a, 0x18]);
        let over_white = near(words.over_white, [0xb8, 0x74, 0x1c]);
        assert!(
            over_black <= Some(2),
            "{over_black:?} {:?}",
            words.over_black
        );
        assert!(
            over_white <= Some(2),
            "{over_white:?} {:?}",
            words.over_white
        );
    }
}
