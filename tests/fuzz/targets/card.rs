//! Photos of cards: the demo's with a changed layout, damaged ones, and pictures that are no card.

use rand::RngExt;
use velatura_document::SourceText;
use velatura_photo::{DecodeLimits, decode_photo};
use velatura_pipeline::optics::paints_file::{DrawnPaint, Pair, drawdowns_text};
use velatura_report::json_value;
use velatura_swatch::{overlay, read_card};

use super::layout::{LAYOUT, changed_layout, layout_of};
use super::paints::paints_of;
use crate::kit::base::{CARD, text};
use crate::kit::case::Case;
use crate::kit::oracle::{self, must};
use crate::kit::pictures::{damaged, encoded, picture, size};
use crate::kit::{Chance, Target, Verdict};

const PHOTO: &str = "card.jpg";

pub(crate) const TARGET: Target = Target {
    name: "card",
    share: 10,
    make,
    run,
};

fn make(chance: &mut Chance) -> Case {
    let photo = match chance.random_range(0..4) {
        0 => damaged(CARD.clone(), chance),
        1 => {
            let size = size([60, 84], chance);
            encoded(&picture(size, &[], chance), chance)
        }
        _ => CARD.clone(),
    };
    let layout = if chance.random_bool(0.3) {
        text("demo_images/card/layout.toml").into_bytes()
    } else {
        changed_layout(chance)
    };
    Case::of("").file(PHOTO, photo).file(LAYOUT, layout)
}

fn run(case: &Case) -> Verdict {
    let Some(layout) = layout_of(case)? else {
        return Ok(());
    };
    let decoded = decode_photo(PHOTO, case.bytes(PHOTO), &DecodeLimits::default());
    let Some(photo) = oracle::read_one(decoded)? else {
        return Ok(());
    };
    let Some(reading) = oracle::read(read_card(PHOTO, &photo, &layout))? else {
        return Ok(());
    };
    for part in [
        json_value(&reading.light),
        json_value(&reading.chart),
        json_value(&reading.corners_px),
    ] {
        part.map_err(|why| why.to_string())?;
    }
    let overlay = overlay(&photo, &layout, &reading);
    if overlay.below_fields.len() != reading.fields.len() {
        return Err("the overlay has no place for the number of some field".to_owned());
    }
    let paints: Vec<DrawnPaint> = reading
        .fields
        .iter()
        .filter(|field| field.entry.tint.is_none())
        .map(|field| DrawnPaint {
            name: field.entry.name.value.clone(),
            owned: field.entry.owned,
            pair: Pair {
                over_black: field.over_black.srgb,
                over_white: field.over_white.srgb,
            },
            tints: Vec::new(),
        })
        .collect();
    let cards = [layout.cards.black, layout.cards.white];
    let text = drawdowns_text(PHOTO, cards, layout.cards.specular, &paints);
    let again = paints_of(&SourceText::new("paints.toml", &text))?;
    must(again.is_some() || paints.is_empty(), || {
        format!("the paints cannot be read again:\n{text}")
    })
}
