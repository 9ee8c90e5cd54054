//! One file of schemes for several photos: front and back, or other poses, do not show the same parts.

use velatura_document::{Diagnostic, Warned, counted, either, nearest};
use velatura_optics::calibrate::PaintBox;

use crate::resolve::{Scheme, resolve};
use crate::schemes_file::{CoatEntry, SchemesFile};

/// As [`resolve`], but coats on parts that the figure does not have are skipped, with one warning for all of them. A name that is
/// nearly that of a region is taken for a slip, and refused.
///
/// # Errors
/// As [`resolve`].
pub fn resolve_shared(
    file: &SchemesFile,
    regions: &[String],
    figure_name: &str,
    paints: &PaintBox,
    paints_name: &str,
) -> Result<Warned<Vec<Scheme>>, Vec<Diagnostic>> {
    let is_shown = |coat: &CoatEntry| {
        let name = &coat.region.value;
        regions.contains(name) || nearest(name, regions.iter().map(String::as_str)).is_some()
    };
    let coats = file.schemes.iter().flat_map(|scheme| &scheme.coats);
    let skipped: Vec<&CoatEntry> = coats.filter(|coat| !is_shown(coat)).collect();
    let Some(first) = skipped.first() else {
        return resolve(file, regions, figure_name, paints, paints_name).map(Warned::from);
    };
    // Other problems are those of the whole file, so that coats are counted as written.
    if let Err(mut problems) = resolve(file, regions, figure_name, paints, paints_name) {
        problems.retain(|problem| {
            let place = problem
                .place
                .as_ref()
                .map(|place| (place.line, place.column));
            !skipped.iter().any(|coat| {
                let own = file.source.place(&coat.region.at);
                place == Some((own.line, own.column))
            })
        });
        if problems.iter().any(Diagnostic::is_error) {
            return Err(problems);
        }
    }
    let mut shown = file.clone();
    for scheme in &mut shown.schemes {
        scheme.coats.retain(is_shown);
    }
    let warning = not_shown(file, first, &skipped, (regions, figure_name));
    let schemes = resolve(&shown, regions, figure_name, paints, paints_name)?;
    Ok(Warned::new(schemes, vec![warning]))
}

/// The coats that the figure has no part for, in one warning at the first of them.
fn not_shown(
    file: &SchemesFile,
    first: &CoatEntry,
    skipped: &[&CoatEntry],
    (regions, figure_name): (&[String], &str),
) -> Diagnostic {
    let mut names: Vec<String> = Vec::new();
    for coat in skipped {
        let name = format!("\"{}\"", coat.region.value);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let found = format!(
        "this figure has no region {}: {} skipped",
        either(&names),
        counted(skipped.len(), "coat")
    );
    file.source
        .error_at(&first.region.at, found)
        .as_warning()
        .expected(format!("a region in {figure_name}: {}", regions.join(", ")))
        .help("nothing to do if this photo does not show the part; otherwise add the region to the figure and its mask")
}
