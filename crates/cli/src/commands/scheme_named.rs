//! What several commands take: a scheme named with its figure, a word for an undercoat, a region's mix.

use velatura_pipeline::figure::SimulatedUndercoat;
use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::optics::diagnostic::{either, nearest};
use velatura_pipeline::optics::mixture::Mix;
use velatura_pipeline::scheme::{UNDERCOATS, read_mix};
use velatura_pipeline::{Clock, Error, Job, JobFiles, load as load_job};
use velatura_sheet::registry;

use crate::files::read_file;

/// A scheme in its job.
pub(super) struct Named {
    /// The figure, its paints and all its schemes.
    pub(super) job: Job,
    /// Index of the scheme that was named.
    pub(super) scheme: usize,
}

/// Loads `FIGURE.toml:SCHEME`, with the files beside the figure.
///
/// # Errors
/// A text of another form or a name that no scheme has ([`Error::Call`]); whatever is wrong with the files.
pub(super) fn load(text: &str) -> Result<Named, Error> {
    let (figure, name) = figure_and_scheme(text)?;
    let job = load_job(
        &registry(),
        &JobFiles::beside(figure),
        &read_file,
        &Clock::stopped(),
    )?;
    let scheme = index_of(name, &job)?;
    Ok(Named { job, scheme })
}

/// Index of the scheme of a name.
///
/// # Errors
/// [`Error::Call`] with the names that there are.
pub(super) fn index_of(name: &str, job: &Job) -> Result<usize, Error> {
    let names = || job.schemes.iter().map(|scheme| scheme.name.as_str());
    names().position(|own| own == name).ok_or_else(|| {
        let quoted: Vec<String> = names().map(|name| format!("\"{name}\"")).collect();
        let mend = nearest(name, names()).map_or(String::new(), |near| {
            format!("\n  mend: did you mean \"{near}\"?")
        });
        Error::Call(format!(
            "no scheme is called \"{name}\"\n  expected: {}{mend}",
            either(&quoted)
        ))
    })
}

/// A scheme's name may hold colons, and so may a path: the first ".toml:" parts the two.
fn figure_and_scheme(text: &str) -> Result<(&str, &str), Error> {
    const ENDING: &str = ".toml";
    let at = text.find(".toml:").map(|at| at + ENDING.len());
    at.map(|at| (&text[..at], &text[at + 1..])).ok_or_else(|| {
        Error::Call(format!(
            "\"{text}\" does not name a scheme\n  expected: a figure file and one of its schemes, such as \"figure.toml:Foglight\""
        ))
    })
}

/// Reads an undercoat's word, for an argument.
pub(super) fn undercoat(word: &str) -> Result<SimulatedUndercoat, String> {
    UNDERCOATS
        .iter()
        .find_map(|(own, undercoat)| (*own == word).then_some(*undercoat))
        .ok_or_else(|| {
            let words: Vec<String> = UNDERCOATS
                .iter()
                .map(|(word, _)| (*word).to_owned())
                .collect();
            format!("expected {}", either(&words))
        })
}

/// Reads `REGION=MIX`.
///
/// # Errors
/// [`Error::Call`] for a text of another form, a region that is not there, or a mix that cannot be read.
pub(super) fn kept_mix(
    text: &str,
    regions: &[String],
    paints: &PaintBox,
    paints_name: &str,
) -> Result<(usize, Mix), Error> {
    let Some((region, mix)) = text.split_once('=') else {
        return Err(Error::Call(format!(
            "--keep: \"{text}\" has no \"=\"\n  expected: a region and its mix, such as \"hood=Oil Amber:3,medium:7\""
        )));
    };
    let region = region.trim();
    let index = regions
        .iter()
        .position(|own| own == region)
        .ok_or_else(|| {
            let mend = nearest(region, regions.iter().map(String::as_str))
                .map_or(String::new(), |near| {
                    format!("\n  mend: did you mean \"{near}\"?")
                });
            Error::Call(format!(
                "--keep: no region is called \"{region}\"\n  expected: one of {}{mend}",
                regions.join(", ")
            ))
        })?;
    let mix = read_mix(mix, paints, paints_name).map_err(|problems| {
        let texts: Vec<String> = problems
            .iter()
            .map(|problem| format!("--keep: {problem}"))
            .collect();
        Error::Call(texts.join("\n\n"))
    })?;
    Ok((index, mix))
}
