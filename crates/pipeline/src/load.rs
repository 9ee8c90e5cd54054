//! From files to a job: everything read and checked, nothing computed per pixel yet. Files come through a reader that
//! the caller gives, so that no file system is needed.

use std::path::Path;
use std::time::Duration;

use velatura_figure::{DecodeLimits, FigureFile, Underpainting, named_in, read_figure_file};
use velatura_optics::calibrate::{PaintBox, calibrate};
use velatura_optics::diagnostic::Diagnostic;
use velatura_optics::document::{At, SourceText};
use velatura_optics::paints_file::read_paints_file;
use velatura_scheme::{FigureGround, Scheme};

use crate::error::Error;
use crate::registry::Registry;
use crate::stage::SchemeRequest;
use crate::timing::Clock;

/// Reads a file by the path that stands in a figure file or on the command line.
pub type ReadFile<'a> = dyn Fn(&str) -> Result<Vec<u8>, Diagnostic> + Sync + 'a;

/// Which files make a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobFiles {
    /// `figure.toml`.
    pub figure: String,
    /// `paints.toml`.
    pub paints: String,
    /// `schemes.toml`, or whatever text the scheme source reads.
    pub schemes: String,
}

impl JobFiles {
    /// The usual files: `paints.toml` and `schemes.toml` beside the figure.
    #[must_use]
    pub fn beside(figure: &str) -> Self {
        let files = Self {
            figure: figure.to_owned(),
            paints: String::new(),
            schemes: String::new(),
        };
        Self {
            paints: files.in_figure_folder("paints.toml"),
            schemes: files.in_figure_folder("schemes.toml"),
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
    /// The schemes in the order written.
    pub schemes: Vec<Scheme>,
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
            specular: self.paints.specular,
        }
    }
}

/// Which texts a job needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Wanted {
    Schemes,
    FigureAlone,
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
        timings.push((what, now.saturating_sub(started)));
        started = now;
    };

    let (figure, paints, schemes, mut warnings) = texts(registry, files, read, wanted)?;
    lap("read");

    let limits = DecodeLimits::default();
    let intake = registry.intake()?;
    let picture = |path: &At<String>, key: &str| {
        read(&files.in_figure_folder(&path.value))
            .map_err(|problem| problem.within(named_in(&figure, &path.at, key)))
    };
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
        .plate(&figure, &photo, &mask, &limits)
        .map_err(Error::Input)?;
    warnings.extend(found);
    lap("intake");

    let (underpainting, found) = registry
        .ground()?
        .underpainting(plate, &figure, light_photo)?;
    warnings.extend(found);
    lap("ground");

    Ok(Job {
        figure,
        underpainting,
        paints,
        schemes,
        warnings,
        timings,
    })
}

type Texts = (FigureFile, PaintBox, Vec<Scheme>, Vec<Diagnostic>);

/// Reads the three text files; the problems of all of them come together.
fn texts(
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
    let schemes_text = match wanted {
        Wanted::Schemes => text(&files.schemes),
        Wanted::FigureAlone => None,
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
    let (Some(figure), Some(paints)) = (figure, paints) else {
        // Names cannot be looked up yet, but the file's own mistakes can already be told.
        problems.extend(
            schemes_text
                .iter()
                .flat_map(|source| velatura_scheme::read_schemes_file(source).1),
        );
        return Err(Error::Input(problems));
    };
    let Some(source) = &schemes_text else {
        return if problems.iter().any(Diagnostic::is_error) {
            Err(Error::Input(problems))
        } else {
            Ok((figure, paints, Vec::new(), problems))
        };
    };
    let regions: Vec<String> = figure
        .regions
        .iter()
        .map(|region| region.name.value.clone())
        .collect();
    let request = SchemeRequest {
        source,
        regions: &regions,
        figure_name: &files.figure,
        paints: &paints,
        paints_name: &files.paints,
    };
    match registry.scheme_source()?.schemes(&request) {
        Ok((schemes, found)) => {
            problems.extend(found);
            if problems.iter().any(Diagnostic::is_error) {
                return Err(Error::Input(problems));
            }
            Ok((figure, paints, schemes, problems))
        }
        Err(found) => {
            problems.extend(found);
            Err(Error::Input(problems))
        }
    }
}
