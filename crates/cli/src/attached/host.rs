//! Plugins from their files into a session.

use std::path::Path;

use velatura::{DiskFiles, Error, SessionBuilder};
use velatura_document::{Diagnostic, read_file};
use velatura_pipeline::stage::StageInfo;
use velatura_plugin_host::{Attached, Limits, attach};

use super::seen::{Known, Seen};
use super::{PluginArgs, PluginFile, Purpose, folder};
use crate::format::Format;
use crate::messages::warn;

pub(crate) use super::folder::plugins_folder as offered_from;

/// Attaches the plugins of the call and of these figure files, and offers those in the user's folder.
///
/// # Errors
/// A plugin's file that cannot be opened.
pub(crate) fn attach_plugins(
    builder: &mut SessionBuilder,
    plugins: &PluginArgs,
    figures: &[&Path],
    format: Format,
    purpose: Purpose,
) -> Result<(), Error> {
    let limits = Limits::default();
    let most_bytes = limits.file_bytes as u64;
    for PluginFile { path, bytes } in plugins.read(figures, most_bytes)? {
        let attached = attach(&bytes, &path, &limits).and_then(|Attached { stage, .. }| {
            builder
                .register(stage)
                .map_err(|error| taken(&path, &error))
        });
        if let Err(problem) = attached {
            builder.note_unattached(problem);
        }
    }
    for path in folder::files() {
        let shown = path.to_string_lossy().into_owned();
        let offered = read_offered(&path, most_bytes)
            .and_then(|bytes| attach(&bytes, &shown, &limits))
            .and_then(|Attached { stage, .. }| {
                builder.offer(stage).map_err(|error| taken(&shown, &error))
            });
        // Nobody requested it in this call, so it is only a warning.
        if let Err(problem) = offered {
            warn(&problem.as_warning(), format);
        }
    }
    if purpose == Purpose::Work {
        remember(builder, format);
    }
    Ok(())
}

/// Reads a plugin that nobody named: only a regular file, since no call may wait for what happens to be in a folder.
fn read_offered(path: &Path, most_bytes: u64) -> Result<Vec<u8>, Diagnostic> {
    if std::fs::metadata(path).is_ok_and(|metadata| !metadata.is_file()) {
        let name = path.display().to_string();
        return Err(Diagnostic::error(name, "this is not a regular file")
            .expected("the .wasm file of a stage")
            .help("move it out of your plugin folder"));
    }
    read_file(&DiskFiles, path, most_bytes)
}

fn taken(path: &str, error: &Error) -> Diagnostic {
    Diagnostic::error(path, error.to_string())
        .help("remove one of them, or ask an author for another name")
}

/// Reports what changed since the last use, and saves the present state.
fn remember(builder: &SessionBuilder, format: Format) {
    let mut seen = Seen::read();
    let mut news = false;
    for info in builder.stages() {
        let (Some(file), Some(now)) = (&info.file, Known::of(&info)) else {
            continue;
        };
        if let Some(before) = seen.known(&file.path).filter(|before| **before != now) {
            let problem = Diagnostic::warning(&*file.path, "this plugin has changed since it was last used")
                .expected(format!(
                    "\"{}\" {}, SHA-256 {}…",
                    before.stage,
                    before.version,
                    &before.sha256.get(..12).unwrap_or_default()
                ))
                .help(format!(
                    "if you did not change it, remove it; it is now \"{}\" {}, SHA-256 {}…; this warning is shown once",
                    now.stage,
                    now.version,
                    &now.sha256.get(..12).unwrap_or_default()
                ));
            warn(&problem, format);
        }
        news |= seen.note(&file.path, now);
    }
    if news {
        seen.write();
    }
}

/// What was used before.
pub(crate) struct LastUses(Seen);

impl LastUses {
    /// Reads the saved data.
    pub(crate) fn read() -> Self {
        Self(Seen::read())
    }

    /// Whether a plugin's file has changed since its last use, in a few words; `None` for built-in stages.
    pub(crate) fn of(&self, info: &StageInfo) -> Option<&'static str> {
        let file = info.file.as_ref()?;
        Some(match (self.0.known(&file.path), Known::of(info)) {
            (None, _) => "not used yet",
            (Some(before), Some(now)) if *before == now => "unchanged since it was last used",
            _ => "changed since it was last used",
        })
    }
}

/// What every plugin may and may not do, in one line.
pub(crate) fn capabilities() -> String {
    let limits = Limits::default();
    format!(
        "no access to files, network, clock or randomness; no state between calls; memory limit {} MiB plus {} bytes per input byte; work limit {} million instructions plus {} per pixel",
        limits.memory_base_bytes >> 20,
        limits.memory_per_byte,
        limits.work_base / 1_000_000,
        limits.work_per_pixel
    )
}
