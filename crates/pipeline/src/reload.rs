//! A job read again after some of its files changed. The planes stay where nothing that they are made from has changed.

use std::path::PathBuf;

use velatura_document::{Error, Files};
use velatura_optics::colour::luminance;

use crate::job::Job;
use crate::job_texts::{Texts, Wanted, texts};
use crate::run_log::RunLog;
use crate::session::Session;

impl Session {
    /// Reads the files of a job again; `changed` are those that changed since it was read, as [`Job::inputs`] spells them. Reading
    /// photo and mask takes most of the time and is left out if neither they nor the figure file changed. After an error
    /// the job is as it was before.
    ///
    /// # Errors
    /// As [`Session::load_files`].
    pub fn reload(
        &self,
        files: &dyn Files,
        job: &mut Job,
        changed: &[PathBuf],
    ) -> Result<(), Error> {
        let log = self.new_log();
        let may_keep = self.makes_planes_from_pictures_alone(&log)
            && job.log.left_out().is_empty()
            && changed.iter().all(|path| {
                job.files.paints.contains(path) || job.files.schemes.as_ref() == Some(path)
            });
        if !may_keep {
            *job = self.load_files(files, &job.files)?;
            return Ok(());
        }
        let wanted = match job.files.schemes {
            Some(_) => Wanted::Schemes,
            None => Wanted::FigureAlone,
        };
        let Texts {
            figure,
            paints,
            schemes,
            stage_tables,
            mut checked,
        } = texts(self, &log, files, &job.files, wanted)?;
        let (Some(mut figure), Some(paints), false) = (figure, paints, checked.any_error()) else {
            return Err(Error::inputs(checked.all()));
        };
        let black = luminance(paints.cards.black.linear());
        if job.figure.undercoat.card_black != Some(black) {
            // The dark primer is taken to be like the black card.
            *job = self.load_files(files, &job.files)?;
            return Ok(());
        }
        figure.undercoat.card_black = Some(black);
        checked.figure.extend(job.of_pictures.iter().cloned());
        job.warnings = checked.all();
        (job.figure, job.paints, job.schemes) = (figure, paints, schemes);
        (job.stage_tables, job.log) = (stage_tables, log);
        job.timings.clear();
        Ok(())
    }

    /// Whether intake and ground are the built-in ones, which have no parameters.
    fn makes_planes_from_pictures_alone(&self, log: &RunLog) -> bool {
        let catalogue = self.catalogue();
        catalogue
            .intakes(log)
            .iter()
            .all(|(entry, _)| entry.is_built_in())
            && catalogue
                .grounds(log)
                .iter()
                .all(|(entry, _)| entry.is_built_in())
    }
}
