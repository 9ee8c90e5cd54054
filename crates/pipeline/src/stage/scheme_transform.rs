//! Scheme transform: scheme → scheme.

use velatura_document::Diagnostic;
use velatura_scheme::Scheme;

use super::{SchemeRequest, Stage};
use crate::parameters::Parameters;

/// Changes a scheme before anything is computed from it. All transforms in use run, in the order of their registration.
///
/// # Example
/// Every film becomes half as thick:
///
/// ```
/// use velatura_document::Diagnostic;
/// use velatura_pipeline::scheme::Scheme;
/// use velatura_pipeline::stage::{AttachPoint, SchemeRequest, SchemeTransform, Stage, StageInfo};
/// use velatura_pipeline::{AnyStage, Parameters, Session};
///
/// struct Thinned;
///
/// impl Stage for Thinned {
///     fn info(&self) -> StageInfo {
///         StageInfo::new(AttachPoint::SchemeTransform, "thinned", "1.0.0")
///             .with_words("scheme", "the same with films half as thick")
///     }
/// }
///
/// impl SchemeTransform for Thinned {
///     fn transform(
///         &self,
///         scheme: &Scheme,
///         _: &SchemeRequest<'_>,
///         _: &Parameters,
///     ) -> Result<Scheme, Diagnostic> {
///         let mut scheme = scheme.clone();
///         for coat in scheme.regions.iter_mut().flat_map(|stack| &mut stack.coats) {
///             coat.film /= 2.0;
///         }
///         Ok(scheme)
///     }
/// }
///
/// let session = Session::builder()
///     .built_in_stages()
///     .stage(AnyStage::SchemeTransform(Box::new(Thinned)))
///     .build()?;
///
/// let job = velatura_conformance::small_job(&session)?;
/// // Its hood was 0.8 thick.
/// assert_eq!(job.schemes[0].regions[0].coats[0].film, 0.4);
///
/// let report = velatura_conformance::check(&AnyStage::SchemeTransform(Box::new(Thinned)));
/// assert_eq!(report.breaches(), [], "{report}");
/// # Ok::<(), velatura_pipeline::Error>(())
/// ```
pub trait SchemeTransform: Stage {
    /// The scheme, changed, under the same name.
    ///
    /// A coat and its mix have the same index in the two lists of [`velatura_scheme::RegionStack`]; take the optics of a
    /// changed mix from `request.paints.mixed(&mix)`.
    ///
    /// # Errors
    /// Why it cannot; all schemes are then shown as they were before this stage.
    fn transform(
        &self,
        scheme: &Scheme,
        request: &SchemeRequest<'_>,
        parameters: &Parameters,
    ) -> Result<Scheme, Diagnostic>;
}
