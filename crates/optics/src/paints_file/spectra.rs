//! `[paint.spectrum]`: reflectance measured over both cards, brought to 31 bands of 400–700 nm.
//!
//! In: four lists in % or fractions. Out: fractions per wavelength band. What makes a list valid is in `reflectance.rs`,
//! how other steps than 10 nm are brought to ours in [`resampled`].

use super::reflectance::{
    Fault, UNIT_WORDS, Unit, Wavelengths, mixed_unit_fault, order_fault, range_fault,
    surface_doubt, value_fault,
};
use crate::spectrum::{Spectrum, resampled};
use crate::surface::{SPECULAR_WORDS, Specular};
use velatura_document::{At, Fields};

/// Which list must be the darker of two, and what messages call them.
const FILM_ORDER: [(&str, &str); 2] = [
    ("over_black", "the film over black"),
    ("over_white", "the film over white"),
];
const CARD_ORDER: [(&str, &str); 2] = [
    ("black_card", "the black card"),
    ("white_card", "the white card"),
];

/// Reflectance of one film over both cards, as fractions.
#[derive(Debug, Clone)]
pub struct MeasuredDrawdown {
    /// Where the values were measured.
    pub wavelengths: Wavelengths,
    /// Whether the values include the surface's own reflection.
    pub specular: Specular,
    /// Over the black card.
    pub over_black: Spectrum,
    /// Over the white card.
    pub over_white: Spectrum,
    /// The bare black card, if it was measured.
    pub black_card: Option<Spectrum>,
    /// The bare white card, if it was measured.
    pub white_card: Option<Spectrum>,
}

/// Reads the `spectrum` table of a paint or a tint.
pub(super) fn read(parent: &Fields<'_>) -> Option<MeasuredDrawdown> {
    let fields = parent.table("spectrum")?;
    let start = fields.number("start_nm");
    let step = fields.number("step_nm");
    let specular = fields.word("specular", &SPECULAR_WORDS);
    let stated = fields.word("unit", &UNIT_WORDS);
    let keys = ["over_white", "over_black", "black_card", "white_card"];
    let lists = keys.map(|key| fields.series(key));
    let unread = (0..4).any(|index| fields.has(keys[index]) && lists[index].is_none());
    let unstated = fields.has("unit") && stated.is_none();
    let [over_white, over_black, black_card, white_card] = lists;
    let (over_white, over_black) = (over_white?, over_black?);
    let wavelengths = Wavelengths {
        start_nm: start?.value,
        step_nm: step?.value,
        count: over_white.value.len(),
    };
    let mut lists = vec![(keys[0], &over_white), (keys[1], &over_black)];
    lists.extend(black_card.as_ref().map(|list| (keys[2], list)));
    lists.extend(white_card.as_ref().map(|list| (keys[3], list)));
    if unread || unstated || !lengths_fit(&fields, &lists, &wavelengths) {
        return None;
    }
    let unit = stated.map(|unit| unit.value);
    let (unit, sound) = report_values(&fields, &lists, &wavelengths, unit);
    let specular = specular?.value;
    if !sound {
        return None;
    }
    if let Some(doubt) = surface_doubt(specular, unit, &over_black.value) {
        fields.warning(
            &fields.key_at("specular"),
            doubt.found,
            &doubt.expected,
            doubt.help,
        );
    }
    let bands = |list: &At<Vec<f64>>| {
        resampled(wavelengths.start_nm, wavelengths.step_nm, &list.value)
            .map(|one| one / unit.whole())
    };
    Some(MeasuredDrawdown {
        wavelengths,
        specular,
        over_black: bands(&over_black),
        over_white: bands(&over_white),
        black_card: black_card.as_ref().map(bands),
        white_card: white_card.as_ref().map(bands),
    })
}

/// Reports what is wrong with wavelengths, unit and values. Returns the unit, and whether everything is right.
fn report_values(
    fields: &Fields<'_>,
    lists: &[(&str, &At<Vec<f64>>)],
    wavelengths: &Wavelengths,
    stated: Option<Unit>,
) -> (Unit, bool) {
    let mut sound = true;
    let mut report = |key: &str, fault: Option<Fault>| {
        if let Some(fault) = fault {
            fields.problem(
                &fields.key_at(key),
                fault.found,
                &fault.expected,
                fault.help,
            );
            sound = false;
        }
    };
    let range = range_fault(wavelengths);
    let blamed = if wavelengths.start_nm > 420.0 {
        "start_nm"
    } else {
        "over_white"
    };
    report(blamed, range);
    let series: Vec<(&str, &[f64])> = lists
        .iter()
        .map(|(key, list)| (*key, &list.value[..]))
        .collect();
    if stated.is_none()
        && let Some((index, fault)) = mixed_unit_fault(&series)
    {
        report(series[index].0, Some(fault));
        return (Unit::Percent, false);
    }
    let unit =
        stated.unwrap_or_else(|| Unit::of(series.iter().flat_map(|(_, values)| values.iter())));
    for (key, values) in &series {
        report(key, value_fault(wavelengths, unit, values));
    }
    let values = |key: &str| series.iter().find(|(own, _)| *own == key);
    for [dark, light] in [FILM_ORDER, CARD_ORDER] {
        if let (Some((_, dark_values)), Some((_, light_values))) = (values(dark.0), values(light.0))
        {
            let (dark_field, light_field) = ((dark.1, *dark_values), (light.1, *light_values));
            report(
                dark.0,
                order_fault(wavelengths, unit, dark_field, light_field),
            );
        }
    }
    (unit, sound)
}

fn lengths_fit(
    fields: &Fields<'_>,
    lists: &[(&str, &At<Vec<f64>>)],
    wavelengths: &Wavelengths,
) -> bool {
    let first = lists[0].1.value.len();
    let mut fit = true;
    for (key, list) in &lists[1..] {
        let count = list.value.len();
        if count == first {
            continue;
        }
        let Wavelengths {
            start_nm, step_nm, ..
        } = wavelengths;
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few hundred at most"
        )]
        let needed = ((700.0 - start_nm) / step_nm).round() as usize + 1;
        let shorter = Wavelengths {
            count: first.min(count),
            ..*wavelengths
        };
        fields.problem(
            &fields.key_at(lists[0].0),
            format!("`{}` has {first} values, `{key}` has {count}", lists[0].0),
            &format!(
                "the same number in each: from {start_nm} nm in steps of {step_nm} nm, {needed} values end at 700 nm"
            ),
            format!(
                "add the missing value, or shorten every array to {} (it then ends at {} nm)",
                shorter.count,
                shorter.end_nm()
            ),
        );
        fit = false;
    }
    fit
}
