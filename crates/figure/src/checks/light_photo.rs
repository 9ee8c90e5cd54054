//! The light photo: one is missing, or it is the photo itself.

use velatura_document::Diagnostic;
use velatura_photo::Photo;

use crate::figure_file::{FigureFile, named_in};
use crate::figure_keys::UndercoatKind;
use crate::plate::Plate;

/// A light photo would help. On path-traced figures the mean error of a preview is about ΔE 2 without it and 1 with it (README).
pub(super) fn missing(figure: &FigureFile) -> Option<Diagnostic> {
    let needs_one = figure.undercoat.kind.value != UndercoatKind::Plain;
    (needs_one && figure.undercoat.light_photo.is_none()).then(|| {
        figure
            .source
            .error_at(
                &figure.undercoat.kind.at,
                "there is no `light_photo`, so light and paint are estimated from the photo alone",
            )
            .as_warning()
            .expected("a photo of the same pose under the same lamp, before the drybrushing or the wash")
            .help("for the next figure, take one from a tripod: the colours are then about twice as exact")
    })
}

/// A warning if the light photo shows the very same as the photo.
#[must_use]
pub fn same_light_photo(plate: &Plate, light: &Photo, figure: &FigureFile) -> Option<Diagnostic> {
    let path = figure.undercoat.light_photo.as_ref()?;
    (light.luminance == plate.luminance).then(|| {
        Diagnostic::warning(path.value.clone(), "the light photo is the photo itself")
            .within(named_in(figure, &path.at, "light_photo"))
            .expected("a photo of the same pose before the drybrushing or the wash")
            .help("name the right file, or remove the line: all tone would count as light now")
    })
}
