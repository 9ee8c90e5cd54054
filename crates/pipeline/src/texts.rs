//! The three text files of a job: read together, so that the problems of all of them come together, and made into schemes by the scheme
//! sources and transforms.

use velatura_document::Diagnostic;
use velatura_document::SourceText;
use velatura_figure::{FigureFile, read_figure_file};
use velatura_optics::calibrate::{PaintBox, calibrate};
use velatura_optics::paints_file::read_paints_file;
use velatura_scheme::{Scheme, SchemesFile, read_schemes_file};

use crate::load::{JobFiles, ReadFile};
use crate::registry::{Registry, failure, without_failing};
use crate::stage::SchemeRequest;
use crate::stage_tables::StageTables;
use velatura_document::Error;

/// Which texts a job needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Wanted {
    Schemes,
    FigureAlone,
}

/// What the texts gave.
pub(crate) struct Texts {
    pub(crate) figure: FigureFile,
    pub(crate) paints: PaintBox,
    pub(crate) schemes: Vec<Scheme>,
    pub(crate) stage_tables: StageTables,
    pub(crate) warnings: Vec<Diagnostic>,
}

/// Reads the text files and asks for schemes.
///
/// # Errors
/// [`Error::Input`] with all problems at once.
pub(crate) fn texts(
    registry: &Registry,
    files: &JobFiles,
    read: &ReadFile<'_>,
    wanted: Wanted,
) -> Result<Texts, Error> {
    let mut problems = Vec::new();
    let mut text = |name: &str| {
        let source = read(name).and_then(|bytes| SourceText::from_bytes(name, bytes));
        source.map_err(|problem| problems.push(problem)).ok()
    };
    let (figure_text, paints_text) = (text(&files.figure), text(&files.paints));
    let schemes_text = match (wanted, &files.schemes) {
        (Wanted::Schemes, Some(name)) => text(name),
        _ => None,
    };
    let figure = figure_text.and_then(|source| {
        let (figure, found) = read_figure_file(&source);
        problems.extend(found);
        figure
    });
    let paints = paints_text.and_then(|source| {
        let (file, found) = read_paints_file(&source);
        problems.extend(found);
        file.map(|file| {
            let (paints, found) = calibrate(&file);
            problems.extend(found);
            paints
        })
    });
    // Its stages' tables are wanted here; its schemes, and what is wrong with them, are the scheme source's.
    let schemes_file = schemes_text.as_ref().map(read_schemes_file);
    let (Some(figure), Some(paints)) = (figure, paints) else {
        // Names cannot be looked up yet, but the file's own mistakes can already be told.
        problems.extend(schemes_file.into_iter().flat_map(|(_, found)| found));
        return Err(Error::Input(problems));
    };
    let regions: Vec<String> = figure
        .regions
        .iter()
        .map(|region| region.name.value.clone())
        .collect();
    let request = SchemeRequest {
        source: schemes_text.as_ref(),
        regions: &regions,
        figure_name: &files.figure,
        paints: &paints,
        paints_name: &files.paints,
    };
    let in_file = schemes_file
        .and_then(|(file, _)| file)
        .map_or_else(Vec::new, |SchemesFile { stages, .. }| stages);
    let mut stage_tables = StageTables::new(&figure.stages, &in_file, &[]);
    let is_wanted = match wanted {
        Wanted::Schemes => {
            problems.iter().all(|problem| !problem.is_error())
                && (schemes_text.is_some() || files.schemes.is_none())
        }
        Wanted::FigureAlone => false,
    };
    let mut schemes = Vec::new();
    if is_wanted {
        let (given, found) = given(registry, &stage_tables, &request)?;
        problems.extend(found);
        stage_tables = StageTables::new(&figure.stages, &in_file, &given);
        schemes = given;
    }
    problems.extend(stage_tables.problems(registry, &schemes));
    if problems.iter().any(Diagnostic::is_error) {
        return Err(Error::Input(problems));
    }
    let schemes = transformed(registry, &stage_tables, &request, &schemes)?;
    Ok(Texts {
        figure,
        paints,
        schemes,
        stage_tables,
        warnings: problems,
    })
}

/// What all scheme sources in use give. One that fails costs its own schemes; only where nothing is left is it the input's fault.
fn given(
    registry: &Registry,
    stage_tables: &StageTables,
    request: &SchemeRequest<'_>,
) -> Result<(Vec<Scheme>, Vec<Diagnostic>), Error> {
    let (mut schemes, mut warnings, mut failed) = (Vec::new(), Vec::new(), Vec::new());
    for (entry, source, parameters) in stage_tables.in_job(&registry.scheme_sources())? {
        match source.schemes(request, &parameters) {
            Ok((given, found)) => {
                schemes.extend(given);
                warnings.extend(found);
            }
            Err(problems) if entry.is_built_in() => return Err(Error::Input(problems)),
            Err(problems) => {
                registry.set_aside(&entry.info.name, problems.clone());
                failed.extend(problems);
            }
        }
    }
    if schemes.is_empty() && !failed.is_empty() {
        return Err(Error::Input(failed));
    }
    Ok((schemes, warnings))
}

/// The schemes after all transforms in use. One that fails on any scheme is left out of all, so that they stay comparable.
fn transformed(
    registry: &Registry,
    stage_tables: &StageTables,
    request: &SchemeRequest<'_>,
    schemes: &[Scheme],
) -> Result<Vec<Scheme>, Error> {
    without_failing(registry, || {
        let one = |scheme: &Scheme| {
            let transforms = stage_tables.in_use(&registry.scheme_transforms(), scheme)?;
            transforms.into_iter().try_fold(
                scheme.clone(),
                |scheme, (entry, transform, parameters)| {
                    transform
                        .transform(&scheme, request, &parameters)
                        .map_err(|problem| failure(entry, problem))
                },
            )
        };
        schemes.iter().map(one).collect()
    })
}
