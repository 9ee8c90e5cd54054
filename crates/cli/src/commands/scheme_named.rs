//! Arguments that several commands share: a scheme named with its figure, a word for an undercoat, the mix of a region.

use std::path::Path;

use velatura::{DiskFiles, Error, Job, Session};
use velatura_document::{Diagnostic, either, nearest};
use velatura_pipeline::figure::SimulatedUndercoat;
use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::optics::mixture::Mix;
use velatura_pipeline::scheme::{UNDERCOATS, read_mix};

use crate::attached::job_files;

/// A scheme in its job.
pub(super) struct Named {
    /// The figure, its paints and all its schemes.
    pub(super) job: Job,
    /// Index of the scheme that was named.
    pub(super) scheme: usize,
}

/// Loads `FIGURE.toml:SCHEME`, with the other files from the figure's folder.
///
/// # Errors
/// [`Error::Call`] for a text of another form or an unknown scheme; problems of the files.
pub(super) fn load(session: &Session, text: &str) -> Result<Named, Error> {
    let (figure, name) = parted(text)?;
    let files = job_files(session, Path::new(figure), &[], None);
    let job = session.load_files(&DiskFiles, &files)?;
    let scheme = index_of(&job, text, name)?;
    Ok(Named { job, scheme })
}

/// The figure file and the scheme's name, which may be missing. A name can contain colons: the first ".toml:" separates the
/// two.
///
/// # Errors
/// [`Error::Call`] if the text names no figure file.
pub(super) fn parted(team: &str) -> Result<(&str, Option<&str>), Error> {
    const ENDING: &str = ".toml";
    let lower = team.to_ascii_lowercase();
    if let Some(at) = lower.find(&format!("{ENDING}:")) {
        let (file, name) = team.split_at(at + ENDING.len());
        return Ok((file, Some(&name[1..])));
    }
    if lower.ends_with(ENDING) {
        return Ok((team, None));
    }
    Err(Error::refused(
        team,
        "this does not name a figure file",
        "FIGURE.toml:SCHEME",
        "write the path up to .toml, a colon and the name of a scheme",
    ))
}

/// Index of the named scheme, or of the only one if none is named. `written` is the option or text that names it.
///
/// # Errors
/// [`Error::Call`] with the existing names.
pub(super) fn index_of(job: &Job, written: &str, wanted: Option<&str>) -> Result<usize, Error> {
    job.scheme_index(wanted)
        .map_err(|problem| Error::call(problem.within(written)))
}

/// A suggestion of a similar name; empty if there is none.
pub(super) fn did_you_mean(near: Option<&str>) -> String {
    near.map_or(String::new(), |near| format!("did you mean \"{near}\"?"))
}

/// Reads the word for an undercoat from an argument.
pub(super) fn undercoat(word: &str) -> Result<SimulatedUndercoat, String> {
    UNDERCOATS
        .iter()
        .find_map(|choice| (choice.word == word).then_some(choice.value))
        .ok_or_else(|| {
            let words = UNDERCOATS.map(|choice| choice.word);
            format!("expected {}", either(&words))
        })
}

/// The index of a region that --keep names.
///
/// # Errors
/// [`Error::Call`] with the existing names.
pub(super) fn region(name: &str, regions: &[String]) -> Result<usize, Error> {
    regions.iter().position(|own| own == name).ok_or_else(|| {
        let near = nearest(name, regions.iter().map(String::as_str));
        Error::call(
            Diagnostic::error("", format!("no region is called \"{name}\""))
                .within("--keep")
                .expected(format!("one of {}", regions.join(", ")))
                .help(did_you_mean(near)),
        )
    })
}

/// Reads `REGION=MIX`.
///
/// # Errors
/// [`Error::Call`] for a text of another form, an unknown region, or a mix that cannot be read.
pub(super) fn kept_mix(
    text: &str,
    regions: &[String],
    paints: &PaintBox,
    paints_name: &str,
) -> Result<(usize, Mix), Error> {
    let Some((region, mix)) = text.split_once('=') else {
        return Err(Error::call(
            Diagnostic::error("", format!("\"{text}\" has no \"=\""))
                .within("--keep")
                .expected("a region and its mix, such as \"hood=Oil Amber:3,medium:7\""),
        ));
    };
    let index = self::region(region.trim(), regions)?;
    let mix = read_mix(mix, paints, paints_name).map_err(|problems| {
        let within = |problem: Diagnostic| problem.within(format!("--keep \"{text}\""));
        Error::Call(problems.into_iter().map(within).collect())
    })?;
    Ok((index, mix))
}
