//! Ground: plate → underpainting.

use velatura_document::{Diagnostic, Warned};
use velatura_figure::{FigureFile, Plate, Underpainting};
use velatura_photo::Photo;

use super::Stage;
use crate::parameters::Parameters;

/// Splits a plate into substrate, light and relief.
///
/// # Example
/// A ground that assumes half as bright a lamp:
///
/// ```
/// use velatura_photo::Photo;
/// use velatura_pipeline::figure::{self, FigureFile, Plate, Underpainting};
/// use velatura_document::{Diagnostic, Warned};
/// use velatura_pipeline::stage::{AttachPoint, Ground, Stage, StageInfo};
/// use velatura_pipeline::{AnyStage, Parameters, Session};
///
/// struct HalfLight;
///
/// impl Stage for HalfLight {
///     fn info(&self) -> StageInfo {
///         StageInfo::new(AttachPoint::Ground, "half-light", "1.0.0")
///             .with_words("plate, optional light photo", "substrate, half the light, relief")
///     }
/// }
///
/// impl Ground for HalfLight {
///     fn underpainting(
///         &self,
///         plate: Plate,
///         file: &FigureFile,
///         light_photo: Option<Photo>,
///         _: &Parameters,
///     ) -> Result<Warned<Underpainting>, Diagnostic> {
///         // What the built-in does, changed.
///         let mut planes = figure::underpainting(plate, file, light_photo)?;
///         planes.value.light_unit /= 2.0;
///         Ok(planes)
///     }
/// }
///
/// let session = Session::builder()
///     .built_in_stages()
///     .stage(AnyStage::Ground(Box::new(HalfLight)))
///     .build()?;
///
/// let built_in = Session::builder().built_in_stages().build()?;
/// let ours = velatura_conformance::small_job(&built_in)?.underpainting;
/// let theirs = velatura_conformance::small_job(&session)?.underpainting;
/// assert_eq!(theirs.light_unit, ours.light_unit / 2.0);
///
/// let report = velatura_conformance::check(&AnyStage::Ground(Box::new(HalfLight)));
/// assert_eq!(report.breaches(), [], "{report}");
/// # Ok::<(), velatura_pipeline::Error>(())
/// ```
pub trait Ground: Stage {
    /// The underpainting of a plate, with warnings.
    ///
    /// # Errors
    /// Why there is none; the ground registered before it is then used.
    fn underpainting(
        &self,
        plate: Plate,
        figure: &FigureFile,
        light_photo: Option<Photo>,
        parameters: &Parameters,
    ) -> Result<Warned<Underpainting>, Diagnostic>;
}
