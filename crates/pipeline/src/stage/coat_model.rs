//! Coat model: coats → table.

use velatura_figure::UndercoatPoints;
use velatura_optics::calibrate::PaintBox;
use velatura_optics::table::ColourTable;
use velatura_scheme::{RegionStack, Scheme};

use super::Stage;
use crate::parameters::Parameters;

/// Turns the coats of one region into a table over the reflectance below them and relief. A simulated undercoat is no part of it.
///
/// # Example
/// Paint that dries a little chalky, lighter than its drawdown:
///
/// ```
/// use velatura_pipeline::figure::UndercoatPoints;
/// use velatura_pipeline::optics::{calibrate::PaintBox, table::ColourTable};
/// use velatura_pipeline::scheme::{RegionStack, Scheme};
/// use velatura_pipeline::stage::{AttachPoint, CoatModel, Stage, StageInfo};
/// use velatura_pipeline::{AnyStage, Parameters, Session, kubelka_munk_table};
///
/// struct Chalky;
///
/// impl Stage for Chalky {
///     fn info(&self) -> StageInfo {
///         StageInfo::new(AttachPoint::CoatModel, "chalky", "1.0.0")
///             .with_words("coats of one region", "their table, a tenth of the way to white")
///     }
/// }
///
/// impl CoatModel for Chalky {
///     fn table(
///         &self,
///         scheme: &Scheme,
///         stack: &RegionStack,
///         points: &UndercoatPoints,
///         paints: &PaintBox,
///         lamp: [f64; 3],
///         _: &Parameters,
///     ) -> Option<ColourTable> {
///         // What the built-in does, changed.
///         let mut table = kubelka_munk_table(scheme, stack, points, paints, lamp)?;
///         for [red, green, blue, _] in &mut table.entries {
///             for channel in [red, green, blue] {
///                 *channel += 0.1 * (1.0 - *channel);
///             }
///         }
///         Some(table)
///     }
/// }
///
/// let session = Session::builder()
///     .built_in_stages()
///     .stage(AnyStage::CoatModel(Box::new(Chalky)))
///     .build()?;
///
/// let job = velatura_conformance::small_job(&session)?;
/// let built_in = Session::builder().built_in_stages().build()?;
/// let ours = velatura_conformance::pictures(&velatura_conformance::small_job(&built_in)?)?;
/// let theirs = velatura_conformance::pictures(&job)?;
/// // The middle of the coat.
/// let at = 40 * 20 + 10;
/// assert!(theirs[0][at].iter().zip(ours[0][at]).all(|(chalky, plain)| *chalky > plain));
///
/// let report = velatura_conformance::check(&AnyStage::CoatModel(Box::new(Chalky)));
/// assert_eq!(report.breaches(), [], "{report}");
/// # Ok::<(), velatura_pipeline::Error>(())
/// ```
pub trait CoatModel: Stage {
    /// The table; `None` if there is no coat.
    fn table(
        &self,
        scheme: &Scheme,
        stack: &RegionStack,
        points: &UndercoatPoints,
        paints: &PaintBox,
        lamp: [f64; 3],
        parameters: &Parameters,
    ) -> Option<ColourTable>;
}
