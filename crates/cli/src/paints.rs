//! The paints that a command mixes with: from the named files, or from paints.toml in the current folder.

use std::path::{Path, PathBuf};

use velatura::DiskFiles;
use velatura::colours::read_paint_box;
use velatura_document::either;
use velatura_pipeline::Error;
use velatura_pipeline::optics::calibrate::PaintBox;

use crate::format::Format;
use crate::messages::after_warnings;

/// The default file name.
const USUAL: &str = "paints.toml";

/// The paints of all named files with K and S, and the names of the files for messages. Warnings are printed.
pub(crate) fn read_paints(named: &[PathBuf], format: Format) -> Result<(PaintBox, String), Error> {
    let usual = [PathBuf::from(USUAL)];
    let names = match named {
        [] if Path::new(USUAL).exists() => &usual,
        [] => {
            let found = format!("--paints is missing, and there is no {USUAL} in this folder");
            return Err(Error::refused(
                "",
                found,
                "",
                "name the file: --paints FILE",
            ));
        }
        named => named,
    };
    let paints = after_warnings(read_paint_box(&DiskFiles, names)?, format);
    let shown = names.iter().map(|name| name.display().to_string());
    Ok((paints, either(&shown.collect::<Vec<_>>())))
}

/// The options that name these paints files in a call: ` --paints a.toml --paints b.toml`.
pub(crate) fn paints_options(named: &[PathBuf]) -> String {
    named
        .iter()
        .map(|file| format!(" --paints {}", file.display()))
        .collect()
}

/// The names of paints files in a sentence about all of them: `a.toml, b.toml and c.toml`.
pub(crate) fn each_of(named: &[PathBuf]) -> String {
    let names: Vec<String> = named
        .iter()
        .map(|file| file.display().to_string())
        .collect();
    match names.split_last() {
        Some((last, first)) if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        _ => names.concat(),
    }
}
