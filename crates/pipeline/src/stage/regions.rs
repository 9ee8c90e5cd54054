//! Regions: photo and strokes → a region for every pixel.

use velatura_figure::{Marks, Photo};
use velatura_optics::diagnostic::Diagnostic;

use super::Stage;
use crate::parameters::Parameters;

/// Makes a mask from a few rough strokes.
pub trait Regions: Stage {
    /// A region for every pixel of the photo. `strokes` are of the photo's size; what they mark keeps its colour.
    ///
    /// # Errors
    /// Why it gives none; the stage that was registered before it is asked then.
    fn regions(
        &self,
        photo: &Photo,
        strokes: &Marks,
        parameters: &Parameters,
    ) -> Result<velatura_figure::Regions, Diagnostic>;
}
