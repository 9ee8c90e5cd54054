//! `render --set`: other mixes for some coats, as a scheme next to the one they change.

use velatura::{Error, Job};
use velatura_document::{Diagnostic, nearest};
use velatura_pipeline::scheme::{Change, THICKEST_FILM, read_mix};

use super::scheme_named::did_you_mean;

/// How a change is written.
const FORM: &str = "SCHEME.PART=MIX, such as \"Foglight.hood=Oil Amber:2,medium:3\"; for the second coat of a part \"Foglight.hood.2=…\"; with \"; film 0.5\" at its end for another film";

/// Adds a changed copy of every scheme that the settings name, right after it. Gives the names of both, in the order of the job.
///
/// # Errors
/// [`Error::Call`] for a text of another form, an unknown scheme or part, or a mix that cannot be read.
pub(super) fn add_changed(
    job: &mut Job,
    settings: &[String],
    paints_name: &str,
) -> Result<Vec<String>, Error> {
    let mut changes: Vec<Vec<Change>> = vec![Vec::new(); job.schemes.len()];
    for text in settings {
        let within = |problem: Diagnostic| problem.within(format!("--set \"{text}\""));
        let (scheme, change) = change(job, text, &changes, paints_name)
            .map_err(|problems| Error::Call(problems.into_iter().map(within).collect()))?;
        changes[scheme].push(change);
    }
    let mut names = Vec::new();
    // From the last one, so that the places of those before stay as they are.
    for (at, changes) in changes.iter().enumerate().rev() {
        if changes.is_empty() {
            continue;
        }
        let original = &job.schemes[at];
        let own = original.name.clone();
        let name = unused(job, &own);
        let changed = original.changed(name.clone(), changes, &job.paints);
        job.schemes.insert(at + 1, changed);
        names.extend([name, own]);
    }
    names.reverse();
    Ok(names)
}

fn unused(job: &Job, own: &str) -> String {
    let taken = |name: &str| job.schemes.iter().any(|scheme| scheme.name == name);
    let first = format!("{own} (changed)");
    let mut numbered = (2..).map(|number| format!("{own} (changed {number})"));
    if taken(&first) {
        numbered
            .find(|name| !taken(name))
            .expect("numbers do not end")
    } else {
        first
    }
}

/// The scheme's index and the change.
fn change(
    job: &Job,
    text: &str,
    earlier: &[Vec<Change>],
    paints_name: &str,
) -> Result<(usize, Change), Vec<Diagnostic>> {
    let one = |problem: Diagnostic| vec![problem];
    let wrong = |found: String| one(Diagnostic::error("", found).expected(FORM));
    let after = |rest: &str, name: &str, then: char| -> Option<String> {
        Some(rest.strip_prefix(name)?.strip_prefix(then)?.to_owned())
    };
    let schemes = job.schemes.iter().enumerate();
    // A name may be the beginning of another one: the longest is meant.
    let scheme = schemes
        .filter_map(|(at, scheme)| Some((at, after(text, &scheme.name, '.')?)))
        .min_by_key(|(_, rest)| rest.len());
    let Some((scheme, rest)) = scheme else {
        let Some((wanted, _)) = text.split_once('.') else {
            return Err(wrong(format!("\"{text}\" has no \".\"")));
        };
        let names: Vec<&str> = job.schemes.iter().map(|scheme| &*scheme.name).collect();
        return Err(one(Diagnostic::error(
            "",
            format!("no scheme is called \"{wanted}\""),
        )
        .expected(format!("one of {}", names.join(", ")))
        .help(did_you_mean(nearest(wanted, names.iter().copied())))));
    };
    let regions = &job.schemes[scheme].regions;
    let part = regions
        .iter()
        .enumerate()
        .filter_map(|(at, stack)| {
            let name = &stack.region;
            after(&rest, name, '=')
                .map(|mix| (at, None, mix))
                .or_else(|| {
                    let numbered = after(&rest, name, '.')?;
                    let (number, mix) = numbered.split_once('=')?;
                    Some((at, Some(number.trim().parse().ok()?), mix.to_owned()))
                })
        })
        .min_by_key(|(_, _, mix)| mix.len());
    let Some((region, number, mix)) = part else {
        let Some((wanted, _)) = rest.split_once('=') else {
            return Err(wrong(format!("\"{text}\" has no \"=\"")));
        };
        let names: Vec<&str> = regions.iter().map(|stack| &*stack.region).collect();
        return Err(one(Diagnostic::error(
            "",
            format!("no part is called \"{wanted}\""),
        )
        .expected(format!("one of {}", names.join(", ")))
        .help(did_you_mean(nearest(wanted, names.iter().copied())))));
    };
    let added = earlier[scheme]
        .iter()
        .filter(|change| change.region == region && change.coat >= regions[region].coats.len())
        .count();
    let coats = regions[region].coats.len() + added;
    let number: usize = number.unwrap_or(1);
    if !(1..=coats + 1).contains(&number) {
        let found = format!("there is no coat {number}");
        return Err(one(Diagnostic::error("", found).expected(format!(
            "1 to {coats} for the coats that the part has, or {} for another one on top",
            coats + 1
        ))));
    }
    let (mix, film) = match mix.rsplit_once(';') {
        Some((mix, film)) => (mix.to_owned(), Some(read_film(film).map_err(one)?)),
        None => (mix, None),
    };
    let change = Change {
        region,
        coat: number - 1,
        mix: read_mix(&mix, &job.paints, paints_name)?,
        film,
    };
    Ok((scheme, change))
}

fn read_film(text: &str) -> Result<f64, Diagnostic> {
    text.trim()
        .strip_prefix("film")
        .and_then(|film| film.trim().parse().ok())
        .filter(|film| (0.0..=THICKEST_FILM).contains(film))
        .ok_or_else(|| {
            Diagnostic::error("", format!("\"{}\" is no film", text.trim())).expected(format!(
                "film and a thickness of 0 to {THICKEST_FILM}, such as \"; film 0.5\""
            ))
        })
}
