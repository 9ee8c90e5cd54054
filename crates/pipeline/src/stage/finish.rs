//! Finish: frame → frame.

use velatura_document::Diagnostic;
use velatura_scheme::Scheme;
use velatura_shaders::{Pixel, Planes, finish};

use super::Stage;
use crate::parameters::Parameters;

/// A run of whole rows of one scheme, before it is encoded.
#[derive(Debug)]
pub struct FrameBand<'a> {
    /// Pixels per row.
    pub width: usize,
    /// How many rows of the picture are above this band.
    pub first_row: usize,
    /// Rows of the whole picture.
    pub picture_rows: usize,
    /// Pixels per millimetre of the figure, at the scale of this picture.
    pub px_per_mm: f64,
    /// The planes of these rows.
    pub planes: Planes<'a>,
    /// Linear sRGB and coverage, to be changed in place; row-major, `width` a row.
    pub pixels: &'a mut [Pixel],
}

/// Changes a frame: varnish, dust, other colour vision. All finishes in use run, in the order of their registration.
///
/// # Example
/// Pale dust on raised parts, with the amount from the user's files:
///
/// ```
/// use velatura_document::Diagnostic;
/// use velatura_pipeline::scheme::Scheme;
/// use velatura_pipeline::serde_json::json;
/// use velatura_pipeline::shaders::PLANE_MAX;
/// use velatura_pipeline::stage::{AttachPoint, Finish, FrameBand, Stage, StageInfo};
/// use velatura_pipeline::{AnyStage, Parameters, Session};
///
/// struct FenDust;
///
/// impl Stage for FenDust {
///     fn info(&self) -> StageInfo {
///         StageInfo::new(AttachPoint::Finish, "fen-dust", "1.0.0")
///             .with_words("frame, relief, light", "frame with dust on raised parts")
///             .with_reach_px(0)
///             .with_parameters(json!({
///                 "type": "object",
///                 "properties": {
///                     "amount": { "type": "number", "minimum": 0, "maximum": 1, "default": 0.3 }
///                 }
///             }))
///     }
/// }
///
/// impl Finish for FenDust {
///     fn finish(
///         &self,
///         _: &Scheme,
///         band: &mut FrameBand<'_>,
///         parameters: &Parameters,
///     ) -> Result<(), Diagnostic> {
///         let amount = parameters.number("amount").unwrap_or(0.3) as f32;
///         for (at, pixel) in band.pixels.iter_mut().enumerate() {
///             let relief = f32::from(band.planes.relief[at]) / PLANE_MAX;
///             let light = f32::from(band.planes.light[at]) * band.planes.light_unit;
///             // The fourth number is 0 where no coat lies.
///             if pixel[3] > 0.0 {
///                 for (channel, dust) in pixel.iter_mut().zip([0.52, 0.47, 0.38]) {
///                     *channel += amount * relief * (dust * light - *channel);
///                 }
///             }
///         }
///         Ok(())
///     }
/// }
///
/// let session = Session::builder()
///     .built_in_stages()
///     .stage(AnyStage::Finish(Box::new(FenDust)))
///     .build()?;
///
/// // The second text stands at the end of the job's figure.toml.
/// let job = velatura_conformance::small_job_with(&session, "[stage.fen-dust]\namount = 0.8\n")?;
/// let built_in = Session::builder().built_in_stages().build()?;
/// let clean = velatura_conformance::pictures(&velatura_conformance::small_job(&built_in)?)?;
/// let dusty = velatura_conformance::pictures(&job)?;
/// // A blue-green coat gets redder, the backdrop stays as photographed.
/// let red = |picture: &[[u8; 3]]| picture.iter().map(|pixel| u32::from(pixel[0])).sum::<u32>();
/// assert!(red(&dusty[0]) > red(&clean[0]));
/// assert_eq!(dusty[0][..20], job.underpainting.subject.photo[..20]);
///
/// let report = velatura_conformance::check(&AnyStage::Finish(Box::new(FenDust)));
/// assert_eq!(report.breaches(), [], "{report}");
/// # Ok::<(), velatura_pipeline::Error>(())
/// ```
pub trait Finish: Stage {
    /// Whether it applies to this scheme.
    fn applies(&self, scheme: &Scheme) -> bool {
        let _ = scheme;
        true
    }

    /// Changes the rows in place. Rows within the declared reach of the band's edge are discarded afterwards, unless the
    /// picture ends there. Bands can start at any row, and the result for a row must not depend on it.
    ///
    /// # Errors
    /// Why it cannot. The whole picture is then made again without this stage, so the band may be left partly changed.
    fn finish(
        &self,
        scheme: &Scheme,
        band: &mut FrameBand<'_>,
        parameters: &Parameters,
    ) -> Result<(), Diagnostic>;

    /// The parameters with which the kernel `finish` does the same, so that a device can do it; `None` sends the scheme to the
    /// processor.
    fn kernel(&self, scheme: &Scheme, parameters: &Parameters) -> Option<finish::Params> {
        let _ = (scheme, parameters);
        None
    }
}
