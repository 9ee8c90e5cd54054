//! How a scheme and its opposite compare on one table, and warnings where the result is no opposite.

use velatura::{Error, Job, PairOptions, Side};
use velatura_document::{Diagnostic, one_line};
use velatura_pair::{Grade, Verdict, compare};
use velatura_pipeline::scheme::{Opposed, OpposedRegion};

use super::scheme_named;
use crate::signals;

/// The verdict of `velatura pair` on a scheme and its opposite.
pub(super) struct Against {
    pub(super) names: [String; 2],
    /// `None` if the figure cannot be compared, with the reason.
    pub(super) verdict: Result<Verdict, String>,
}

impl Against {
    pub(super) fn sentence(&self) -> String {
        let [own, other] = &self.names;
        match &self.verdict {
            Ok(verdict) => format!("\"{own}\" and \"{other}\" {}", verdict.line),
            Err(why) => format!("\"{own}\" and \"{other}\" cannot be compared: {why}"),
        }
    }
}

/// Adds the opposite to its job and compares the two.
pub(super) fn with_opposite(
    mut job: Job,
    own: &str,
    opposed: &Opposed,
) -> Result<(Job, Against), Error> {
    let first = scheme_named::index_of(&job, "--scheme", Some(own))?;
    job.schemes.push(opposed.scheme.clone());
    let second = job.schemes.len() - 1;
    let options = PairOptions::default().cancel(&signals::cancel());
    let sides = [first, second].map(|scheme| Side { job: &job, scheme });
    let verdict = match compare(&sides, &options) {
        Ok(paired) => Ok(paired.report.verdict),
        Err(Error::Cancelled) => return Err(Error::Cancelled),
        Err(error) => Err(one_line(&error.to_string())),
    };
    let names = [first, second].map(|scheme| job.schemes[scheme].name.clone());
    Ok((job, Against { names, verdict }))
}

/// ΔE that may be left of a part before it counts as far from its opposite (invented: another colour at a glance).
const FAR_OFF: f64 = 10.0;

/// Loud words where the result is no opposite: paints that cannot reach it, or teams that would be confused.
pub(super) fn too_far(opposed: &Opposed, job: &Job, against: &Against) -> Vec<Diagnostic> {
    let turned = || opposed.regions.iter().filter(|one| one.stays.is_none());
    let names = &job.underpainting.subject.regions;
    let far: Vec<&OpposedRegion> = turned().filter(|one| one.delta_e >= FAR_OFF).collect();
    let mut warnings = Vec::new();
    if !far.is_empty() {
        let each: Vec<String> = far
            .iter()
            .map(|one| format!("{} (ΔE {:.0})", names[one.region], one.delta_e))
            .collect();
        let found = format!(
            "these paints do not reach the opposite of {} of {} parts: {}",
            far.len(),
            turned().count(),
            each.join(", ")
        );
        let help = "add paints, try another --way, or keep these parts with --keep";
        warnings.push(Diagnostic::warning("", found).help(help));
    }
    if turned().next().is_none() {
        let found = "nothing was inverted: every painted part keeps its colour";
        let help = "invert them with --all-parts, or write `natural = false` in their regions";
        warnings.push(Diagnostic::warning("", found).help(help));
    }
    if let Ok(verdict) = &against.verdict
        && verdict.worst != Grade::Apart
    {
        let found = format!("the two teams could be confused: {}", against.sentence());
        let help = "try another --way or --undercoat, or more paints";
        warnings.push(Diagnostic::warning("", found).help(help));
    }
    warnings
}
