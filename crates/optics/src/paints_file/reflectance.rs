//! What a measured series must be to mean something: its wavelengths, its unit, its values, and which film is lighter.
//!
//! In: plain lists as an instrument gave them. Out: a [`Fault`] in words, or nothing. The reader of `paints.toml` and the
//! import of instruments' files share it. Each adds the place of the list in its file.

use velatura_document::{Choice, Hint, word_for};

use crate::surface::{K1, Specular};

/// Values above this can only be percent: no matte film reflects one and a half times the light that falls on it.
const PERCENT_ABOVE: f64 = 1.5;
/// Largest reflectance accepted: white standards scatter by a few hundredths around 1, and a fluorescing white goes above.
pub(crate) const MOST: f64 = 1.2;
/// How far from 400 and 700 nm a series may begin and end. What is missing there is less than 0.002 of Y in total.
const MISSING_AT_MOST_NM: f64 = 20.0;
/// How much lighter a film may be over black than over white in one wavelength band: instruments scatter, and no field is
/// quite even. The worst in the open half of the measured paints is 0.0073 (sample 01C).
const NOISE: f64 = 0.02;

/// What the numbers of a series are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// 0…100.
    Percent,
    /// 0…1.
    Fraction,
}

/// Words for units.
pub(crate) const UNIT_WORDS: [Choice<Unit>; 2] = [
    Choice {
        word: "percent",
        about: "0 to 100",
        value: Unit::Percent,
    },
    Choice {
        word: "fraction",
        about: "0 to 1",
        value: Unit::Fraction,
    },
];

impl Unit {
    /// What a value is divided by to become a fraction.
    #[must_use]
    pub const fn whole(self) -> f64 {
        match self {
            Self::Percent => 100.0,
            Self::Fraction => 1.0,
        }
    }

    /// The word for it in files.
    #[must_use]
    pub fn word(self) -> &'static str {
        word_for(&UNIT_WORDS, &self)
    }

    /// The unit of the values of one instrument, from the largest of them.
    #[must_use]
    pub fn of<'a>(values: impl IntoIterator<Item = &'a f64>) -> Self {
        if largest(values) > PERCENT_ABOVE {
            Self::Percent
        } else {
            Self::Fraction
        }
    }
}

/// The wavelengths of a series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wavelengths {
    /// The first, in nm.
    pub start_nm: f64,
    /// The distance between neighbours, in nm.
    pub step_nm: f64,
    /// How many there are.
    pub count: usize,
}

impl Wavelengths {
    /// The wavelength of the value at an index, in nm.
    #[must_use]
    pub fn nm(&self, index: usize) -> f64 {
        #[allow(clippy::cast_precision_loss, reason = "series are short")]
        let steps = index as f64;
        self.start_nm + self.step_nm * steps
    }

    /// The last wavelength, in nm.
    #[must_use]
    pub fn end_nm(&self) -> f64 {
        self.nm(self.count.saturating_sub(1))
    }
}

/// What is wrong with a series, in the words of a diagnostic.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Fault {
    pub(crate) found: String,
    pub(crate) expected: String,
    pub(crate) help: Hint,
}

/// The fault of a series that leaves out too much of 400–700 nm.
pub(crate) fn range_fault(wavelengths: &Wavelengths) -> Option<Fault> {
    let (start, end) = (wavelengths.start_nm, wavelengths.end_nm());
    let late = start > 400.0 + MISSING_AT_MOST_NM;
    let early = wavelengths.count < 2 || end < 700.0 - MISSING_AT_MOST_NM;
    (late || early).then(|| Fault {
        found: match wavelengths.count {
            0 => "there is no value".to_owned(),
            1 => format!("there is only one value, at {start} nm"),
            _ => format!("the values go from {start} to {end} nm"),
        },
        expected: "400 to 700 nm; up to 20 nm may be missing at each end".to_owned(),
        help: "check the first wavelength and the step; if they are correct, measure again from 400 to 700 nm, or describe the \
               paint by the two colours of its drawdown"
            .into(),
    })
}

/// The fault of series of which one seems to be in percent and another in fractions, with the index of the latter.
pub(crate) fn mixed_unit_fault(series: &[(&str, &[f64])]) -> Option<(usize, Fault)> {
    let most: Vec<f64> = series
        .iter()
        .map(|(_, values)| largest(values.iter()))
        .collect();
    let in_percent = (0..series.len()).find(|index| most[*index] > PERCENT_ABOVE)?;
    let small =
        (0..series.len()).find(|index| most[*index] <= PERCENT_ABOVE && most[*index] > 0.0)?;
    let fault = Fault {
        found: format!(
            "`{}` goes up to {}, but `{}` only to {}",
            series[in_percent].0, most[in_percent], series[small].0, most[small]
        ),
        expected: "the same unit everywhere, percent (0…100) or fractions (0…1)".to_owned(),
        help: "convert all lists to one unit; if all are percentages, add unit = \"percent\""
            .into(),
    };
    Some((small, fault))
}

/// The fault of a series with a value that no reflectance can have, or with nothing but zeros.
pub(crate) fn value_fault(wavelengths: &Wavelengths, unit: Unit, values: &[f64]) -> Option<Fault> {
    let wrong = |value: &f64| !(0.0..=MOST).contains(&(value / unit.whole()));
    let expected = match unit {
        Unit::Percent => "0 to 100, because the others are percentages",
        Unit::Fraction => "0 to 1, because the others are fractions",
    };
    if let Some(first) = values.iter().position(wrong) {
        let more = values[first + 1..].iter().filter(|one| wrong(one)).count();
        let more = match more {
            0 => String::new(),
            more => format!(", and {more} more out of range"),
        };
        return Some(Fault {
            found: format!(
                "a reflectance of {} at {} nm{more}",
                values[first],
                wavelengths.nm(first)
            ),
            expected: expected.to_owned(),
            help: if values[first] < 0.0 {
                "the zero of the instrument has drifted: calibrate it and measure again".into()
            } else {
                "look for a misplaced decimal point or values from another column".into()
            },
        });
    }
    let empty = !values.is_empty() && largest(values.iter()) <= 0.0;
    empty.then(|| Fault {
        found: "every reflectance is 0".to_owned(),
        expected: "measured values: every paint and card reflects some light".to_owned(),
        help: "this field was not measured, or not saved: measure it again".into(),
    })
}

/// The fault of two fields of which the one that must be darker is lighter; `dark` and `light` are their names in messages
/// and their values.
pub(crate) fn order_fault(
    wavelengths: &Wavelengths,
    unit: Unit,
    (dark, dark_values): (&str, &[f64]),
    (light, light_values): (&str, &[f64]),
) -> Option<Fault> {
    let lighter = |(dark, light): (&f64, &f64)| (dark - light) / unit.whole();
    let (worst, excess) = dark_values
        .iter()
        .zip(light_values)
        .map(lighter)
        .enumerate()
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    (excess > NOISE).then(|| Fault {
        found: format!(
            "at {1} nm {dark} reflects {0}, but {light} only {2}",
            dark_values[worst],
            wavelengths.nm(worst),
            light_values[worst]
        ),
        expected: format!("{dark} to reflect no more than {light}"),
        help: "are the two swapped?".into(),
    })
}

/// The doubt about films that are darker than the surface whose reflection the values are said to include.
pub(crate) fn surface_doubt(specular: Specular, unit: Unit, over_black: &[f64]) -> Option<Fault> {
    #[allow(clippy::cast_precision_loss, reason = "series are short")]
    let mean = over_black.iter().sum::<f64>() / over_black.len().max(1) as f64 / unit.whole();
    // Half the usual reflection: glossy or not, no surface in air reflects less than that.
    (specular == Specular::Included && mean < K1 / 2.0).then(|| Fault {
        found: format!(
            "the film over black reflects {:.1} % on average, less than its surface alone would",
            mean * 100.0
        ),
        expected: "at least about 4 % if the surface reflection is included".to_owned(),
        help: "was the instrument set to specular = \"excluded\"?".into(),
    })
}

fn largest<'a>(values: impl IntoIterator<Item = &'a f64>) -> f64 {
    values.into_iter().fold(0.0, |most, one| one.max(most))
}
