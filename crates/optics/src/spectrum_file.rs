//! The measured reflectance of one surface, such as an undercoat.
//!
//! In: TOML with `start_nm`, `step_nm`, `specular` and `reflectance`, in % or as fractions. Out: 31 wavelength bands of
//! 400–700 nm as fractions, and the convention they were measured in. All problems at once.

use crate::spectrum::{Spectrum, resampled};
use crate::surface::Specular;
use velatura_document::Diagnostic;
use velatura_document::{Fields, FormatLine, SourceText, read_document_with};

/// The format line of this file; it may be left out.
pub const FORMAT: &str = "velatura-spectrum/1";

const KEYS: &[&str] = &["format", "start_nm", "step_nm", "specular", "reflectance"];

/// Values above this can only be percent: no matte surface reflects one and a half times the light that falls on it.
const PERCENT_ABOVE: f64 = 1.5;
/// Largest reflectance accepted, as a fraction: a fluorescing white, or an instrument's error, goes a little above 1.
const LARGEST: f64 = 1.2;
/// The values must begin and end at these at least. Up to 400 and 700 nm the outermost value is used.
const BEGINS_BY_NM: f64 = 420.0;
const ENDS_FROM_NM: f64 = 680.0;

/// A measured surface.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredSurface {
    /// Whether the values include the surface's own reflection.
    pub specular: Specular,
    /// Reflectance per wavelength band, 0…1.
    pub reflectance: Spectrum,
}

/// Reads a file with one spectrum.
///
/// Returns the surface and warnings, or nothing and all errors.
#[must_use]
pub fn read_spectrum_file(source: &SourceText) -> (Option<MeasuredSurface>, Vec<Diagnostic>) {
    read_document_with(source, FORMAT, FormatLine::Optional, KEYS, read)
}

fn read(fields: &Fields<'_>) -> Option<MeasuredSurface> {
    let wavelength = "a wavelength of at most 420 nm, such as 400";
    let distance = "a step of 1 to 20 nm, such as 10";
    let list = "a list of reflectances in percent or as fractions, such as [ 4.1, 4.3 ]";
    let setting = "\"included\" or \"excluded\": does it include the surface's own reflection?";
    for (key, expected) in [
        ("start_nm", wavelength),
        ("step_nm", distance),
        ("specular", setting),
        ("reflectance", list),
    ] {
        if !fields.has(key) {
            fields.missing(key, expected);
        }
    }
    let start = fields.number("start_nm", 300.0..=BEGINS_BY_NM, wavelength);
    let step = fields.number("step_nm", 1.0..=20.0, distance);
    let specular = fields.word(
        "specular",
        &[
            ("excluded", Specular::Excluded),
            ("included", Specular::Included),
        ],
    );
    let reflectance = fields.numbers("reflectance", list);
    let largest = reflectance
        .as_ref()
        .map_or(0.0, |list| list.value.iter().copied().fold(0.0, f64::max));
    let unit = if largest > PERCENT_ABOVE { 100.0 } else { 1.0 };
    let possible = |one: &f64| (0.0..=LARGEST).contains(&(one / unit));
    let list = reflectance?;
    let wrong = list.value.iter().find(|one| !possible(one));
    if let Some(wrong) = wrong {
        fields.problem(
            &list.at,
            format!("a reflectance of {wrong}"),
            "0 to 100 (percent) or 0 to 1 (fractions), the same for all values",
            "",
        );
    }
    let (start, step) = (start?.value, step?.value);
    #[allow(clippy::cast_precision_loss, reason = "lists are short")]
    let end = start + step * (list.value.len() as f64 - 1.0);
    if list.value.len() < 2 || end < ENDS_FROM_NM {
        fields.problem(
            &fields.key_at("reflectance"),
            format!("`reflectance` ends at {} nm", end.max(start)),
            "values up to at least 680 nm, better 700 nm",
            "check `start_nm` and `step_nm`, or add the missing values",
        );
        return None;
    }
    let specular = specular?.value;
    wrong.is_none().then(|| MeasuredSurface {
        specular,
        reflectance: resampled(start, step, &list.value).map(|one| one / unit),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spectrum::BANDS;

    fn source(text: &str) -> SourceText {
        SourceText::new("grey.toml", text)
    }

    /// A flat grey of 380–780 nm in steps of 5 nm.
    fn grey(value: &str) -> String {
        format!(
            "start_nm = 380\nstep_nm = 5\nspecular = \"included\"\nreflectance = [{}]\n",
            [value; 81].join(", ")
        )
    }

    #[test]
    fn percent_and_fractions_are_the_same_surface_with_or_without_a_format() {
        let expected = MeasuredSurface {
            specular: Specular::Included,
            reflectance: [0.25; BANDS],
        };
        for text in [
            grey("0.25"),
            grey("25"),
            format!("format = \"{FORMAT}\"\n{}", grey("25.0")),
        ] {
            let (read, problems) = read_spectrum_file(&source(&text));
            assert_eq!(
                (read.as_ref(), problems.len()),
                (Some(&expected), 0),
                "{problems:?}"
            );
        }
    }

    #[test]
    fn all_problems_are_told_at_once() {
        let (read, problems) =
            read_spectrum_file(&source("format = \"velatura-paints/1\"\nstart_nm = 400"));
        assert!(read.is_none() && problems.len() == 1, "{problems:?}");
        let (read, problems) = read_spectrum_file(&source(
            "start_nm = 500\nspecular = \"in\"\nreflectances = [1]",
        ));
        let found: Vec<&str> = problems.iter().map(|one| one.found.as_str()).collect();
        assert!(read.is_none());
        assert_eq!(
            found,
            [
                "`step_nm` is missing",
                "`reflectance` is missing",
                "`start_nm` is 500",
                "`specular` is \"in\"",
                "unknown key `reflectances`",
            ]
        );
    }

    #[test]
    fn short_lists_and_impossible_values_are_refused() {
        let found = |text: &str| read_spectrum_file(&source(text)).1[0].found.clone();
        let short =
            "start_nm = 400\nstep_nm = 10\nspecular = \"excluded\"\nreflectance = [0.2, 0.3]";
        assert_eq!(found(short), "`reflectance` ends at 410 nm");
        assert_eq!(found(&grey("-3")), "a reflectance of -3");
        assert_eq!(found(&grey("130")), "a reflectance of 130");
        let empty = short.replace("0.2, 0.3", "");
        assert_eq!(found(&empty), "`reflectance` ends at 400 nm");
    }
}
