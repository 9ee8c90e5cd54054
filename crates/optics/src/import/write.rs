//! A draft as the text of a `paints.toml`, with comments on what would make it better.

use velatura_document::{one_line, quoted, word_for};

use super::draft::{CardsDraft, CardsFrom, Draft, GivenDraft, PaintDraft, SpectraDraft};
use super::names::Hiding;
use crate::paints_file::FORMAT;
use crate::surface::SPECULAR_WORDS;

/// The text; `files` are named in its first line.
pub(super) fn text(draft: &Draft, files: &[&str]) -> String {
    let from: Vec<String> = files.iter().map(|file| one_line(file)).collect();
    let mut text = format!(
        "# Imported by Velatura from {}. The numbers are unchanged from the measurement.\n\
         # If you do not own a paint, add the line: owned = false\n\
         format = \"{FORMAT}\"\n\n",
        from.join(", ")
    );
    cards(&mut text, &draft.cards);
    for one in &draft.paints {
        paint(&mut text, one);
    }
    text
}

fn cards(text: &mut String, cards: &CardsDraft) {
    *text += match cards.from {
        CardsFrom::Measured => "# Colours of the bare cards, from their spectra.\n",
        CardsFrom::Given => "",
        CardsFrom::Assumed => {
            "# ASSUMED: chips have no card. Before you add a drawdown, enter the colours of its cards.\n"
        }
    };
    *text += &format!(
        "[cards]\nblack = \"{}\"\nwhite = \"{}\"\n",
        cards.black, cards.white
    );
    match cards.specular {
        Some(specular) => {
            *text += &format!("specular = \"{}\"\n", word_for(&SPECULAR_WORDS, &specular))
        }
        None => {
            *text +=
                "# specular is missing: excluded is assumed if the black card's Y is under 0.04\n"
        }
    }
}

fn paint(text: &mut String, paint: &PaintDraft) {
    *text += "\n[[paint]]\n";
    match (&paint.given, paint.tints.len()) {
        (GivenDraft::Chip(..), _) => {
            *text += "# only a chip: a drawdown over a black and a white card would be far more reliable\n";
        }
        (_, 0) => *text += "# no tint: its strength in a mix is a guess\n",
        _ => {}
    }
    *text += &format!("name = {}\n", quoted(&paint.name));
    given(text, &paint.given, "paint");
    for tint in &paint.tints {
        let [this, other] = tint.parts;
        *text += &format!(
            "\n[[paint.tint]]\nwith = {}\nparts = [{this}, {other}]\n",
            quoted(&tint.with)
        );
        given(text, &tint.given, "paint.tint");
    }
}

fn given(text: &mut String, given: &GivenDraft, table: &str) {
    match given {
        GivenDraft::Codes(pair) => {
            *text += &format!(
                "over_black = \"{}\"\nover_white = \"{}\"\n",
                pair.over_black, pair.over_white
            );
        }
        GivenDraft::Chip(colour, hiding) => {
            *text += &format!("colour = \"{colour}\"\n");
            *text += &match hiding {
                Hiding::Word(word) => format!("opacity = \"{word}\"\n"),
                Hiding::ContrastRatio(ratio) => format!("contrast_ratio = {ratio}\n"),
            };
        }
        GivenDraft::Spectra(measured) => spectra(text, measured, table),
    }
}

fn spectra(text: &mut String, measured: &SpectraDraft, table: &str) {
    *text += &format!(
        "\n[{table}.spectrum]\nstart_nm = {}\nstep_nm = {}\nunit = \"{}\"\nspecular = \"{}\"\n",
        measured.wavelengths.start_nm,
        measured.wavelengths.step_nm,
        measured.unit.word(),
        word_for(&SPECULAR_WORDS, &measured.specular)
    );
    list(text, "over_black", &measured.over_black);
    list(text, "over_white", &measured.over_white);
    if let Some([black, white]) = &measured.cards {
        list(text, "black_card", black);
        list(text, "white_card", white);
    }
}

/// Rust prints the shortest digits that read back as the same number.
fn list(text: &mut String, key: &str, values: &[f64]) {
    let values: Vec<String> = values.iter().map(f64::to_string).collect();
    *text += &format!("{key} = [{}]\n", values.join(", "));
}
