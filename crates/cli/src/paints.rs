//! The paints that a command mixes with: from the named file, or from paints.toml in the current folder.

use std::path::Path;

use velatura::DiskFiles;
use velatura::colours::read_paint_box;
use velatura_pipeline::Error;
use velatura_pipeline::optics::calibrate::PaintBox;

use crate::format::Format;
use crate::messages::after_warnings;

/// The default file name.
const USUAL: &str = "paints.toml";

/// The paints with K and S, and the name of their file for messages. Warnings are printed.
pub(crate) fn read_paints(
    named: Option<&Path>,
    format: Format,
) -> Result<(PaintBox, String), Error> {
    let name = match named {
        Some(name) => name,
        None if Path::new(USUAL).exists() => Path::new(USUAL),
        None => {
            let found = format!("--paints is missing, and there is no {USUAL} in this folder");
            return Err(Error::refused(
                "",
                found,
                "",
                "name the file: --paints FILE",
            ));
        }
    };
    let paints = after_warnings(read_paint_box(&DiskFiles, name)?, format);
    Ok((paints, name.display().to_string()))
}
