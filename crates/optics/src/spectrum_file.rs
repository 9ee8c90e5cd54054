//! The measured reflectance of one surface, such as an undercoat.
//!
//! In: TOML with `start_nm`, `step_nm`, `specular` and `reflectance`, in % or as fractions. Out: 31 wavelength bands of
//! 400–700 nm as fractions, and the convention they were measured in. All problems at once.

use velatura_document::{
    Diagnostic, Field, Fields, FileKind, Kind, Need, Range, SourceText, Table, Warned,
    read_document, words_of,
};

use crate::paints_file::Unit;
use crate::paints_file::reflectance::MOST;
use crate::spectrum::{Spectrum, resampled};
use crate::surface::{SPECULAR_WORDS, Specular};

/// What a file with one spectrum may hold.
pub static SPECTRUM_FILE: FileKind = FileKind {
    name: "spectrum.toml",
    top: &SPECTRUM,
    example: include_str!("../data/spectrum.toml"),
};

static SPECTRUM: Table = Table {
    about: "The measured reflectance of one surface, such as an undercoat, in percent or as fractions, from 400 to 700 nm; \
            up to 20 nm may be missing at either end.",
    fields: &[
        Field {
            need: Need::May("the file counts as one of this format"),
            ..Field::format("velatura-spectrum/1")
        },
        Field {
            key: "start_nm",
            kind: Kind::Number(Range::new(300.0, BEGINS_BY_NM).unit("nm")),
            need: Need::Must,
            about: "The first wavelength.",
            example: "400",
        },
        Field {
            key: "step_nm",
            kind: Kind::Number(Range::new(1.0, 20.0).unit("nm")),
            need: Need::Must,
            about: "The distance between two wavelengths.",
            example: "10",
        },
        Field {
            key: "specular",
            kind: Kind::Word(const { &words_of(&SPECULAR_WORDS) }),
            need: Need::Must,
            about: "Whether the values hold the surface's own reflection, about 4 %.",
            example: "\"included\"",
        },
        Field {
            key: "reflectance",
            kind: Kind::Series(Range::new(0.0, MOST * Unit::Percent.whole())),
            need: Need::Must,
            about: "Reflectance at each wavelength: percent if a value is above 1.5, else fractions.",
            example: "[4.1, 4.3]",
        },
    ],
};

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
/// # Errors
/// All problems, warnings included, if any of them is an error.
pub fn read_spectrum_file(source: &SourceText) -> Result<Warned<MeasuredSurface>, Vec<Diagnostic>> {
    read_document(source, &SPECTRUM_FILE, read)
}

fn read(fields: &Fields<'_>) -> Option<MeasuredSurface> {
    let start = fields.number("start_nm");
    let step = fields.number("step_nm");
    let specular = fields.word("specular", &SPECULAR_WORDS);
    let reflectance = fields.series("reflectance");
    let values = reflectance.iter().flat_map(|list| &list.value);
    let unit = Unit::of(values).whole();
    let possible = |one: &f64| (0.0..=MOST).contains(&(one / unit));
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
            format!("format = \"velatura-spectrum/1\"\n{}", grey("25.0")),
        ] {
            let read = read_spectrum_file(&source(&text)).unwrap();
            assert_eq!((read.value, read.warnings), (expected.clone(), Vec::new()));
        }
    }

    #[test]
    fn all_problems_are_reported_at_once() {
        let refused = |text: &str| read_spectrum_file(&source(text)).unwrap_err();
        let problems = refused("format = \"velatura-paints/1\"\nstart_nm = 400");
        assert_eq!(problems.len(), 1, "{problems:?}");
        let problems = refused("start_nm = 500\nspecular = \"in\"\nreflectances = [1]");
        let found: Vec<&str> = problems.iter().map(|one| one.found.as_str()).collect();
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
        let found = |text: &str| {
            read_spectrum_file(&source(text)).unwrap_err()[0]
                .found
                .clone()
        };
        let short =
            "start_nm = 400\nstep_nm = 10\nspecular = \"excluded\"\nreflectance = [0.2, 0.3]";
        assert_eq!(found(short), "`reflectance` ends at 410 nm");
        assert_eq!(found(&grey("-3")), "a reflectance of -3");
        assert_eq!(found(&grey("130")), "a reflectance of 130");
        let empty = short.replace("0.2, 0.3", "");
        assert_eq!(found(&empty), "`reflectance` ends at 400 nm");
    }
}
