//! Ground: plate → underpainting.

use velatura_figure::{FigureFile, Photo, Plate, Underpainting};
use velatura_optics::diagnostic::Diagnostic;

use super::Stage;
use crate::parameters::Parameters;

/// Splits a plate into substrate, light and relief.
pub trait Ground: Stage {
    /// The underpainting of a plate, with warnings.
    ///
    /// # Errors
    /// Why it gives none; the ground that was registered before it is asked then.
    fn underpainting(
        &self,
        plate: Plate,
        figure: &FigureFile,
        light_photo: Option<Photo>,
        parameters: &Parameters,
    ) -> Result<(Underpainting, Vec<Diagnostic>), Diagnostic>;
}
