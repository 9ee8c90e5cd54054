//! The stages of a call: built-ins, and what its plugins add.

use velatura_pipeline::stage::AttachPoint;
use velatura_pipeline::{Error, JobFiles, Registry};

use crate::commands::Format;

/// Which plugins a call names.
#[derive(Debug, Clone, Default, clap::Args)]
pub(crate) struct PluginArgs {
    /// A plugin to attach (a WebAssembly component); may be given again
    #[arg(long = "plugin", value_name = "FILE.wasm")]
    files: Vec<String>,
}

/// All stages for work on these figure files.
///
/// # Errors
/// A plugin's file that cannot be opened.
pub(crate) fn registry(
    plugins: &PluginArgs,
    figures: &[&str],
    format: Format,
) -> Result<Registry, Error> {
    let _ = (&plugins.files, figures, format);
    Ok(velatura_sheet::registry())
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
