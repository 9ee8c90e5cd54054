//! The session of a call: built-in stages, and what its plugins add.
//!
//! Plugins named in the call or in a figure file work on it; those in the user's folder only if a table `[stage.NAME]` names
//! them. If a plugin cannot be attached, only its stage is missing.

#[cfg(feature = "plugins")]
mod folder;
#[cfg(feature = "plugins")]
mod host;
#[cfg(feature = "plugins")]
mod seen;

use std::path::{Path, PathBuf};

use velatura::{DiskFiles, Error, JobFiles, Session, SessionBuilder};
#[cfg(not(feature = "plugins"))]
use velatura_document::Diagnostic;
#[cfg(not(feature = "plugins"))]
use velatura_document::Hint;
#[cfg(not(feature = "plugins"))]
use velatura_document::LARGEST_TEXT_BYTES;
use velatura_document::read_file;
use velatura_pipeline::figure::{FigureFile, named_in, read_figure_file};
use velatura_pipeline::stage::AttachPoint;
#[cfg(not(feature = "plugins"))]
use velatura_pipeline::stage::StageInfo;

use crate::files::read_text;
use crate::format::Format;

#[cfg(feature = "plugins")]
pub(crate) use host::{LastUses, attach_plugins, capabilities, offered_from};

/// What a session is made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Purpose {
    /// For work: changes since the last use are reported, and this becomes the last use.
    Work,
    /// For listing: nothing is saved.
    Look,
}

/// Which plugins a call names.
#[derive(Debug, Clone, Default, clap::Args)]
pub(crate) struct PluginArgs {
    /// Attach a plugin, a WebAssembly component (repeatable)
    #[arg(long, value_name = "FILE.wasm")]
    plugin: Vec<String>,
}

/// A plugin's file that has been read.
struct PluginFile {
    /// As the user wrote it, or relative to the current folder.
    path: String,
    #[cfg_attr(
        not(feature = "plugins"),
        allow(dead_code, reason = "read all the same: a missing file is an error")
    )]
    bytes: Vec<u8>,
}

impl PluginArgs {
    /// The files that the call and these figures name, each once, of at most so many bytes.
    ///
    /// # Errors
    /// Files that cannot be opened. A figure that cannot be read names none; loading it reports why.
    fn read(&self, figures: &[&Path], most_bytes: u64) -> Result<Vec<PluginFile>, Error> {
        let mut problems = Vec::new();
        let mut files: Vec<PluginFile> = Vec::new();
        let mut add = |path: String, place: Option<String>| {
            if files.iter().any(|file| file.path == path) {
                return;
            }
            match read_file(&DiskFiles, Path::new(&path), most_bytes) {
                Ok(bytes) => files.push(PluginFile { path, bytes }),
                Err(problem) => problems.push(match place {
                    Some(place) => problem.within(place),
                    None => problem.within("--plugin"),
                }),
            }
        };
        for path in &self.plugin {
            add(path.clone(), None);
        }
        for name in figures {
            let Some(figure) = figure(name) else { continue };
            for plugin in &figure.plugins {
                let path = JobFiles::next_to(*name).in_figure_folder(&plugin.value);
                add(
                    path.display().to_string(),
                    Some(named_in(&figure, &plugin.at, "plugins")),
                );
            }
        }
        if problems.is_empty() {
            Ok(files)
        } else {
            Err(Error::inputs(problems))
        }
    }
}

/// The plugins that a call and a figure name, as paths.
pub(crate) fn named_plugins(plugins: &PluginArgs, name: &Path) -> Vec<String> {
    let own = figure(name)
        .map(|figure| figure.plugins)
        .unwrap_or_default();
    let folder = JobFiles::next_to(name);
    let own = own
        .iter()
        .map(|plugin| folder.in_figure_folder(&plugin.value).display().to_string());
    plugins.plugin.iter().cloned().chain(own).collect()
}

fn figure(name: &Path) -> Option<FigureFile> {
    let read = read_figure_file(&read_text(name).ok()?).ok()?;
    // Loading the figure shows its warnings.
    Some(read.value)
}

/// A session builder with all stages for work on these figure files.
///
/// # Errors
/// A plugin's file that cannot be opened.
pub(crate) fn session(
    plugins: &PluginArgs,
    figures: &[&Path],
    format: Format,
    purpose: Purpose,
) -> Result<SessionBuilder, Error> {
    let mut builder = velatura::session();
    attach_plugins(&mut builder, plugins, figures, format, purpose)?;
    Ok(builder)
}

/// Records every plugin as one that cannot be attached.
///
/// # Errors
/// A plugin's file that cannot be opened.
#[cfg(not(feature = "plugins"))]
fn attach_plugins(
    builder: &mut SessionBuilder,
    plugins: &PluginArgs,
    figures: &[&Path],
    _: Format,
    _: Purpose,
) -> Result<(), Error> {
    for PluginFile { path, .. } in plugins.read(figures, LARGEST_TEXT_BYTES)? {
        builder.note_unattached(
            Diagnostic::error(path, "this velatura was built without plugins")
                .expected("a velatura with the feature `plugins`, which is on by default")
                .help(Hint::BuildWithPlugins),
        );
    }
    Ok(())
}

/// What plugins may do: here, nothing.
#[cfg(not(feature = "plugins"))]
pub(crate) fn capabilities() -> String {
    "not supported by this build".to_owned()
}

/// Where plugins are offered from.
#[cfg(not(feature = "plugins"))]
pub(crate) fn offered_from() -> Option<PathBuf> {
    None
}

/// What was used before: here, nothing.
#[cfg(not(feature = "plugins"))]
pub(crate) struct LastUses;

#[cfg(not(feature = "plugins"))]
impl LastUses {
    /// Nothing.
    pub(crate) fn read() -> Self {
        Self
    }

    /// Whether a plugin's file has changed since its last use.
    pub(crate) fn of(&self, _: &StageInfo) -> Option<&'static str> {
        None
    }
}

/// The files of a job; no paints file and no schemes file mean the usual one in the figure's folder. If that folder has no schemes file and another
/// scheme source is attached, none is read.
pub(crate) fn job_files(
    session: &Session,
    figure: &Path,
    paints: &[PathBuf],
    schemes: Option<&PathBuf>,
) -> JobFiles {
    let usual = JobFiles::next_to(figure);
    let sources = session.stages().into_iter();
    let other_sources = sources
        .filter(|info| info.attach_point == AttachPoint::SchemeSource)
        .count()
        > 1;
    let is_there = |path: &PathBuf| !other_sources || path.exists();
    JobFiles {
        paints: if paints.is_empty() {
            usual.paints
        } else {
            paints.to_vec()
        },
        schemes: schemes.cloned().or(usual.schemes.filter(is_there)),
        figure: usual.figure,
    }
}
