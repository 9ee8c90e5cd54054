//! The example dust as a stage of the program: around the same plain function that its component has.

use velatura_document::Diagnostic;
use velatura_pipeline::Parameters;
use velatura_pipeline::scheme::Scheme;
use velatura_pipeline::stage::{AttachPoint, Finish, FrameBand, Stage, StageInfo};

use crate::dust_source::{Dust, GIVES, NAME, PARAMETERS, REACH_PX, Rows, TAKES, VERSION};

#[derive(Debug)]
pub(crate) struct InProcess;

impl Stage for InProcess {
    fn info(&self) -> StageInfo {
        StageInfo::new(AttachPoint::Finish, NAME, VERSION)
            .with_words(TAKES, GIVES)
            .with_parameters(serde_json::from_str(PARAMETERS).unwrap())
            .with_reach_px(REACH_PX)
    }
}

impl Finish for InProcess {
    fn finish(
        &self,
        _: &Scheme,
        band: &mut FrameBand<'_>,
        parameters: &Parameters,
    ) -> Result<(), Diagnostic> {
        let dust = Dust::read(&parameters.to_json()).map_err(|why| Diagnostic::error(NAME, why))?;
        #[allow(clippy::cast_possible_truncation, reason = "as a component gets it")]
        let px_per_mm = band.px_per_mm as f32;
        let rows = Rows {
            width: band.width,
            first_row: band.first_row,
            picture_rows: band.picture_rows,
            px_per_mm,
            light_unit: band.planes.light_unit,
            relief: band.planes.relief,
            light: band.planes.light,
        };
        dust.settle(&rows, band.pixels.as_flattened_mut());
        Ok(())
    }
}
