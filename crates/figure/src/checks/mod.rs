//! Photo checks: what about a figure's photo makes a preview worse, and what to do about it.
//!
//! In: a plate. Out: warnings, never errors. [`tone_checks`] holds what distorts colours and is reported on every render;
//! [`detail_checks`] holds what only makes a preview less useful. Aligning two photos belongs to `ground`.

mod cast;
mod clipping;
mod dark;
mod light_photo;
mod sharpness;
mod size;
mod strokes;

pub use light_photo::same_light_photo;

use velatura_document::Diagnostic;

use crate::figure_file::FigureFile;
use crate::figure_file::named_in;
use crate::plate::Plate;

/// Clipped highlights, drowned shadows, a colour cast, light of two colours.
#[must_use]
pub fn tone_checks(plate: &Plate, figure: &FigureFile) -> Vec<Diagnostic> {
    let found = [clipping::check(plate), cast::check(plate)].concat();
    diagnostics(found, figure)
}

/// Blur, a figure that is too small for a useful preview, a dark photo, strokes in place of a mask, and what a light photo would gain.
#[must_use]
pub fn detail_checks(plate: &Plate, figure: &FigureFile) -> Vec<Diagnostic> {
    let Some(tall) = size::figure_height_px(plate) else {
        return Vec::new();
    };
    let found = [
        size::check(tall),
        sharpness::check(plate, tall, figure.height_mm),
        dark::check(plate, figure),
        strokes::check(plate),
    ];
    let mut found = diagnostics(found.into_iter().flatten().collect(), figure);
    found.extend(light_photo::missing(figure));
    found
}

/// The result of one check, without a file name.
#[derive(Clone)]
struct Finding {
    found: String,
    expected: String,
    help: &'static str,
}

fn diagnostics(found: Vec<Finding>, figure: &FigureFile) -> Vec<Diagnostic> {
    found
        .into_iter()
        .map(|one| {
            Diagnostic::warning(figure.photo.value.clone(), one.found)
                .within(named_in(figure, &figure.photo.at, "photo"))
                .expected(one.expected)
                .help(one.help)
        })
        .collect()
}

#[allow(clippy::cast_precision_loss, reason = "counts of pixels")]
fn share(part: usize, whole: usize) -> f64 {
    part as f64 / (whole as f64).max(1.0)
}
