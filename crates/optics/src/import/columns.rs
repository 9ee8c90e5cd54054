//! What the columns of a table are: the sample's name, reflectance at a wavelength, or a colour code.
//!
//! In: the heads of the columns and the cells of a row. Out: [`Row`]s. Heads are those of CGATS.17 and ISO 28178
//! (`SAMPLE_NAME`, `SPECTRAL_NM400`; from memory), and what spreadsheets hold: `name`, `400`, `400 nm`, `colour`.

use std::ops::Range;

use super::row::{Row, Seen, fault};
use crate::paints_file::Wavelengths;
use crate::paints_file::reflectance::Fault;
use velatura_document::{At, SourceText};

/// Heads of the column with the sample's name. The first of these in a table counts.
const NAME_HEADS: [&str; 6] = ["SAMPLE_NAME", "NAME", "PAINT", "SAMPLE", "SAMPLE_ID", "ID"];
/// Head of a column with codes such as `#c98318`.
const COLOUR_HEAD: &str = "COLOUR";
/// What comes before the wavelength in the heads of instruments' files.
const BEFORE_NM: [&str; 6] = [
    "SPECTRAL_NM_",
    "SPECTRAL_NM",
    "SPECTRAL_",
    "NM_",
    "NM",
    "R_",
];
/// Colours that depend on a light and an observer, which the file need not name.
const DERIVED: [&str; 6] = ["LAB_L", "XYZ_X", "XYY_X", "RGB_R", "CMYK_C", "D_VIS"];

/// Which column holds what.
#[derive(Debug)]
pub(super) struct Columns {
    count: usize,
    name: usize,
    seen: SeenIn,
}

#[derive(Debug)]
enum SeenIn {
    /// Column of each wavelength, in rising order.
    Spectrum(Wavelengths, Vec<usize>),
    Colour(usize),
}

/// The wavelength in nm that a column's head names, if it names one.
pub(super) fn wavelength_nm(head: &str) -> Option<f64> {
    let head = head.trim().to_ascii_uppercase();
    let number = BEFORE_NM
        .iter()
        .find_map(|before| head.strip_prefix(before))
        .unwrap_or(&head);
    let number = number.strip_suffix("NM").unwrap_or(number).trim();
    let nm: f64 = number.replace(',', ".").parse().ok()?;
    (200.0..=2500.0).contains(&nm).then_some(nm)
}

/// Whether a column's head is one for names.
pub(super) fn is_name_head(head: &str) -> bool {
    NAME_HEADS
        .iter()
        .any(|known| known.eq_ignore_ascii_case(head.trim()))
}

impl Columns {
    /// Reads the heads of a table.
    pub(super) fn of(heads: &[&str]) -> Result<Self, Fault> {
        let find = |known: &str| {
            heads
                .iter()
                .position(|head| head.trim().eq_ignore_ascii_case(known))
        };
        let name = NAME_HEADS.iter().find_map(|known| find(known));
        let Some(name) = name else {
            return Err(fault(
                format!("no column has the sample names: {}", listed(heads)),
                "a column SAMPLE_NAME or SAMPLE_ID, or name in a CSV file",
                "export the sample names as well, such as \"Oil Amber / black\"",
            ));
        };
        let mut bands: Vec<(f64, usize)> = heads
            .iter()
            .enumerate()
            .filter(|(index, _)| *index != name)
            .filter_map(|(index, head)| Some((wavelength_nm(head)?, index)))
            .collect();
        bands.sort_by(|a, b| a.0.total_cmp(&b.0));
        let seen = match (bands.is_empty(), find(COLOUR_HEAD)) {
            (false, _) => {
                let wavelengths =
                    evenly_spaced(&bands.iter().map(|(nm, _)| *nm).collect::<Vec<_>>())?;
                SeenIn::Spectrum(wavelengths, bands.into_iter().map(|(_, at)| at).collect())
            }
            (true, Some(colour)) => SeenIn::Colour(colour),
            (true, None) => return Err(nothing_seen(heads)),
        };
        Ok(Self {
            count: heads.len(),
            name,
            seen,
        })
    }

    /// Reads one row; `at` is its place.
    ///
    /// # Errors
    /// The place that is wrong, and why.
    pub(super) fn row<'a>(
        &self,
        source: &'a SourceText,
        at: &Range<usize>,
        cells: &[At<String>],
    ) -> Result<Row<'a>, (Range<usize>, Fault)> {
        if cells.len() != self.count {
            let found = format!(
                "this row has {} values, but the table has {} columns",
                cells.len(),
                self.count
            );
            let expected = format!("{} values", self.count);
            let help = "look for a missing value, or for a name with spaces and no quotation marks";
            let at = cells.first().map_or(at, |first| &first.at);
            return Err((at.clone(), fault(found, expected, help)));
        }
        let name = cells[self.name].clone();
        if name.value.trim().is_empty() {
            let wrong = fault(
                "this row has no name",
                "a name such as \"Oil Amber / black\"",
                "",
            );
            return Err((at.clone(), wrong));
        }
        let seen = match &self.seen {
            SeenIn::Spectrum(wavelengths, columns) => {
                let values: Result<Vec<f64>, _> = columns
                    .iter()
                    .map(|column| number(&cells[*column]))
                    .collect();
                Seen::Spectrum(*wavelengths, values?)
            }
            SeenIn::Colour(column) => {
                let cell = &cells[*column];
                let colour = cell.value.trim().parse().map_err(|_| {
                    let found = format!("the colour is \"{}\"", cell.value);
                    (
                        cell.at.clone(),
                        fault(found, "a colour such as \"#c98318\"", ""),
                    )
                })?;
                Seen::Colour(colour)
            }
        };
        Ok(Row { source, name, seen })
    }
}

/// A number with a point or a comma before its decimals.
fn number(cell: &At<String>) -> Result<f64, (Range<usize>, Fault)> {
    let text = cell.value.trim().trim_end_matches('%').trim_end();
    let with_point = if text.contains('.') {
        text.to_owned()
    } else {
        text.replace(',', ".")
    };
    let read: Option<f64> = with_point.parse().ok();
    read.filter(|value| value.is_finite()).ok_or_else(|| {
        let found = if text.is_empty() {
            "a reflectance is missing".to_owned()
        } else {
            format!("a reflectance is \"{}\"", cell.value)
        };
        let expected = "a number such as 12.5 or 0.125, no thousands separators";
        (
            cell.at.clone(),
            fault(found, expected, "remove the row, or measure it again"),
        )
    })
}

/// Start and step of wavelengths in rising order.
fn evenly_spaced(nm: &[f64]) -> Result<Wavelengths, Fault> {
    let step_nm = if nm.len() > 1 { nm[1] - nm[0] } else { 0.0 };
    let uneven = nm
        .windows(2)
        .find(|two| (two[1] - two[0] - step_nm).abs() > 1e-6);
    match uneven {
        None if step_nm > 0.0 => Ok(Wavelengths {
            start_nm: nm[0],
            step_nm,
            count: nm.len(),
        }),
        None => Err(fault(
            format!("the columns have a single wavelength, {} nm", nm[0]),
            "400 to 700 nm in even steps",
            "export the whole spectrum",
        )),
        Some(two) => Err(fault(
            format!(
                "{} nm is followed by {} nm, but the first step is {step_nm} nm",
                two[0], two[1]
            ),
            "wavelengths in even steps, each only once",
            "look for a missing or duplicate column",
        )),
    }
}

fn nothing_seen(heads: &[&str]) -> Fault {
    let derived = heads.iter().find(|head| {
        DERIVED
            .iter()
            .any(|known| known.eq_ignore_ascii_case(head.trim()))
    });
    match derived {
        Some(head) => fault(
            format!("there are colours (`{head}`) but no spectra"),
            "columns such as SPECTRAL_NM400 … SPECTRAL_NM700: a colour holds for one light and one observer, and the file \
             may not say which",
            "export the spectral data from the instrument's program, or write sRGB codes into a CSV file with the columns \
             name and colour",
        ),
        None => fault(
            format!("no column is a wavelength: {}", listed(heads)),
            "columns such as SPECTRAL_NM400 or 400, or one called colour",
            "the first line that is not a comment must name the columns",
        ),
    }
}

/// The first few heads, for messages.
fn listed(heads: &[&str]) -> String {
    let shown: Vec<String> = heads
        .iter()
        .take(6)
        .map(|head| format!("`{}`", head.trim()))
        .collect();
    let more = if heads.len() > shown.len() {
        ", …"
    } else {
        ""
    };
    format!("{}{more}", shown.join(", "))
}
