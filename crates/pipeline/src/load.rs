//! From files to a job: everything is read and checked, and the photo becomes planes. Files come from [`Files`], so no file
//! system is needed.

use std::path::PathBuf;

use velatura_document::{At, Diagnostic, Error, Files, LARGEST_PICTURE_BYTES, Warned, read_file};
use velatura_figure::{
    FigureFile, Plate, Underpainting, detail_checks, named_in, same_light_photo,
};
use velatura_optics::colour::luminance;
use velatura_photo::Photo;

use crate::catalogue::{failure, none_left};
use crate::checked::Checked;
use crate::clock::Timings;
use crate::job::{Job, JobFiles};
use crate::job_texts::{Texts, Wanted, texts};
use crate::run_log::RunLog;
use crate::session::Session;
use crate::stage::{AttachPoint, Intake};
use crate::stage_tables::StageTables;

/// How far a job is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Depth {
    /// Up to planes for rendering; checks that only make a preview less useful are not reported.
    ToRender,
    /// Everything that can be checked, even if other parts are wrong.
    ToCheck,
}

impl Session {
    /// Reads and checks a figure, and the `paints.toml` and `schemes.toml` next to it.
    ///
    /// # Errors
    /// [`Error::Input`] with every problem of every file.
    pub fn load(&self, files: &dyn Files, figure: impl Into<PathBuf>) -> Result<Job, Error> {
        self.load_files(files, &JobFiles::next_to(figure))
    }

    /// Reads and checks the files of a job. Paths in the figure file start from its folder.
    ///
    /// # Errors
    /// As [`Session::load`].
    pub fn load_files(&self, files: &dyn Files, job_files: &JobFiles) -> Result<Job, Error> {
        self.job(files, job_files, Wanted::Schemes)
    }

    /// As [`Session::load_files`] without any scheme: `job_files.schemes` is not opened.
    ///
    /// # Errors
    /// As [`Session::load`].
    pub fn load_figure(&self, files: &dyn Files, job_files: &JobFiles) -> Result<Job, Error> {
        self.job(files, job_files, Wanted::FigureAlone)
    }

    /// Reads and checks the files of a job like [`Session::load_files`], and reports all errors and warnings, including those
    /// about blur and size. Every stage that loading uses is used here.
    ///
    /// # Errors
    /// [`Error::Call`] if the session lacks a stage.
    pub fn check(&self, files: &dyn Files, job_files: &JobFiles) -> Result<Checked, Error> {
        let wanted = match job_files.schemes {
            Some(_) => Wanted::Schemes,
            None => Wanted::FigureAlone,
        };
        let log = self.new_log();
        let (job, mut checked) = self.read(&log, files, job_files, wanted, Depth::ToCheck)?;
        if let Some(Err(problems)) = job.map(|job| job.kept_mixes()) {
            checked.figure.extend(problems);
        }
        // A run would leave these stages out and continue.
        let failed = log.left_out().into_iter();
        checked.figure.extend(
            failed
                .filter(|left_out| left_out.stage.is_some())
                .flat_map(|left_out| left_out.problems)
                .map(Diagnostic::as_warning),
        );
        Ok(checked)
    }

    /// Checks a schemes file with the names in its figure and paints files. No picture is opened.
    ///
    /// # Errors
    /// As [`Session::check`].
    pub fn check_schemes(
        &self,
        files: &dyn Files,
        job_files: &JobFiles,
    ) -> Result<Vec<Diagnostic>, Error> {
        let log = self.new_log();
        let texts = texts(self, &log, files, job_files, Wanted::Schemes)?;
        Ok(texts.checked.schemes)
    }

    fn job(&self, files: &dyn Files, job_files: &JobFiles, wanted: Wanted) -> Result<Job, Error> {
        let log = self.new_log();
        match self.read(&log, files, job_files, wanted, Depth::ToRender)? {
            (Some(mut job), checked) => {
                job.warnings = checked.all();
                Ok(job)
            }
            (None, checked) => Err(Error::inputs(checked.all())),
        }
    }

    /// The job, if there is no error, and all errors and warnings.
    fn read(
        &self,
        log: &RunLog,
        files: &dyn Files,
        job_files: &JobFiles,
        wanted: Wanted,
        depth: Depth,
    ) -> Result<(Option<Job>, Checked), Error> {
        let mut timings = Timings::start(self.clock());
        let Texts {
            figure,
            paints,
            schemes,
            stage_tables,
            mut checked,
        } = texts(self, log, files, job_files, wanted)?;
        timings.lap("read");
        let Some(mut figure) = figure else {
            return Ok((None, checked));
        };
        let card = paints.as_ref().map(|paints| paints.cards.black);
        figure.undercoat.card_black = card.map(|black| luminance(black.linear()));
        let reader = Pictures {
            session: self,
            log,
            files,
            job_files,
            figure: &figure,
            stage_tables: &stage_tables,
            depth,
        };
        let of_texts = checked.figure.len();
        let underpainting = reader.underpainting(&mut checked, &mut timings)?;
        let (Some(paints), Some(underpainting), false) =
            (paints, underpainting, checked.any_error())
        else {
            return Ok((None, checked));
        };
        let job = Job {
            files: job_files.clone(),
            figure,
            underpainting,
            paints,
            schemes,
            stage_tables,
            warnings: Vec::new(),
            of_pictures: checked.figure[of_texts..].to_vec(),
            timings: timings.steps().to_vec(),
            session: self.clone(),
            log: log.clone(),
        };
        Ok((Some(job), checked))
    }
}

/// Reads the pictures of a figure.
struct Pictures<'a> {
    session: &'a Session,
    log: &'a RunLog,
    files: &'a dyn Files,
    job_files: &'a JobFiles,
    figure: &'a FigureFile,
    stage_tables: &'a StageTables,
    depth: Depth,
}

impl Pictures<'_> {
    /// The planes; `None` after an error.
    fn underpainting(
        &self,
        checked: &mut Checked,
        timings: &mut Timings,
    ) -> Result<Option<Underpainting>, Error> {
        loop {
            let mut found = Vec::new();
            let plate = self.plate(&mut found)?;
            timings.lap("intake");
            let Some((plate, light_photo)) = plate else {
                checked.figure.extend(found);
                return Ok(None);
            };
            let light = light_photo.as_ref();
            found.extend(light.and_then(|light| same_light_photo(&plate, light, self.figure)));
            if self.depth == Depth::ToCheck {
                found.extend(detail_checks(&plate, self.figure));
            } else if checked.any_error() || found.iter().any(Diagnostic::is_error) {
                // Nothing will be rendered, so the planes are not needed.
                checked.figure.extend(found);
                return Ok(None);
            }
            match self.ground(plate, light_photo) {
                Ok(underpainting) => {
                    timings.lap("ground");
                    let underpainting = underpainting.into_value(&mut found);
                    checked.figure.extend(found);
                    return Ok(Some(underpainting));
                }
                // The failed stage has consumed the plate; the next one gets its own.
                Err(Error::Stage(failed)) => {
                    self.log.leave_out(&failed.stage, vec![failed.problem]);
                }
                Err(Error::Input(problems)) => {
                    checked.figure.extend(found);
                    checked.figure.extend(problems);
                    return Ok(None);
                }
                Err(error) => return Err(error),
            }
        }
    }

    /// The plate and the light photo; all problems go to `found`.
    fn plate(&self, found: &mut Vec<Diagnostic>) -> Result<Option<(Plate, Option<Photo>)>, Error> {
        let intakes = self
            .stage_tables
            .in_job(&self.session.catalogue().intakes(self.log))?;
        let (_, intake, parameters) = intakes
            .last()
            .ok_or_else(|| none_left(AttachPoint::Intake))?;
        let figure = self.figure;
        let light_photo = figure
            .undercoat
            .light_photo
            .as_ref()
            .and_then(|path| self.light_photo(*intake, path, found));
        let photo = self.picture(&figure.photo, "photo", found);
        let mask = self.picture(&figure.mask, "mask", found);
        let (Some(photo), Some(mask)) = (photo, mask) else {
            return Ok(None);
        };
        let plate = intake.plate(figure, &photo, &mask, self.session.limits(), parameters);
        Ok(match plate {
            Ok(plate) => Some((plate.into_value(found), light_photo)),
            Err(problems) => {
                found.extend(problems);
                None
            }
        })
    }

    fn light_photo(
        &self,
        intake: &dyn Intake,
        path: &At<String>,
        found: &mut Vec<Diagnostic>,
    ) -> Option<Photo> {
        let bytes = self.picture(path, "light_photo", found)?;
        match intake.photo(&path.value, &bytes, self.session.limits()) {
            Ok(photo) => {
                let mut photo = photo.into_value(found);
                // Its colours are not used, and would take 3 bytes per pixel in addition to the plate.
                photo.photo = Vec::new();
                Some(photo)
            }
            Err(problem) => {
                found.push(problem);
                None
            }
        }
    }

    fn picture(
        &self,
        path: &At<String>,
        key: &str,
        found: &mut Vec<Diagnostic>,
    ) -> Option<Vec<u8>> {
        let file = self.job_files.in_figure_folder(&path.value);
        read_file(self.files, &file, LARGEST_PICTURE_BYTES)
            .map_err(|problem| {
                found.push(problem.within(named_in(self.figure, &path.at, key)));
            })
            .ok()
    }

    /// Calls the last ground in use. If it fails and there is another one, the error is [`Error::Stage`], otherwise it counts
    /// as wrong input.
    fn ground(
        &self,
        plate: Plate,
        light_photo: Option<Photo>,
    ) -> Result<Warned<Underpainting>, Error> {
        let grounds = self
            .stage_tables
            .in_job(&self.session.catalogue().grounds(self.log))?;
        let (entry, ground, parameters) = grounds
            .last()
            .ok_or_else(|| none_left(AttachPoint::Ground))?;
        ground
            .underpainting(plate, self.figure, light_photo, parameters)
            .map_err(|problem| match grounds.len() {
                1 => problem.into(),
                _ => failure(entry, problem),
            })
    }
}
