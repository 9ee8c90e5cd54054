//! Checks of a coat model. In: the stage. Out: checks, on every region of the small job's schemes.

use velatura_optics::table::ColourTable;
use velatura_scheme::{RegionStack, Scheme};

use super::calls::{guarded, repeated};
use super::limits::{LARGEST_NUMBER, LEAST_NUMBER};
use super::report::{Check, Report};
use super::small_parts::job;
use velatura_pipeline::Parameters;
use velatura_pipeline::stage::{CoatModel, StageInfo};

pub(super) fn check(
    report: &mut Report,
    info: &StageInfo,
    stage: &dyn CoatModel,
    parameters: &Parameters,
) {
    let job = job();
    let (points, lamp) = (&job.underpainting.points, job.underpainting.subject.lamp);
    let table = |scheme: &Scheme, stack: &RegionStack| {
        guarded(|| stage.table(scheme, stack, points, &job.paints, lamp, parameters))
    };
    for scheme in &job.schemes {
        for stack in &scheme.regions {
            let same = |one: &Option<ColourTable>, other: &Option<ColourTable>| one == other;
            let Some(given) = repeated(report, info, || table(scheme, stack), same) else {
                return;
            };
            let place = format!("region \"{}\" of \"{}\"", stack.region, scheme.name);
            let bare = match (&given, stack.coats.is_empty()) {
                (Some(_), true) => Err(format!("{place} has no coat, but it returned a table")),
                (None, false) => Err(format!("{place} has a coat, but it returned no table")),
                _ => Ok(()),
            };
            report.made(Check::BareStaysBare, bare);
            if let Some(given) = given {
                report.made(Check::Sizes, sizes(&given, &place));
                report.made(Check::Numbers, numbers(&given, &place));
            }
        }
    }
}

fn sizes(given: &ColourTable, place: &str) -> Result<(), String> {
    let (columns, rows) = (given.substrate_steps, given.relief_steps);
    let wanted = columns.saturating_mul(rows);
    if wanted > 0 && given.entries.len() == wanted {
        return Ok(());
    }
    Err(format!(
        "{place}: {} entries for {columns} × {rows} steps",
        given.entries.len()
    ))
}

fn numbers(given: &ColourTable, place: &str) -> Result<(), String> {
    let fits = |number: &f32| (LEAST_NUMBER..=LARGEST_NUMBER).contains(number);
    let odd = given.entries.iter().find(|entry| !entry.iter().all(fits));
    match (odd, given.bounce) {
        (Some(entry), _) => Err(format!(
            "{place}: {entry:?}; numbers are from {LEAST_NUMBER} to {LARGEST_NUMBER}"
        )),
        (None, bounce) if !(0.0..=LARGEST_NUMBER).contains(&bounce) => {
            Err(format!("{place}: its bounce is {bounce}"))
        }
        _ => Ok(()),
    }
}
