//! `velatura swatch --names "A, B" --tints "A 1:4"`: a layout without TOML.

use velatura_document::{Diagnostic, SourceText, counted, nearest};
use velatura_pipeline::Error;
use velatura_pipeline::optics::paints_file::PARTS;
use velatura_swatch::{CardGeometry, ListedTint, layout_text, listed_fields};

use super::scheme_named::did_you_mean;

const NAMES: &str = "--names";
const TINTS: &str = "--tints";
const EXPECTED_TINT: &str =
    "a paint and two parts, that of each listed paint first, such as \"Gull White 1:4\"";

/// The text of a layout for these lists; messages about it name the option.
///
/// # Errors
/// [`Error::Call`] with every name that is empty, twice there or unknown, and for more fields than the card has places.
pub(super) fn listed_layout(names: &[String], tints: &[String]) -> Result<SourceText, Error> {
    let mut problems = Vec::new();
    let names = read_names(names, &mut problems);
    let tints = read_tints(tints, &names, &mut problems);
    let count = listed_fields(&names, &tints).len();
    let places = CardGeometry::printed().places();
    if problems.is_empty() && count > places {
        let found = format!(
            "{} and {} of them need {count} places",
            counted(names.len(), "paint"),
            counted(count - names.len(), "tint")
        );
        problems.push(
            Diagnostic::error("", found)
                .within(NAMES)
                .expected(format!("at most {places}, the places of the printed card"))
                .help("make several cards, each with some of the paints and with those of --tints"),
        );
    }
    if problems.is_empty() {
        Ok(SourceText::new(NAMES, layout_text(&names, &tints)))
    } else {
        Err(Error::Call(problems))
    }
}

fn read_names(lists: &[String], problems: &mut Vec<Diagnostic>) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for list in lists {
        for name in list.split(',').map(str::trim) {
            let found = if name.is_empty() {
                format!("a name in \"{list}\" is empty")
            } else if name.eq_ignore_ascii_case("medium") {
                "a paint is called \"medium\", which is reserved for clear glaze medium".to_owned()
            } else if name.contains(char::is_control) {
                format!("the name \"{name}\" has a control character")
            } else if names.iter().any(|one| one == name) {
                format!("\"{name}\" is there twice")
            } else {
                names.push(name.to_owned());
                continue;
            };
            problems.push(
                Diagnostic::error("", found)
                    .within(NAMES)
                    .expected("a different name for every paint, with commas between them")
                    .help("remove or rename it; a name with a comma in it needs a layout file"),
            );
        }
    }
    names
}

fn read_tints(
    lists: &[String],
    names: &[String],
    problems: &mut Vec<Diagnostic>,
) -> Vec<ListedTint> {
    let mut tints: Vec<ListedTint> = Vec::new();
    for list in lists {
        for text in list.split(',').map(str::trim) {
            match read_tint(text, names) {
                Ok(tint) if tints.contains(&tint) => problems.push(
                    Diagnostic::error("", format!("\"{text}\" is there twice"))
                        .within(TINTS)
                        .expected("each mix once")
                        .help("remove one of them"),
                ),
                Ok(tint) => tints.push(tint),
                Err(problem) => problems.push(problem.within(TINTS)),
            }
        }
    }
    tints
}

/// Reads `Gull White 1:4`.
fn read_tint(text: &str, names: &[String]) -> Result<ListedTint, Diagnostic> {
    let read = || {
        let (with, parts) = text.rsplit_once(char::is_whitespace)?;
        let (this, other) = parts.split_once(':')?;
        let parts = [this.parse().ok()?, other.parse().ok()?];
        let all_right = parts.iter().all(|part| PARTS.contains(*part));
        all_right.then(|| ListedTint {
            with: with.trim().to_owned(),
            parts,
        })
    };
    let Some(tint) = read() else {
        let found = match text {
            "" => "a tint is empty".to_owned(),
            _ => format!("\"{text}\" is not a tint"),
        };
        return Err(Diagnostic::error("", found).expected(EXPECTED_TINT));
    };
    if names.contains(&tint.with) {
        return Ok(tint);
    }
    let near = nearest(&tint.with, names.iter().map(String::as_str));
    let found = format!("{NAMES} has no paint that is called \"{}\"", tint.with);
    Err(Diagnostic::error("", found)
        .expected("a paint of --names: it also needs a place of its own on the card")
        .help(match near {
            Some(_) => did_you_mean(near),
            None => "add the paint to --names".to_owned(),
        }))
}
