//! Intake: bytes → plate.

use velatura_figure::{DecodeLimits, FigureFile, Photo, Plate};
use velatura_optics::diagnostic::Diagnostic;

use super::Stage;
use crate::parameters::Parameters;

/// Reads photo and mask.
pub trait Intake: Stage {
    /// A plate from the bytes of photo and mask.
    ///
    /// # Errors
    /// Diagnostics that name the file, what was found and how to mend it.
    fn plate(
        &self,
        figure: &FigureFile,
        photo: &[u8],
        mask: &[u8],
        limits: &DecodeLimits,
        parameters: &Parameters,
    ) -> Result<(Plate, Vec<Diagnostic>), Vec<Diagnostic>>;

    /// A further photo of the figure (the light photo).
    ///
    /// # Errors
    /// As [`Intake::plate`].
    fn photo(
        &self,
        name: &str,
        bytes: &[u8],
        limits: &DecodeLimits,
    ) -> Result<(Photo, Vec<Diagnostic>), Diagnostic>;
}
