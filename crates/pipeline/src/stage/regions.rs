//! Regions: photo and strokes → a region for every pixel.

use velatura_document::Diagnostic;
use velatura_photo::Photo;
use velatura_regions::Marks;

use super::Stage;
use crate::parameters::Parameters;

/// Makes a mask from a few rough strokes.
///
/// # Example
/// Every pixel goes to the nearest stroke, whatever the photo shows:
///
/// ```
/// use velatura_photo::Photo;
/// use velatura_regions::{Labels, Marks};
/// use velatura_document::Diagnostic;
/// use velatura_pipeline::stage::{AttachPoint, Regions, Stage, StageInfo};
/// use velatura_pipeline::{AnyStage, Parameters, Session};
///
/// struct NearestStroke;
///
/// impl Stage for NearestStroke {
///     fn info(&self) -> StageInfo {
///         StageInfo::new(AttachPoint::Regions, "nearest-stroke", "1.0.0")
///             .with_words("strokes", "for every pixel the region of the nearest stroke")
///     }
/// }
///
/// impl Regions for NearestStroke {
///     fn regions(
///         &self,
///         photo: &Photo,
///         strokes: &Marks,
///         _: &Parameters,
///     ) -> Result<Labels, Diagnostic> {
///         let width = photo.width as usize;
///         let place = |at: usize| (at % width, at / width);
///         let marked: Vec<(usize, u8)> = (0..).zip(strokes.marks.iter().copied())
///             .filter(|(_, mark)| *mark != 255)
///             .collect();
///         let nearest = |at: usize| {
///             let (x, y) = place(at);
///             let distance = |(other, _): &&(usize, u8)| {
///                 let (i, j) = place(*other);
///                 x.abs_diff(i).pow(2) + y.abs_diff(j).pow(2)
///             };
///             marked.iter().min_by_key(distance).map_or(0, |(_, mark)| *mark)
///         };
///         Ok(Labels {
///             colours: strokes.colours.clone(),
///             labels: (0..photo.photo.len()).map(nearest).collect(),
///             islands: Vec::new(),
///         })
///     }
/// }
///
/// let session = Session::builder()
///     .built_in_stages()
///     .stage(AnyStage::Regions(Box::new(NearestStroke)))
///     .build()?;
///
/// let (given, _) = session.regions(
///     &velatura_conformance::small_photo(),
///     &velatura_conformance::small_strokes(),
/// )?;
/// // The lowest row is nearest to the stroke of the third region, the backdrop below the figure included.
/// assert!(given.labels.ends_with(&[3; 20]));
///
/// let report = velatura_conformance::check(&AnyStage::Regions(Box::new(NearestStroke)));
/// assert_eq!(report.breaches(), [], "{report}");
/// # Ok::<(), velatura_pipeline::Error>(())
/// ```
pub trait Regions: Stage {
    /// A region for every pixel of the photo. `strokes` have the photo's size, and their pixels keep their region.
    ///
    /// # Errors
    /// Why there is none; the stage registered before it is then used.
    fn regions(
        &self,
        photo: &Photo,
        strokes: &Marks,
        parameters: &Parameters,
    ) -> Result<velatura_regions::Labels, Diagnostic>;
}
