//! Paints as a component sees them: names and two colours each, no optics.

use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::optics::coat::colour_over_grey;
use velatura_pipeline::optics::colour::Encoded;

/// Luminance of the cards that the colours are given over: #1c1c1c and #f0f0f0, usual for a black and a white card (common
/// practice, no source). The cards of the user's own drawdowns are no longer known once K and S are.
const BLACK_CARD: f64 = 0.0116;
const WHITE_CARD: f64 = 0.8714;

/// One paint.
pub(super) struct PaintWords<'a> {
    pub(super) name: &'a str,
    pub(super) owned: bool,
    pub(super) over_black: (u8, u8, u8),
    pub(super) over_white: (u8, u8, u8),
}

/// All paints of a box, in its order.
pub(super) fn paint_words(paints: &PaintBox) -> impl Iterator<Item = PaintWords<'_>> {
    paints.paints.iter().map(|paint| {
        let drawdown = paint.optics.film(1.0);
        let over = |card| {
            let Encoded([red, green, blue]) =
                colour_over_grey(&drawdown, card, paints.specular).encoded();
            (red, green, blue)
        };
        PaintWords {
            name: &paint.name,
            owned: paint.owned,
            over_black: over(BLACK_CARD),
            over_white: over(WHITE_CARD),
        }
    })
}
