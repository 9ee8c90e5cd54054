//! The results of the sheet stages in use: the one that arranges the pictures, and the texts next to it.

use velatura_document::Error;

use crate::catalogue::none_left;
use crate::job::Job;
use crate::parameters::Parameters;
use crate::run::Run;
use crate::sheet::SheetFile;
use crate::stage::{AttachPoint, Sheet};

/// The folder of sheet texts in the output folder.
pub const TEXTS_FOLDER: &str = "texts";

impl Job {
    /// The sheet stage that this job uses, and its parameters.
    ///
    /// # Errors
    /// [`Error::Call`] if the session has none; parameters that it does not allow.
    pub fn sheet(&self) -> Result<(&dyn Sheet, Parameters), Error> {
        let found = self.session.catalogue().sheets(&self.log);
        let mut sheets = self.stage_tables.in_job(&found)?;
        let (_, sheet, parameters) = sheets.pop().ok_or_else(|| none_left(AttachPoint::Sheet))?;
        Ok((sheet, parameters))
    }

    /// The paths of all sheet texts in use, the same as from [`Run::sheet_texts`].
    ///
    /// # Errors
    /// Parameters that a stage does not allow.
    pub fn planned_sheet_texts(&self) -> Result<Vec<String>, Error> {
        let found = self.session.catalogue().sheet_texts(&self.log);
        let stages = self.stage_tables.in_job(&found)?;
        Ok(stages
            .iter()
            .map(|(entry, stage, _)| path(&entry.info.name, stage.kind().ending()))
            .collect())
    }
}

impl Run<'_> {
    /// The sheet texts in use, made from the text of `report.json`. A stage that fails is left out, and its file is missing.
    ///
    /// # Errors
    /// Parameters that a stage does not allow.
    pub fn sheet_texts(&self, report: &str) -> Result<Vec<SheetFile>, Error> {
        let job = self.job();
        let found = job.session.catalogue().sheet_texts(self.log());
        let mut files = Vec::new();
        for (entry, stage, parameters) in job.stage_tables.in_job(&found)? {
            let name = &entry.info.name;
            match stage.text(report, &parameters) {
                Ok(text) => files.push(SheetFile {
                    path: path(name, stage.kind().ending()),
                    bytes: text.into_bytes(),
                }),
                Err(problem) => {
                    self.log().leave_out(name, vec![problem]);
                }
            }
        }
        Ok(files)
    }
}

fn path(stage: &str, ending: &str) -> String {
    format!("{TEXTS_FOLDER}/{stage}.{ending}")
}
