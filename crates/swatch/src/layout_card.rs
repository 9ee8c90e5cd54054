//! `[card]` of a layout: the painter's own card. Without it, the card is the printed one.

use velatura_document::Fields;

use super::geometry::{CardGeometry, RectMm, StripPair};

pub(super) const CARD_KEYS: &[&str] = &[
    "marks_mm",
    "first_mm",
    "field_mm",
    "step_mm",
    "across",
    "pair",
    "bare_white",
];
pub(super) const PAIR_KEYS: &[&str] = &["black_mm", "white_mm"];
pub(super) const BARE_KEYS: &[&str] = &["from_mm", "to_mm"];

/// The largest size of a card, in mm.
const LARGEST_MM: f64 = 2000.0;
/// Less bare card than this between two places, in mm, cannot be distinguished from stray paint.
const LEAST_GAP_MM: f64 = 2.0;
const MOST_ACROSS: f64 = 200.0;

/// The card; `None` after a mistake.
pub(super) fn read(fields: &Fields<'_>) -> Option<CardGeometry> {
    if !fields.has("card") {
        return Some(CardGeometry::printed());
    }
    let table = fields.table("card", "[card]", CARD_KEYS)?;
    let length = |key: &str, what: &str| {
        if !table.has(key) {
            table.missing(key, what);
        }
        table.number(key, 0.0..=LARGEST_MM, what).map(|mm| mm.value)
    };
    let marks_mm = pair_of(
        &table,
        "marks_mm",
        "[width, height]: mm between the corners that `corners` or the marks give",
    );
    let first_mm = length(
        "first_mm",
        "mm from the left corners to the left edge of the first place",
    );
    let field_mm = length("field_mm", "width of a place, in mm");
    let step_mm = length("step_mm", "mm from the left edge of one place to the next");
    let across = table.number("across", 1.0..=MOST_ACROSS, "places in a row, 1 to 200");
    let pairs = read_pairs(&table);
    let bare_white: Vec<Option<RectMm>> = table
        .tables("bare_white", "bare_white", BARE_KEYS)
        .iter()
        .map(|one| {
            let from = pair_of(one, "from_mm", "[x, y], the upper left corner in mm");
            let to = pair_of(one, "to_mm", "[x, y], the lower right corner in mm");
            rising(
                one,
                RectMm {
                    from: from?,
                    to: to?,
                },
            )
        })
        .collect();
    let (marks_mm, first_mm, field_mm, step_mm) = (marks_mm?, first_mm?, field_mm?, step_mm?);
    if field_mm <= 0.0 || step_mm - field_mm < LEAST_GAP_MM {
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
    let across = across.map_or(fit.floor() + 1.0, |across| across.value);
    if across < 1.0 || across.fract() != 0.0 {
        table.problem(
            &table.key_at("across"),
            format!("the row has {across} places"),
            "a whole number, at least 1",
            "",
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
    let pairs = table.tables("pair", "pair", PAIR_KEYS);
    if pairs.is_empty() {
        table.problem(
            &table.at(),
            "the card has no strips",
            "[[card.pair]] with `black_mm` and `white_mm`, each [upper edge, lower edge] in mm",
            "add a [[card.pair]]",
        );
        return None;
    }
    pairs
        .iter()
        .map(|pair| {
            let strip = |key| pair_of(pair, key, "[upper edge, lower edge], in mm");
            let (black_mm, white_mm) = (strip("black_mm"), strip("white_mm"));
            let (black_mm, white_mm) = (black_mm?, white_mm?);
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

/// Two lengths in mm.
pub(super) fn pair_of(table: &Fields<'_>, key: &'static str, expected: &str) -> Option<[f64; 2]> {
    if !table.has(key) {
        table.missing(key, expected);
    }
    let list = table.numbers(key, expected)?;
    match list.value[..] {
        [a, b] if a.abs() <= LARGEST_MM && b.abs() <= LARGEST_MM => Some([a, b]),
        _ => {
            table.problem(
                &list.at,
                format!("`{key}` are not two lengths"),
                expected,
                "",
            );
            None
        }
    }
}
