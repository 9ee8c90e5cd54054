//! `[card]` of a layout: the painter's own card. Without it, the card is the printed one.

use velatura_document::Fields;

use super::geometry::{CardGeometry, RectMm, StripPair};

/// Less bare card than this between two places, in mm, cannot be distinguished from stray paint.
const LEAST_GAP_MM: f64 = 2.0;

/// The card; `None` after a mistake.
pub(super) fn read(fields: &Fields<'_>) -> Option<CardGeometry> {
    if !fields.has("card") {
        return Some(CardGeometry::printed());
    }
    let table = fields.table("card")?;
    let length = |key| table.number(key).map(|mm| mm.value);
    let marks_mm = table.numbers::<2>("marks_mm").map(|mm| mm.value);
    let (first_mm, field_mm) = (length("first_mm"), length("field_mm"));
    let step_mm = length("step_mm");
    let across = table.whole("across");
    let pairs = read_pairs(&table);
    let bare_white: Vec<Option<RectMm>> = table
        .tables("bare_white")
        .iter()
        .map(|one| {
            let (from, to) = (one.numbers("from_mm"), one.numbers("to_mm"));
            let (from, to) = (from?.value, to?.value);
            rising(one, RectMm { from, to })
        })
        .collect();
    let (marks_mm, first_mm, field_mm, step_mm) = (marks_mm?, first_mm?, field_mm?, step_mm?);
    if step_mm - field_mm < LEAST_GAP_MM {
        table.problem(
            &table.key_at("step_mm"),
            format!(
                "places {field_mm} mm wide every {step_mm} mm leave only {} mm of bare card between them",
                step_mm - field_mm
            ),
            "at least 2 mm of bare card next to each drawdown: the light is measured there",
            "leave more space between the drawdowns",
        );
        return None;
    }
    let fit = (marks_mm[0] - first_mm - field_mm) / step_mm;
    let across = across.map_or(fit.floor() + 1.0, |across| f64::from(across.value));
    if across < 1.0 {
        table.problem(
            &table.key_at("marks_mm"),
            format!("no place of {field_mm} mm fits between the marks"),
            "a card that is wide enough for one place",
            "check `marks_mm`, `first_mm` and `field_mm`",
        );
        return None;
    }
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number from 1 to 2000"
    )]
    let across = across as usize;
    Some(CardGeometry {
        marks_mm,
        first_mm,
        field_mm,
        step_mm,
        across,
        pairs: pairs?,
        bare_white: bare_white.into_iter().collect::<Option<_>>()?,
    })
}

fn read_pairs(table: &Fields<'_>) -> Option<Vec<StripPair>> {
    let pairs = table.tables("pair");
    if pairs.is_empty() {
        return None;
    }
    pairs
        .iter()
        .map(|pair| {
            let (black_mm, white_mm) = (pair.numbers("black_mm"), pair.numbers("white_mm"));
            let (black_mm, white_mm) = (black_mm?.value, white_mm?.value);
            for [top, bottom] in [black_mm, white_mm] {
                rising(
                    pair,
                    RectMm {
                        from: [0.0, top],
                        to: [1.0, bottom],
                    },
                )?;
            }
            Some(StripPair { black_mm, white_mm })
        })
        .collect()
}

/// A rectangle with its corners in the right order.
fn rising(table: &Fields<'_>, rect: RectMm) -> Option<RectMm> {
    let [width, height] = rect.size();
    if width > 0.0 && height > 0.0 {
        return Some(rect);
    }
    table.problem(
        &table.at(),
        "the two edges are in the wrong order",
        "x from left to right, y from top to bottom",
        "swap the two numbers",
    );
    None
}
