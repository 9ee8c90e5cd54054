//! The paints that a command mixes with: from the named file, or from paints.toml in the current folder.

use std::path::Path;

use velatura_pipeline::Error;
use velatura_pipeline::optics::calibrate::{PaintBox, calibrate};
use velatura_pipeline::optics::paints_file::read_paints_file;

use crate::files::read_text;
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
    let source = read_text(name)?;
    let file = after_warnings(read_paints_file(&source).map_err(Error::inputs)?, format);
    let paints = after_warnings(calibrate(&file), format);
    Ok((paints, name.display().to_string()))
}
