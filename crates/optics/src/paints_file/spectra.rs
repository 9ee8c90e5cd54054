//! `[paint.spectrum]`: reflectance measured over both cards, brought to 31 bands of 400–700 nm.

use crate::document::{At, Fields};
use crate::spectrum::{Spectrum, resampled};
use crate::surface::Specular;

pub(super) const KEYS: &[&str] = &[
    "start_nm",
    "step_nm",
    "specular",
    "over_black",
    "over_white",
    "black_card",
    "white_card",
];

/// Values above this can only be percent: no matte film reflects half as much again as falls on it.
const PERCENT_ABOVE: f64 = 1.5;

/// Reflectance of one film over both cards, as fractions.
#[derive(Debug, Clone)]
pub struct MeasuredDrawdown {
    /// Whether the values hold the surface's own reflection.
    pub specular: Specular,
    /// Over the black card.
    pub over_black: Spectrum,
    /// Over the white card.
    pub over_white: Spectrum,
    /// The bare black card, where it was measured.
    pub black_card: Option<Spectrum>,
    /// The bare white card, where it was measured.
    pub white_card: Option<Spectrum>,
}

/// Reads the `spectrum` table of a paint or a tint.
pub(super) fn read(parent: &Fields<'_>) -> Option<MeasuredDrawdown> {
    let within = format!("{}, [paint.spectrum]", parent.within());
    let fields = parent.table("spectrum", &within, KEYS)?;
    for key in [
        "start_nm",
        "step_nm",
        "over_black",
        "over_white",
        "specular",
    ] {
        if !fields.has(key) {
            let expected = match key {
                "start_nm" => "the first wavelength in nm, such as 400",
                "step_nm" => "the distance between wavelengths in nm, such as 10",
                "specular" => {
                    "\"included\" or \"excluded\": the instrument's setting for the surface's reflection"
                }
                _ => "a list of reflectances in % or as fractions",
            };
            fields.missing(key, expected);
        }
    }
    let start = fields.number(
        "start_nm",
        300.0..=420.0,
        "a wavelength of at most 420 nm, such as 400",
    );
    let step = fields.number("step_nm", 1.0..=20.0, "a step of 1 to 20 nm, such as 10");
    let specular = fields.word(
        "specular",
        &[
            ("excluded", Specular::Excluded),
            ("included", Specular::Included),
        ],
    );
    let lists = ["over_white", "over_black", "black_card", "white_card"]
        .map(|key| fields.numbers(key, "a list of reflectances in % or as fractions"));
    let [over_white, over_black, black_card, white_card] = lists;
    let (over_white, over_black) = (over_white?, over_black?);
    let (start, step) = (start?, step?);

    let mut fits = lengths_fit(&fields, &over_white, &over_black, &start, &step);
    for (key, card) in [("black_card", &black_card), ("white_card", &white_card)] {
        if let Some(card) = card
            .as_ref()
            .filter(|card| card.value.len() != over_white.value.len())
        {
            let found = format!(
                "`{key}` has {}, `over_white` has {}",
                card.value.len(),
                over_white.value.len()
            );
            fields.problem(
                &card.at,
                found,
                "as many values in each",
                "give every list the same wavelengths",
            );
            fits = false;
        }
    }
    let every = [
        Some(&over_white),
        Some(&over_black),
        black_card.as_ref(),
        white_card.as_ref(),
    ];
    let largest = every
        .iter()
        .flatten()
        .flat_map(|list| &list.value)
        .fold(0.0, |most: f64, one| most.max(*one));
    let unit = if largest > PERCENT_ABOVE { 100.0 } else { 1.0 };
    for list in every.iter().flatten() {
        if let Some(wrong) = list
            .value
            .iter()
            .find(|one| !(0.0..=1.2).contains(&(**one / unit)))
        {
            let found = format!("a reflectance of {wrong}");
            fields.problem(
                &list.at,
                found,
                "0 to 100 (percent) or 0 to 1 (fractions), one of them throughout",
                "",
            );
            fits = false;
        }
    }
    let specular = specular?.value;
    if !fits {
        return None;
    }
    let bands =
        |list: &At<Vec<f64>>| resampled(start.value, step.value, &list.value).map(|one| one / unit);
    Some(MeasuredDrawdown {
        specular,
        over_black: bands(&over_black),
        over_white: bands(&over_white),
        black_card: black_card.as_ref().map(bands),
        white_card: white_card.as_ref().map(bands),
    })
}

fn lengths_fit(
    fields: &Fields<'_>,
    over_white: &At<Vec<f64>>,
    over_black: &At<Vec<f64>>,
    start: &At<f64>,
    step: &At<f64>,
) -> bool {
    #[allow(clippy::cast_precision_loss, reason = "lists are short")]
    let end = |count: usize| start.value + step.value * (count as f64 - 1.0);
    let (white, black) = (over_white.value.len(), over_black.value.len());
    if white != black {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few hundred at most"
        )]
        let needed = ((700.0 - start.value) / step.value).round() as usize + 1;
        let shorter = white.min(black);
        fields.problem(
            &fields.key_at("over_white"),
            format!("`over_white` has {white} values, `over_black` has {black}"),
            &format!(
                "as many in each: from {} nm in steps of {} nm, {needed} values end at 700 nm",
                start.value, step.value
            ),
            &format!(
                "add the missing value, or shorten every array to {shorter} (it then ends at {} nm)",
                end(shorter)
            ),
        );
        return false;
    }
    if white < 2 || end(white) < 680.0 {
        fields.problem(
            &fields.key_at("over_white"),
            format!(
                "`over_white` ends at {} nm",
                if white == 0 { start.value } else { end(white) }
            ),
            "values up to 680 nm at least, better 700 nm",
            "check `start_nm` and `step_nm`, or add the missing values",
        );
        return false;
    }
    true
}
