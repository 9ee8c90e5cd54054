//! The text of a schemes file from a component, read like one written by hand. In: the text. Out: schemes, or messages that
//! name the component's file and quote its text.

use velatura_document::{Diagnostic, SourceText, Warned};
use velatura_pipeline::scheme::{Scheme, read_schemes_file, resolve};
use velatura_pipeline::stage::SchemeRequest;

use super::Said;
use crate::fault::{Fault, grouped};
use crate::words::{hidden_in_text, one_line, without_hidden};

/// Schemes of one text. Each becomes a separate picture, and nobody compares more.
const SCHEMES: usize = 200;
/// Longest part of a message, and longest line shown, in characters: the text may be one line of millions.
const SHOWN_CHARS: usize = 1_000;

/// The schemes in `text`, with warnings.
///
/// # Errors
/// All problems of the text.
pub(super) fn given_schemes(
    text: String,
    request: &SchemeRequest<'_>,
    said: &Said,
) -> Result<Warned<Vec<Scheme>>, Vec<Diagnostic>> {
    let about_text =
        |problems: Vec<Diagnostic>| problems.into_iter().map(|p| of_text(p, said)).collect();
    let source = SourceText::new(said.source.file(), text);
    let (file, warnings) = read_schemes_file(&source).map_err(about_text)?.into_parts();
    if file.schemes.len() > SCHEMES {
        return Err(vec![said.source.diagnostic(&Fault::Answer {
            found: format!("it returned {} schemes", grouped(file.schemes.len() as u64)),
            expected: format!("at most {SCHEMES}"),
        })]);
    }
    let schemes = resolve(
        &file,
        request.regions,
        request.figure_name,
        request.paints,
        request.paints_name,
    )
    .map_err(about_text)?;
    // TOML can write any character as digits, so checking the characters of the text does not check its names.
    for scheme in &schemes {
        for word in [&scheme.name, &scheme.team] {
            if let Some((c, _)) = hidden_in_text(word) {
                let shown = one_line(&without_hidden(word), SHOWN_CHARS);
                let code = u32::from(c);
                return Err(vec![of_text(
                    Diagnostic::error(
                        said.source.file(),
                        format!("\"{shown}\" has the control character U+{code:04X}"),
                    )
                    .expected("a printable name")
                    .help("remove the plugin, or ask its author to fix it"),
                    said,
                )]);
            }
        }
    }
    Ok(Warned::new(schemes, about_text(warnings)))
}

/// A message about the text: it names the source and shows nothing that a terminal would obey.
fn of_text(mut problem: Diagnostic, said: &Said) -> Diagnostic {
    let whose = format!("the text returned by {}", said.source.stage());
    let within = match &problem.within {
        // Its source comes last and must not be cut off.
        Some(part) => format!("{}, {whose}", one_line(part, SHOWN_CHARS / 2)),
        None => whose,
    };
    let shown = |part: &str| one_line(part, SHOWN_CHARS);
    problem.found = shown(&problem.found);
    problem.within = Some(shown(&within));
    problem.expected = problem.expected.as_deref().map(shown);
    problem.help = problem.help.map(|hint| shown(&hint.to_string()).into());
    problem.place = problem
        .place
        .filter(|place| place.text.chars().count() <= SHOWN_CHARS);
    problem
}
