//! Frame → frame by a component.

use velatura_document::Diagnostic;
use velatura_pipeline::Parameters;
use velatura_pipeline::scheme::Scheme;
use velatura_pipeline::stage::{Finish, FrameBand, Stage, StageInfo};

use super::Said;
use crate::calls::finish::{Band, FinishCalls, Scheme as SchemeWords};

pub(super) struct ComponentFinish {
    pub(super) said: Said,
    pub(super) calls: FinishCalls,
}

impl Stage for ComponentFinish {
    fn info(&self) -> StageInfo {
        self.said.info.clone()
    }
}

impl Finish for ComponentFinish {
    fn finish(
        &self,
        scheme: &Scheme,
        band: &mut FrameBand<'_>,
        parameters: &Parameters,
    ) -> Result<(), Diagnostic> {
        let regions: Vec<&str> = scheme
            .regions
            .iter()
            .map(|stack| stack.region.as_str())
            .collect();
        let words = SchemeWords {
            name: &scheme.name,
            team: &scheme.team,
            regions: &regions,
        };
        let rows = band.pixels.len().checked_div(band.width).unwrap_or(0);
        #[allow(clippy::cast_possible_truncation, reason = "kernels work in f32")]
        let px_per_mm = band.px_per_mm as f32;
        let handed = Band {
            width: counted(band.width),
            rows: counted(rows),
            first_row: counted(band.first_row),
            picture_rows: counted(band.picture_rows),
            px_per_mm,
            light_unit: band.planes.light_unit,
            substrate: band.planes.substrate,
            relief: band.planes.relief,
            light: band.planes.light,
            region: band.planes.region,
            // They are changed, so they are passed separately.
            pixels: &[],
        };
        let pixels = band.pixels.as_flattened_mut();
        self.calls
            .apply(words, &handed, pixels, &parameters.to_json())
            .map_err(|fault| self.said.source.diagnostic(&fault))
    }
}

fn counted(pixels: usize) -> u32 {
    u32::try_from(pixels).expect("pictures count rows and columns in 32 bits")
}
