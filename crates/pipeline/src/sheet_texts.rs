//! What the sheet stages in use give: the one that lays frames out, and the text files next to it.

use crate::load::Job;
use crate::parameters::Parameters;
use crate::registry::{Registry, none_left};
use crate::sheet::SheetFile;
use crate::stage::{AttachPoint, Sheet};
use velatura_document::Error;

/// The folder of sheet texts in the output folder.
pub const TEXTS_FOLDER: &str = "texts";

/// The sheet stage that a job uses, and its parameters.
///
/// # Errors
/// None is left; parameters that it does not allow.
pub fn sheet_in_use<'a>(
    registry: &'a Registry,
    job: &Job,
) -> Result<(&'a dyn Sheet, Parameters), Error> {
    let mut sheets = job.stage_tables.in_job(&registry.sheets())?;
    let (_, sheet, parameters) = sheets.pop().ok_or_else(|| none_left(AttachPoint::Sheet))?;
    Ok((sheet, parameters))
}

/// The paths of all sheet texts in use, as [`sheet_texts`] will give them.
///
/// # Errors
/// Parameters that a stage does not allow.
pub fn planned_sheet_texts(registry: &Registry, job: &Job) -> Result<Vec<String>, Error> {
    let stages = job.stage_tables.in_job(&registry.sheet_texts())?;
    Ok(stages
        .iter()
        .map(|(entry, stage, _)| path(&entry.info.name, stage.kind().ending()))
        .collect())
}

/// The sheet texts in use, made from the text of `report.json`. A stage that fails is set aside, and its file is missing.
///
/// # Errors
/// Parameters that a stage does not allow.
pub fn sheet_texts(registry: &Registry, job: &Job, report: &str) -> Result<Vec<SheetFile>, Error> {
    let mut files = Vec::new();
    for (entry, stage, parameters) in job.stage_tables.in_job(&registry.sheet_texts())? {
        let name = &entry.info.name;
        match stage.text(report, &parameters) {
            Ok(text) => files.push(SheetFile {
                path: path(name, stage.kind().ending()),
                bytes: text.into_bytes(),
            }),
            Err(problem) => {
                registry.set_aside(name, vec![problem]);
            }
        }
    }
    Ok(files)
}

fn path(stage: &str, ending: &str) -> String {
    format!("{TEXTS_FOLDER}/{stage}.{ending}")
}
