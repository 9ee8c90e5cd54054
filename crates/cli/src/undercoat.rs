//! Undercoats as written in a call: `"#808080"`, `spectrum:FILE`.

use velatura::DiskFiles;
use velatura::colours::read_substrate;
use velatura_pipeline::Error;
use velatura_pipeline::optics::surface::Specular;
use velatura_pipeline::scheme::Substrate;

use crate::format::Format;
use crate::messages::after_warnings;

/// The undercoats of all `--over`; a colour is read in the convention of the cards. Warnings are printed.
pub(crate) fn read_overs(
    texts: &[String],
    cards: Specular,
    format: Format,
) -> Result<Vec<Substrate>, Error> {
    let (mut substrates, mut wrong) = (Vec::new(), Vec::new());
    for text in texts {
        match read_substrate(&DiskFiles, text, cards).map_err(|error| error.within_call("--over")) {
            Ok(substrate) => substrates.push(after_warnings(substrate, format)),
            Err(Error::Call(problems)) => wrong.extend(problems),
            Err(error) => return Err(error),
        }
    }
    if wrong.is_empty() {
        Ok(substrates)
    } else {
        Err(Error::Call(wrong))
    }
}
