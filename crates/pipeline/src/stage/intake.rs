//! Intake: bytes → plate.

use velatura_document::{Diagnostic, Warned};
use velatura_figure::{FigureFile, Plate};
use velatura_photo::{DecodeLimits, Photo};

use super::Stage;
use crate::parameters::Parameters;

/// Reads photo and mask.
///
/// # Example
/// An intake without colour, for a photo with an unreliable white balance:
///
/// ```
/// use velatura_photo::{DecodeLimits, Photo, decode_photo};
/// use velatura_pipeline::figure::{self, FigureFile, Plate};
/// use velatura_pipeline::optics::colour::Linear;
/// use velatura_document::{Diagnostic, Warned};
/// use velatura_pipeline::stage::{AttachPoint, Intake, Stage, StageInfo};
/// use velatura_pipeline::{AnyStage, Parameters, Session};
///
/// struct Colourless;
///
/// impl Stage for Colourless {
///     fn info(&self) -> StageInfo {
///         StageInfo::new(AttachPoint::Intake, "colourless", "1.0.0")
///             .with_words("photo and mask", "plate without colour")
///     }
/// }
///
/// /// The grey of the same luminance, which is a plane of 0…65535 for 0…1.
/// fn grey(luminance: &u16) -> [u8; 3] {
///     Linear([f64::from(*luminance) / 65535.0; 3]).encoded().0
/// }
///
/// impl Intake for Colourless {
///     fn plate(
///         &self,
///         file: &FigureFile,
///         photo: &[u8],
///         mask: &[u8],
///         limits: &DecodeLimits,
///         _: &Parameters,
///     ) -> Result<Warned<Plate>, Vec<Diagnostic>> {
///         // What the built-in does, changed.
///         let mut plate = figure::plate(file, photo, mask, limits)?;
///         plate.value.subject.photo = plate.value.luminance.iter().map(grey).collect();
///         plate.value.subject.lamp = [1.0; 3];
///         Ok(plate)
///     }
///
///     fn photo(
///         &self,
///         name: &str,
///         bytes: &[u8],
///         limits: &DecodeLimits,
///     ) -> Result<Warned<Photo>, Diagnostic> {
///         let mut photo = decode_photo(name, bytes, limits)?;
///         photo.value.photo = photo.value.luminance.iter().map(grey).collect();
///         Ok(photo)
///     }
/// }
///
/// let session = Session::builder()
///     .built_in_stages()
///     .stage(AnyStage::Intake(Box::new(Colourless)))
///     .build()?;
///
/// let job = velatura_conformance::small_job(&session)?;
/// assert!(job.underpainting.subject.photo.iter().all(|[r, g, b]| r == g && g == b));
///
/// let report = velatura_conformance::check(&AnyStage::Intake(Box::new(Colourless)));
/// assert_eq!(report.breaches(), [], "{report}");
/// # Ok::<(), velatura_pipeline::Error>(())
/// ```
pub trait Intake: Stage {
    /// A plate from the bytes of photo and mask.
    ///
    /// # Errors
    /// Diagnostics that name the file, what was found and how to fix it.
    fn plate(
        &self,
        figure: &FigureFile,
        photo: &[u8],
        mask: &[u8],
        limits: &DecodeLimits,
        parameters: &Parameters,
    ) -> Result<Warned<Plate>, Vec<Diagnostic>>;

    /// A further photo of the figure (the light photo).
    ///
    /// # Errors
    /// As [`Intake::plate`].
    fn photo(
        &self,
        name: &str,
        bytes: &[u8],
        limits: &DecodeLimits,
    ) -> Result<Warned<Photo>, Diagnostic>;
}
