//! The text files of a job. They are read together, so all their problems are reported together; scheme sources and
//! transforms turn them into schemes.

use std::collections::BTreeSet;
use std::path::Path;

use velatura_document::{
    Diagnostic, Error, Files, LARGEST_TEXT_BYTES, SourceText, Warned, in_file_order, read_file,
};
use velatura_figure::{FigureFile, read_figure_file};
use velatura_optics::calibrate::PaintBox;
use velatura_scheme::{
    KnownPaints, KnownRegions, Scheme, read_schemes_file_in_part, unknown_names,
};

use crate::catalogue::failure;
use crate::checked::Checked;
use crate::job::JobFiles;
use crate::run_log::RunLog;
use crate::session::Session;
use crate::stage::SchemeRequest;
use crate::stage_tables::StageTables;

/// Which texts a job needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Wanted {
    Schemes,
    FigureAlone,
}

/// The result of reading the texts. If `checked` has an error, some parts are missing.
pub(crate) struct Texts {
    pub(crate) figure: Option<FigureFile>,
    pub(crate) paints: Option<PaintBox>,
    pub(crate) schemes: Vec<Scheme>,
    pub(crate) stage_tables: StageTables,
    pub(crate) checked: Checked,
}

/// Reads the text files and collects the schemes.
///
/// # Errors
/// Parameters that a stage does not allow. Problems of the files are in [`Texts::checked`].
pub(crate) fn texts(
    session: &Session,
    log: &RunLog,
    files: &dyn Files,
    names: &JobFiles,
    wanted: Wanted,
) -> Result<Texts, Error> {
    let mut checked = Checked::default();
    let figure_text = text(files, &names.figure, &mut checked.figure);
    let paints_texts: Vec<Option<SourceText>> = names
        .paints
        .iter()
        .map(|name| text(files, name, &mut checked.paints))
        .collect();
    let paints_texts: Option<Vec<SourceText>> = paints_texts.into_iter().collect();
    let schemes_text = match (wanted, &names.schemes) {
        (Wanted::Schemes, Some(name)) => text(files, name, &mut checked.schemes),
        _ => None,
    };
    let figure = figure_text
        .and_then(|source| Warned::if_read(read_figure_file(&source), &mut checked.figure));
    let paints = paints_texts
        .and_then(|sources| Warned::if_read(session.paints(&sources), &mut checked.paints));
    // Only its stage tables are needed here. The scheme source reads its schemes and reports their problems.
    let schemes_file = schemes_text.as_ref().map(read_schemes_file_in_part);
    let in_figure = figure.as_ref().map_or(&[][..], |figure| &figure.stages);
    let in_file = match &schemes_file {
        Some(read) if !read.is_wrong() => read.value.as_ref().map(|file| file.stages.clone()),
        _ => None,
    }
    .unwrap_or_default();
    let mut stage_tables = StageTables::new(in_figure, &in_file, &[]);
    let mut schemes = Vec::new();
    let can_give = !checked.any_error()
        && wanted == Wanted::Schemes
        && (schemes_text.is_some() || names.schemes.is_none());
    let regions = figure.as_ref().map(FigureFile::region_names);
    if let (Some(regions), Some(paints), true) = (&regions, &paints, can_give) {
        let request = SchemeRequest {
            source: schemes_text.as_ref(),
            regions,
            figure_name: &shown(&names.figure),
            paints,
            paints_name: &names.paints_name(),
        };
        let given = given(session, log, &stage_tables, &request)?;
        match given {
            Ok(given) => {
                schemes = given.into_value(&mut checked.schemes);
                stage_tables = StageTables::new(in_figure, &in_file, &schemes);
                table_problems(session, &stage_tables, &schemes, names, &mut checked);
                if !checked.any_error() {
                    schemes = transformed(session, log, &stage_tables, &request, &schemes)?;
                    let file = names.schemes.as_deref().map(shown).unwrap_or_default();
                    checked
                        .schemes
                        .extend(without_glint(&schemes, paints, file));
                }
            }
            Err(problems) => {
                checked.schemes.extend(problems);
                table_problems(session, &stage_tables, &[], names, &mut checked);
            }
        }
    } else {
        // No scheme can be made. Problems of the file itself are known, and names can be looked up in what was read.
        if let Some(mut read) = schemes_file {
            if let Some(file) = &read.value {
                let (figure_name, paints_name) = (shown(&names.figure), names.paints_name());
                let regions = regions.as_ref().map(|names| KnownRegions {
                    names,
                    file: &figure_name,
                });
                let paints = paints.as_ref().map(|paints| KnownPaints {
                    paints,
                    file: &paints_name,
                });
                read.problems.extend(unknown_names(file, regions, paints));
                in_file_order(&mut read.problems);
            }
            checked.schemes.extend(read.problems);
        }
        table_problems(session, &stage_tables, &[], names, &mut checked);
    }
    Ok(Texts {
        figure,
        paints,
        schemes,
        stage_tables,
        checked,
    })
}

fn text(files: &dyn Files, path: &Path, problems: &mut Vec<Diagnostic>) -> Option<SourceText> {
    read_file(files, path, LARGEST_TEXT_BYTES)
        .and_then(|bytes| SourceText::from_bytes(shown(path), bytes))
        .map_err(|problem| problems.push(problem))
        .ok()
}

fn shown(path: &Path) -> String {
    path.display().to_string()
}

/// A warning about the metallic paints in schemes.
fn without_glint(schemes: &[Scheme], paints: &PaintBox, file: String) -> Option<Diagnostic> {
    let used = schemes
        .iter()
        .flat_map(|scheme| scheme.metallic_paints(paints));
    let names: BTreeSet<String> = used.map(|name| format!("\"{name}\"")).collect();
    let (verb, whose) = match names.len() {
        0 => return None,
        1 => ("is", "its"),
        _ => ("are", "their"),
    };
    let names = names.into_iter().collect::<Vec<_>>().join(", ");
    let found =
        format!("{names} {verb} metallic: the pictures show {whose} colour, but not {whose} glint");
    Some(Diagnostic::warning(file, found).help("judge the glint on a painted sample"))
}

/// Problems of the stage tables, by the file they are in.
fn table_problems(
    session: &Session,
    tables: &StageTables,
    schemes: &[Scheme],
    names: &JobFiles,
    checked: &mut Checked,
) {
    let figure = shown(&names.figure);
    for problem in tables.problems(session, schemes) {
        if problem.file == figure {
            checked.figure.push(problem);
        } else {
            checked.schemes.push(problem);
        }
    }
}

/// The schemes of all scheme sources in use. If one fails, only its schemes are missing. Its problems count as wrong input if
/// no scheme is left, or if the source is built in.
type Given = Result<Warned<Vec<Scheme>>, Vec<Diagnostic>>;

fn given(
    session: &Session,
    log: &RunLog,
    stage_tables: &StageTables,
    request: &SchemeRequest<'_>,
) -> Result<Given, Error> {
    let (mut schemes, mut warnings, mut failed) = (Vec::new(), Vec::new(), Vec::new());
    for (entry, source, parameters) in
        stage_tables.in_job(&session.catalogue().scheme_sources(log))?
    {
        match source.schemes(request, &parameters) {
            Ok(given) => schemes.extend(given.into_value(&mut warnings)),
            Err(problems) if entry.is_built_in() => return Ok(Err(problems)),
            Err(problems) => {
                log.leave_out(&entry.info.name, problems.clone());
                failed.extend(problems);
            }
        }
    }
    Ok(if schemes.is_empty() && !failed.is_empty() {
        Err(failed)
    } else {
        Ok(Warned::new(schemes, warnings))
    })
}

/// The schemes after all transforms in use. A transform that fails on one scheme is left out of all, so that they stay
/// comparable.
fn transformed(
    session: &Session,
    log: &RunLog,
    stage_tables: &StageTables,
    request: &SchemeRequest<'_>,
    schemes: &[Scheme],
) -> Result<Vec<Scheme>, Error> {
    log.without_failing(|| {
        let one = |scheme: &Scheme| {
            let transforms =
                stage_tables.in_use(&session.catalogue().scheme_transforms(log), scheme)?;
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
