//! `velatura check`: says whether files are right, all their problems at once.

use std::process::ExitCode;

use clap::Args;
use velatura_pipeline::figure::{DecodeLimits, FigureFile, decode_photo, plate, read_figure_file};
use velatura_pipeline::optics::calibrate::calibrate;
use velatura_pipeline::optics::diagnostic::{Diagnostic, nearest};
use velatura_pipeline::optics::document::SourceText;
use velatura_pipeline::optics::paint::Basis;
use velatura_pipeline::optics::paints_file::read_paints_file;
use velatura_pipeline::scheme::{read_schemes_file, resolve};
use velatura_pipeline::{Error, JobFiles};

use super::Format;
use crate::files::read_file;
use crate::messages::{out, warn};

const FORMATS: [&str; 3] = [
    "velatura-figure/1",
    "velatura-paints/1",
    "velatura-schemes/1",
];

/// Say whether files are right, and what is missing to trust them more
///
/// A figure's photo and mask are read too; the names in schemes are looked up in the figure.toml and paints.toml that
/// stand beside them.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  velatura check demo_images/lamplighter/*.toml")]
pub(crate) struct Check {
    /// figure.toml, paints.toml or schemes.toml
    #[arg(value_name = "FILE", required = true)]
    files: Vec<String>,
    /// How results are told
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

impl Check {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let mut all = Vec::new();
        for file in &self.files {
            let (found, notes) = check(file);
            if self.format == Format::Text {
                found.iter().for_each(|problem| warn(problem, self.format));
                let errors = found.iter().filter(|problem| problem.is_error()).count();
                let verdict = match (errors, found.len() - errors) {
                    (0, 0) => "right".to_owned(),
                    (0, warnings) => format!("usable, {warnings} to look at"),
                    (errors, _) => format!("{errors} to mend"),
                };
                out(&format!("{file}: {verdict}\n"))?;
                for note in notes {
                    out(&format!("  {note}\n"))?;
                }
            }
            all.extend(found);
        }
        if self.format == Format::Json {
            let text = serde_json::to_string_pretty(&all)
                .map_err(|error| Error::Machine(error.to_string()))?;
            out(&(text + "\n"))?;
        }
        Ok(if all.iter().any(Diagnostic::is_error) {
            ExitCode::from(1)
        } else {
            ExitCode::SUCCESS
        })
    }
}

/// All problems of one file, and what would make it more trustworthy.
fn check(file: &str) -> (Vec<Diagnostic>, Vec<String>) {
    let source = match read_file(file).and_then(|bytes| SourceText::from_bytes(file, bytes)) {
        Ok(source) => source,
        Err(problem) => return (vec![problem], Vec::new()),
    };
    let is = |format: &str| source.text.contains(format);
    if is("velatura-figure/") {
        (check_figure(&source), Vec::new())
    } else if is("velatura-paints/") {
        check_paints(&source)
    } else if is("velatura-schemes/") {
        (check_schemes(&source), Vec::new())
    } else {
        let written = source
            .text
            .lines()
            .find_map(|line| line.trim().strip_prefix("format"))
            .unwrap_or_default();
        let near = nearest(written.trim_matches(|c: char| " =\"".contains(c)), FORMATS)
            .unwrap_or(FORMATS[0]);
        let problem = Diagnostic::error(file, "no line says what kind of file this is")
            .expected(format!(
                "format = \"{}\", or the same with paints or schemes",
                FORMATS[0]
            ))
            .mend(format!("begin the file with: format = \"{near}\""));
        (vec![problem], Vec::new())
    }
}

fn check_figure(source: &SourceText) -> Vec<Diagnostic> {
    let (figure, mut found) = read_figure_file(source);
    if let Some(figure) = figure {
        found.extend(check_pictures(&figure, &JobFiles::beside(&source.name)));
    }
    found
}

fn check_pictures(figure: &FigureFile, files: &JobFiles) -> Vec<Diagnostic> {
    let limits = DecodeLimits::default();
    let mut found = Vec::new();
    let mut picture = |path: &str| match read_file(&files.in_figure_folder(path)) {
        Ok(bytes) => Some(bytes),
        Err(problem) => {
            found.push(problem);
            None
        }
    };
    let photo = picture(&figure.photo.value);
    let mask = picture(&figure.mask.value);
    let light_photo = figure
        .undercoat
        .light_photo
        .as_ref()
        .map(|path| (path, picture(&path.value)));
    if let (Some(photo), Some(mask)) = (photo, mask) {
        match plate(figure, &photo, &mask, &limits) {
            Ok((plate, warnings)) => {
                found.extend(warnings);
                if let Some((path, Some(bytes))) = light_photo {
                    match decode_photo(&path.value, &bytes, &limits) {
                        Ok((photo, warnings)) => {
                            found.extend(warnings);
                            found.extend(
                                velatura_pipeline::figure::underpainting(
                                    plate,
                                    figure,
                                    Some(photo),
                                )
                                .err(),
                            );
                        }
                        Err(problem) => found.push(problem),
                    }
                }
            }
            Err(problems) => found.extend(problems),
        }
    }
    found
}

fn check_paints(source: &SourceText) -> (Vec<Diagnostic>, Vec<String>) {
    let (file, mut found) = read_paints_file(source);
    let mut notes = Vec::new();
    if let Some(file) = file {
        let (paints, warnings) = calibrate(&file);
        found.extend(warnings);
        notes = paints
            .paints
            .iter()
            .filter_map(|paint| {
                let lack = match paint.basis {
                    Basis::Chip => {
                        "known from a chip: brush a drawdown over black and white to trust it"
                    }
                    Basis::Drawdown | Basis::Spectrum => {
                        "has no tint: how strong it is in a mix is a guess"
                    }
                    _ => return None,
                };
                Some(format!("\"{}\" {lack}", paint.name))
            })
            .collect();
    }
    (found, notes)
}

fn check_schemes(source: &SourceText) -> Vec<Diagnostic> {
    let (file, mut found) = read_schemes_file(source);
    let beside = JobFiles {
        figure: source.name.clone(),
        paints: String::new(),
        schemes: String::new(),
    };
    let (figure_name, paints_name) = (
        beside.in_figure_folder("figure.toml"),
        beside.in_figure_folder("paints.toml"),
    );
    let text = |name: &str| {
        read_file(name)
            .and_then(|bytes| SourceText::from_bytes(name, bytes))
            .ok()
    };
    let figure = text(&figure_name).and_then(|source| read_figure_file(&source).0);
    let paints = text(&paints_name).and_then(|source| read_paints_file(&source).0);
    if let (Some(file), Some(figure), Some(paints)) = (file, figure, paints) {
        let regions: Vec<String> = figure
            .regions
            .iter()
            .map(|region| region.name.value.clone())
            .collect();
        let paints = calibrate(&paints).0;
        found.extend(
            resolve(&file, &regions, &figure_name, &paints, &paints_name)
                .err()
                .into_iter()
                .flatten(),
        );
    }
    found
}
