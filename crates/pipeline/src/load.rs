//! From files to a job: everything read and checked, nothing computed per pixel yet. Files come through a reader that
//! the caller gives, so that no file system is needed.

use std::path::Path;
use std::time::Duration;

use velatura_document::At;
use velatura_document::Diagnostic;
use velatura_figure::{FigureFile, Plate, Underpainting, named_in};
use velatura_optics::calibrate::PaintBox;
use velatura_photo::{DecodeLimits, Photo};
use velatura_scheme::{FigureGround, Scheme};

use crate::registry::{Registry, failure, none_left};
use crate::stage::AttachPoint;
use crate::stage_tables::StageTables;
use crate::texts::{Texts, Wanted, texts};
use crate::timing::Clock;
use velatura_document::Error;

/// Reads a file by the path that stands in a figure file or on the command line.
pub type ReadFile<'a> = dyn Fn(&str) -> Result<Vec<u8>, Diagnostic> + Sync + 'a;

/// Which files make a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobFiles {
    /// `figure.toml`.
    pub figure: String,
    /// `paints.toml`.
    pub paints: String,
    /// `schemes.toml`; `None` where scheme sources of another kind give all schemes.
    pub schemes: Option<String>,
}

impl JobFiles {
    /// The usual files: `paints.toml` and `schemes.toml` beside the figure.
    #[must_use]
    pub fn beside(figure: &str) -> Self {
        let files = Self {
            figure: figure.to_owned(),
            paints: String::new(),
            schemes: None,
        };
        Self {
            paints: files.in_figure_folder("paints.toml"),
            schemes: Some(files.in_figure_folder("schemes.toml")),
            ..files
        }
    }

    /// A path that stands in the figure file, as seen from where the figure file's own path is.
    #[must_use]
    pub fn in_figure_folder(&self, path: &str) -> String {
        Path::new(&self.figure)
            .with_file_name("")
            .join(path)
            .to_string_lossy()
            .into_owned()
    }
}

/// A figure with its planes, its schemes and their paints.
#[derive(Debug)]
pub struct Job {
    /// The figure as written.
    pub figure: FigureFile,
    /// Its three planes.
    pub underpainting: Underpainting,
    /// The paints.
    pub paints: PaintBox,
    /// The schemes in the order written, those of other sources after them.
    pub schemes: Vec<Scheme>,
    /// The stages' parameters.
    pub stage_tables: StageTables,
    /// What could be better.
    pub warnings: Vec<Diagnostic>,
    /// Time spent, by step.
    pub timings: Vec<(&'static str, Duration)>,
}

impl Job {
    /// The figure as numbers, without pixels: what schemes are composed and compared on.
    #[must_use]
    pub fn ground(&self) -> FigureGround {
        FigureGround {
            summary: self.underpainting.summary(),
            points: self.underpainting.points,
            specular: self.paints.cards.specular,
        }
    }
}

/// Reads and checks all files of a job.
///
/// `read` is called with the three names in `files` and with the figure file's paths, joined to its folder.
///
/// # Errors
/// [`Error::Input`] with every problem of every text file; pictures are only opened once those are right.
pub fn load(
    registry: &Registry,
    files: &JobFiles,
    read: &ReadFile<'_>,
    clock: &Clock<'_>,
) -> Result<Job, Error> {
    load_wanted(registry, files, read, clock, Wanted::Schemes)
}

/// As [`load`] without any scheme: `files.schemes` is not opened.
///
/// # Errors
/// As [`load`].
pub fn load_figure(
    registry: &Registry,
    files: &JobFiles,
    read: &ReadFile<'_>,
    clock: &Clock<'_>,
) -> Result<Job, Error> {
    load_wanted(registry, files, read, clock, Wanted::FigureAlone)
}

fn load_wanted(
    registry: &Registry,
    files: &JobFiles,
    read: &ReadFile<'_>,
    clock: &Clock<'_>,
    wanted: Wanted,
) -> Result<Job, Error> {
    let mut timings = Vec::new();
    let mut started = clock.now();
    let mut lap = |what| {
        let now = clock.now();
        let took = now.saturating_sub(started);
        // A step that is done again, since a stage failed after it, took both times.
        match timings.iter_mut().find(|(known, _)| *known == what) {
            Some((_, time)) => *time += took,
            None => timings.push((what, took)),
        }
        started = now;
    };

    let Texts {
        figure,
        paints,
        schemes,
        stage_tables,
        mut warnings,
    } = texts(registry, files, read, wanted)?;
    lap("read");

    let underpainting = loop {
        let attempt = plate(registry, files, read, &figure, &stage_tables)?;
        lap("intake");
        match ground(
            registry,
            &figure,
            &stage_tables,
            attempt.plate,
            attempt.light_photo,
        ) {
            Ok((underpainting, found)) => {
                warnings.extend(attempt.warnings);
                warnings.extend(found);
                break underpainting;
            }
            // The plate went into the stage that failed; the next one gets a plate of its own.
            Err(Error::Stage(failed)) => {
                registry.set_aside(&failed.stage, vec![failed.problem]);
            }
            Err(error) => return Err(error),
        }
    };
    lap("ground");

    Ok(Job {
        figure,
        underpainting,
        paints,
        schemes,
        stage_tables,
        warnings,
        timings,
    })
}

/// What the pictures of a figure gave.
struct Attempt {
    plate: Plate,
    light_photo: Option<Photo>,
    warnings: Vec<Diagnostic>,
}

fn plate(
    registry: &Registry,
    files: &JobFiles,
    read: &ReadFile<'_>,
    figure: &FigureFile,
    stage_tables: &StageTables,
) -> Result<Attempt, Error> {
    let limits = DecodeLimits::default();
    let intakes = stage_tables.in_job(&registry.intakes())?;
    let (_, intake, parameters) = intakes
        .last()
        .ok_or_else(|| none_left(AttachPoint::Intake))?;
    let picture = |path: &At<String>, key: &str| {
        read(&files.in_figure_folder(&path.value))
            .map_err(|problem| problem.within(named_in(figure, &path.at, key)))
    };
    let mut warnings = Vec::new();
    let light_photo = match &figure.undercoat.light_photo {
        Some(path) => {
            let (mut photo, found) =
                intake.photo(&path.value, &picture(path, "light_photo")?, &limits)?;
            warnings.extend(found);
            // Its colours are not used, and would cost 3 bytes a pixel beside the plate.
            photo.photo = Vec::new();
            Some(photo)
        }
        None => None,
    };
    let (photo, mask) = (
        picture(&figure.photo, "photo")?,
        picture(&figure.mask, "mask")?,
    );
    let (plate, found) = intake
        .plate(figure, &photo, &mask, &limits, parameters)
        .map_err(Error::Input)?;
    warnings.extend(found);
    Ok(Attempt {
        plate,
        light_photo,
        warnings,
    })
}

/// Asks the last ground in use. Where another could still be asked its failure is [`Error::Stage`], else the input's fault.
fn ground(
    registry: &Registry,
    figure: &FigureFile,
    stage_tables: &StageTables,
    plate: Plate,
    light_photo: Option<Photo>,
) -> Result<(Underpainting, Vec<Diagnostic>), Error> {
    let grounds = stage_tables.in_job(&registry.grounds())?;
    let (entry, ground, parameters) = grounds
        .last()
        .ok_or_else(|| none_left(AttachPoint::Ground))?;
    ground
        .underpainting(plate, figure, light_photo, parameters)
        .map_err(|problem| match grounds.len() {
            1 => problem.into(),
            _ => failure(entry, problem),
        })
}
