//! A job: one figure with its planes, its schemes and their paints.

use std::path::{Path, PathBuf};
use std::time::Duration;

use velatura_document::{Diagnostic, counted, either, nearest};
use velatura_figure::{FigureFile, Underpainting};
use velatura_optics::calibrate::PaintBox;
use velatura_optics::mixture::Mix;
use velatura_scheme::{FigureGround, KnownPaints, Scheme, kept_mixes};

use crate::run_log::{LeftOut, RunLog};
use crate::session::Session;
use crate::stage_tables::StageTables;

/// Which files make a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobFiles {
    /// `figure.toml`.
    pub figure: PathBuf,
    /// `paints.toml`, or several that join.
    pub paints: Vec<PathBuf>,
    /// `schemes.toml`; `None` if other scheme sources provide all schemes.
    pub schemes: Option<PathBuf>,
}

impl JobFiles {
    /// The usual files: `paints.toml` and `schemes.toml` next to the figure.
    #[must_use]
    pub fn next_to(figure: impl Into<PathBuf>) -> Self {
        let figure = figure.into();
        Self {
            paints: vec![figure.with_file_name("paints.toml")],
            schemes: Some(figure.with_file_name("schemes.toml")),
            figure,
        }
    }

    /// The names of the paints files, for messages: `a.toml or b.toml`.
    #[must_use]
    pub fn paints_name(&self) -> String {
        let names = self.paints.iter().map(|path| path.display().to_string());
        either(&names.collect::<Vec<_>>())
    }

    /// A path from the figure file, as it is found from where the figure file's own path starts.
    #[must_use]
    pub fn in_figure_folder(&self, path: impl AsRef<Path>) -> PathBuf {
        self.figure.with_file_name("").join(path)
    }
}

/// A figure with its planes, its schemes and their paints. [`Session::load`] makes one.
#[derive(Debug)]
#[non_exhaustive]
pub struct Job {
    /// The files it was read from.
    pub files: JobFiles,
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
    /// Time spent on reading, by step.
    pub timings: Vec<(&'static str, Duration)>,
    /// Those of the warnings that are about the pictures.
    pub(crate) of_pictures: Vec<Diagnostic>,
    pub(crate) session: Session,
    pub(crate) log: RunLog,
}

impl Job {
    /// The session that read it.
    #[must_use]
    pub fn session(&self) -> &Session {
        &self.session
    }

    /// The index of the scheme with this name, or of the only scheme if no name is given.
    ///
    /// # Errors
    /// A diagnostic with the existing names.
    pub fn scheme_index(&self, wanted: Option<&str>) -> Result<usize, Diagnostic> {
        let names: Vec<&str> = self.schemes.iter().map(|scheme| &*scheme.name).collect();
        let found = match wanted {
            Some(wanted) => names.iter().position(|name| *name == wanted),
            None => (names.len() == 1).then_some(0),
        };
        found.ok_or_else(|| {
            let problem = match wanted {
                Some(wanted) => format!("no scheme is called \"{wanted}\""),
                None => format!(
                    "there are {}, and the name of one is missing",
                    counted(names.len(), "scheme")
                ),
            };
            let quoted: Vec<String> = names.iter().map(|name| format!("\"{name}\"")).collect();
            let near = wanted.and_then(|wanted| nearest(wanted, names.iter().copied()));
            Diagnostic::error("", problem)
                .expected(either(&quoted))
                .help(near.map_or(String::new(), |near| format!("did you mean \"{near}\"?")))
        })
    }

    /// What was left out while reading, in the order of failures.
    #[must_use]
    pub fn left_out(&self) -> Vec<LeftOut> {
        self.log.left_out()
    }

    /// Every file that it was read from, plugins included: none of them may be overwritten.
    #[must_use]
    pub fn inputs(&self) -> Vec<PathBuf> {
        let JobFiles {
            figure,
            paints,
            schemes,
        } = &self.files;
        let pictures = [
            Some(&self.figure.photo),
            Some(&self.figure.mask),
            self.figure.undercoat.light_photo.as_ref(),
        ];
        let mut inputs = vec![figure.clone()];
        inputs.extend(paints.iter().chain(schemes).cloned());
        let paths = pictures.into_iter().flatten();
        inputs.extend(paths.map(|path| self.files.in_figure_folder(&path.value)));
        inputs.extend(self.session.attached_files());
        inputs
    }

    /// The figure as numbers, without pixels, for composing and comparing schemes.
    #[must_use]
    pub fn ground(&self) -> FigureGround {
        FigureGround {
            summary: self.underpainting.summary(),
            points: self.underpainting.points,
            specular: self.paints.cards.specular,
        }
    }

    /// The mixes that stay whatever the scheme: `keep` of the figure's regions, each with the index of its region.
    ///
    /// # Errors
    /// Every paint in them that the job does not have.
    pub fn kept_mixes(&self) -> Result<Vec<(usize, Mix)>, Vec<Diagnostic>> {
        let paints = KnownPaints {
            paints: &self.paints,
            file: &self.files.paints_name(),
        };
        kept_mixes(&self.figure, paints)
    }

    pub(crate) fn log(&self) -> &RunLog {
        &self.log
    }
}
