//! The stages of a call: built-ins, and what its plugins add.
//!
//! Plugins named in the call or in a figure's file work on it; those in the user's folder only where a table `[stage.NAME]`
//! asks for them. A plugin that cannot be attached costs its own stage.

#[cfg(feature = "plugins")]
mod folder;
#[cfg(feature = "plugins")]
mod host;
#[cfg(feature = "plugins")]
mod seen;

use velatura_document::SourceText;
#[cfg(not(feature = "plugins"))]
use velatura_document::{Diagnostic, Hint};
use velatura_pipeline::figure::{FigureFile, named_in, read_figure_file};
use velatura_pipeline::stage::AttachPoint;
#[cfg(not(feature = "plugins"))]
use velatura_pipeline::stage::StageInfo;
use velatura_pipeline::{Error, JobFiles, Registry};

#[cfg(not(feature = "plugins"))]
use crate::commands::Format;
use crate::files::read_file;

#[cfg(feature = "plugins")]
pub(crate) use host::{LastUses, capabilities, offered_from, registry};

/// What a registry is made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Purpose {
    /// Work: what changed since the last use is told, and this is the last use from now on.
    Work,
    /// A look: nothing is remembered.
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
    /// As the user wrote it, or as it is found from here.
    path: String,
    #[cfg_attr(
        not(feature = "plugins"),
        allow(dead_code, reason = "read all the same: a missing file is told")
    )]
    bytes: Vec<u8>,
}

impl PluginArgs {
    /// The files that the call and these figures name, each once.
    ///
    /// # Errors
    /// Files that cannot be opened. A figure that cannot be read names none: whoever loads it tells why.
    fn read(&self, figures: &[&str]) -> Result<Vec<PluginFile>, Error> {
        let mut problems = Vec::new();
        let mut files: Vec<PluginFile> = Vec::new();
        let mut add = |path: String, place: Option<String>| {
            if files.iter().any(|file| file.path == path) {
                return;
            }
            match read_file(&path) {
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
                let path = JobFiles::beside(name).in_figure_folder(&plugin.value);
                add(path, Some(named_in(&figure, &plugin.at, "plugins")));
            }
        }
        if problems.is_empty() {
            Ok(files)
        } else {
            Err(Error::Input(problems))
        }
    }
}

fn figure(name: &str) -> Option<FigureFile> {
    let bytes = read_file(name).ok()?;
    let source = SourceText::from_bytes(name, bytes).ok()?;
    read_figure_file(&source).0
}

/// All stages for work on these figure files.
///
/// # Errors
/// A plugin's file that cannot be opened.
#[cfg(not(feature = "plugins"))]
pub(crate) fn registry(
    plugins: &PluginArgs,
    figures: &[&str],
    _: Format,
    _: Purpose,
) -> Result<Registry, Error> {
    let registry = velatura::registry();
    for PluginFile { path, .. } in plugins.read(figures)? {
        registry.note_unattached(
            Diagnostic::error(path, "this velatura was built without plugins")
                .expected("a velatura with the feature `plugins`, which is on by default")
                .help(Hint::BuildWithPlugins),
        );
    }
    Ok(registry)
}

/// What plugins may do: here, nothing.
#[cfg(not(feature = "plugins"))]
pub(crate) fn capabilities() -> String {
    "not supported by this build".to_owned()
}

/// Where plugins are offered from.
#[cfg(not(feature = "plugins"))]
pub(crate) fn offered_from() -> Option<std::path::PathBuf> {
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

    /// How a plugin's file stands to what was used last.
    pub(crate) fn of(&self, _: &StageInfo) -> Option<&'static str> {
        None
    }
}

/// The files of all plugins, those that gave no stage included: none may be written over.
pub(crate) fn attached_files(registry: &Registry) -> Vec<std::path::PathBuf> {
    let attached = registry.infos().into_iter().filter_map(|info| info.file);
    let unattached = registry.left_out().into_iter();
    attached
        .map(|file| file.path)
        .chain(
            unattached
                .filter(|left_out| left_out.stage.is_none())
                .flat_map(|left_out| left_out.problems)
                .map(|problem| problem.file),
        )
        .map(Into::into)
        .collect()
}

/// The files of a job; `None` stands for what lies beside the figure. Where that has no schemes file and another scheme source is
/// attached, none is read.
pub(crate) fn job_files(
    registry: &Registry,
    figure: &str,
    paints: Option<&String>,
    schemes: Option<&String>,
) -> JobFiles {
    let usual = JobFiles::beside(figure);
    let sources = registry.infos().into_iter();
    let other_sources = sources
        .filter(|info| info.attach_point == AttachPoint::SchemeSource)
        .count()
        > 1;
    let lies_there = |path: &String| !other_sources || std::path::Path::new(path).exists();
    JobFiles {
        paints: paints.cloned().unwrap_or(usual.paints),
        schemes: schemes.cloned().or(usual.schemes.filter(lies_there)),
        figure: usual.figure,
    }
}
