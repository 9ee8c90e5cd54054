//! Colours without a figure: what coats dry to, and which mixes come near a colour.

use std::path::PathBuf;

use pyo3::prelude::*;
use velatura::DiskFiles;
use velatura::colours::{
    MixRequest, MixesReport, PredictReport, read_coats, read_paint_box, read_substrate, read_target,
};
use velatura_document::{Diagnostic, Error};
use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::scheme::{Substrate, THICKEST_FILM, Watch, predicted};
use velatura_report::json_text;

use crate::arguments::{Coat, Paths, Texts, in_range, names_of, refused};
use crate::errors::{from_text, warn};
use crate::work::{Cancel, flag, without_lock};

/// Predict the colour that coats dry to.
///
/// paints: path of a paints file, or a list of files that join.
/// coats: the coats, lowest first, each a mix by volume such as "Oil Amber:3,medium:7", or a pair of mix and film thickness
/// (1 = as thick as the drawdown, the default).
/// over: the undercoat: a colour such as "#808080" in the convention of the paint cards, "spectrum:FILE", or a list of these.
///
/// Returns a dict for one undercoat, or a list of dicts for a list: over, srgb (a code), lab (CIELAB, D65), xyz (D65, white has
/// Y = 1), luminance (Y), in_gamut (whether sRGB can show it), basis (what the prediction is based on) and estimated_error (mean ΔE
/// of such predictions on measured paints).
#[pyfunction]
#[pyo3(signature = (paints, coats, over))]
pub(crate) fn predict<'py>(
    py: Python<'py>,
    paints: Paths,
    coats: Vec<Coat>,
    over: Texts,
) -> PyResult<Bound<'py, PyAny>> {
    let alone = matches!(over, Texts::One(_));
    let overs = over.all();
    let no_stop = velatura::Cancel::default();
    let (results, warnings) = without_lock(py, &no_stop, || dried(&paints.all(), &coats, &overs))?;
    warn(py, &warnings)?;
    let results = from_text(py, &results)?;
    if alone {
        results.get_item(0)
    } else {
        Ok(results)
    }
}

/// The results as JSON text, and warnings.
fn dried(
    paints: &[PathBuf],
    coats: &[Coat],
    overs: &[String],
) -> Result<(String, Vec<Diagnostic>), Error> {
    let mut warnings = Vec::new();
    let paints_name = names_of(paints);
    for (_, film) in coats.iter().map(Coat::parts) {
        check_film("coats", film, 0.0)?;
    }
    let paints = read_paint_box(&DiskFiles, paints)?.into_value(&mut warnings);
    let coats = read_coats(coats.iter().map(Coat::parts), &paints, &paints_name, "coat")?;
    let mut results = Vec::new();
    for over in overs {
        let substrate = substrate(over, &paints, &mut warnings)?;
        results.push((over.as_str(), predicted(&paints, &coats, &substrate)));
    }
    let results = results.iter().map(|(over, dried)| (*over, dried));
    let report = PredictReport::new(results);
    Ok((json_text(&report.results)?, warnings))
}

/// Find the mixes of owned paints that dry closest to a colour.
///
/// paints: path of a paints file, or a list of files that join.
/// target: the dried colour: a code such as "#5fa8a0", the name of a paint, or "PHOTO@LEFT,TOP,WIDTH,HEIGHT" in pixels.
/// over: the undercoat: a colour such as "#808080", or "spectrum:FILE".
/// count: how many mixes to return, 1 to 1000. max_paints: the most paints in a mix, 1 to 6.
/// max_parts: the most parts in a mix, medium included, 1 to 100.
/// films: the film thicknesses to try, each above 0 [default: 0.5, 1, 1.5 and 2].
///
/// Returns a dict: matches (a list, nearest first, each with mix, film, srgb, lab, delta_e, best_at, basis, estimated_error
/// and one_part_off), best_possible_delta_e, thinned (whether there were too many mixes to try them all) and, for a colour out of
/// reach, helpful_colour.
#[pyfunction]
#[pyo3(signature = (paints, target, over, count = 5, max_paints = 3, max_parts = 10, films = None, cancel = None))]
#[allow(
    clippy::too_many_arguments,
    reason = "keywords in Python: each has a name and a default"
)]
pub(crate) fn match_colour<'py>(
    py: Python<'py>,
    paints: Paths,
    target: String,
    over: String,
    count: u64,
    max_paints: u64,
    max_parts: u64,
    films: Option<Vec<f64>>,
    cancel: Option<&Bound<'py, Cancel>>,
) -> PyResult<Bound<'py, PyAny>> {
    let cancel = flag(cancel);
    let search = || {
        let mut warnings = Vec::new();
        let count = in_range("count", count, 1..=1000)?;
        let max_paints = in_range("max_paints", max_paints, 1..=6)?;
        let max_parts = in_range("max_parts", max_parts, 1..=100)?;
        let films = films.unwrap_or_default();
        for film in &films {
            check_film("films", *film, f64::MIN_POSITIVE)?;
        }
        let paints = paints.all();
        let name = names_of(&paints);
        let paints = read_paint_box(&DiskFiles, &paints)?.into_value(&mut warnings);
        let substrate = substrate(&over, &paints, &mut warnings)?;
        let target = read_target(&DiskFiles, &target, &paints, &name, &substrate)
            .map_err(|error| error.within_call("target"))?
            .into_value(&mut warnings);
        let request = MixRequest {
            target,
            substrate,
            count,
            max_paints,
            max_parts,
            films,
        };
        let stopped = || cancel.is_stopped();
        let found = request.find(&paints, &name, &Watch::new(&stopped, &|_| ()))?;
        if cancel.is_stopped() {
            return Err(Error::Cancelled);
        }
        let report = MixesReport::new(&over, target, &found, &paints);
        Ok((json_text(&report)?, warnings))
    };
    let (report, warnings) = without_lock(py, &cancel, search)?;
    warn(py, &warnings)?;
    from_text(py, &report)
}

fn substrate(
    over: &str,
    paints: &PaintBox,
    warnings: &mut Vec<Diagnostic>,
) -> Result<Substrate, Error> {
    let substrate = read_substrate(&DiskFiles, over, paints.cards.specular);
    Ok(substrate
        .map_err(|error| error.within_call("over"))?
        .into_value(warnings))
}

/// Refuses a film that is too thin or too thick.
fn check_film(argument: &str, film: f64, thinnest: f64) -> Result<(), Error> {
    if (thinnest..=THICKEST_FILM).contains(&film) {
        return Ok(());
    }
    let least = if thinnest > 0.0 { "more than 0" } else { "0" };
    let expected = format!("{least} to {THICKEST_FILM}; 1 = as thick as the drawdown");
    Err(refused(argument, format!("a film of {film}"), &expected))
}
