//! Colours and undercoats as written in a call: `"#808080"`, `spectrum:FILE`.

use velatura_document::Diagnostic;
use velatura_pipeline::Error;
use velatura_pipeline::optics::colour::Encoded;
use velatura_pipeline::optics::spectrum_file::read_spectrum_file;
use velatura_pipeline::optics::surface::Specular;
use velatura_pipeline::scheme::Substrate;

use crate::files::read_text;
use crate::format::Format;
use crate::messages::after_warnings;

/// Prefix of a file with a measured undercoat.
const SPECTRUM: &str = "spectrum:";

/// The undercoats of all `--over`; a colour is read in the convention of the cards.
pub(crate) fn read_overs(
    texts: &[String],
    cards: Specular,
    format: Format,
) -> Result<Vec<Substrate>, Error> {
    let expected = "a colour such as \"#808080\", or spectrum:FILE";
    let (mut substrates, mut wrong) = (Vec::new(), Vec::new());
    for text in texts {
        if let Some(file) = text.strip_prefix(SPECTRUM) {
            substrates.push(measured(file, format)?);
        } else {
            match read_colour(text, expected) {
                Ok(colour) => substrates.push(Substrate::of_colour(colour.linear(), cards)),
                Err(problem) => wrong.push(problem.within("--over")),
            }
        }
    }
    if wrong.is_empty() {
        Ok(substrates)
    } else {
        Err(Error::Call(wrong))
    }
}

fn measured(file: &str, format: Format) -> Result<Substrate, Error> {
    let source = read_text(file)?;
    let surface = after_warnings(read_spectrum_file(&source).map_err(Error::inputs)?, format);
    Ok(Substrate::measured(&surface.reflectance, surface.specular))
}

/// A colour of the form `#rrggbb`.
pub(crate) fn read_colour(text: &str, expected: &str) -> Result<Encoded, Diagnostic> {
    text.parse().map_err(|_| {
        let problem = Diagnostic::error("", format!("\"{text}\" is not a colour")).expected(expected);
        if format!("#{text}").parse::<Encoded>().is_ok() {
            problem.help(format!("add a # and quotes: \"#{text}\""))
        } else {
            problem.help("write # and six hexadecimal digits, in quotes: the shell reads a bare # as a comment")
        }
    })
}
