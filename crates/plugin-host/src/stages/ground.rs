//! Underpainting → underpainting by a component: it starts from Velatura's own split of the photo.

use velatura_document::{Diagnostic, Warned};
use velatura_photo::Photo;
use velatura_pipeline::Parameters;
use velatura_pipeline::figure::{FigureFile, Plate, UndercoatKind, Underpainting, underpainting};
use velatura_pipeline::stage::{Ground, Stage, StageInfo};

use super::Said;
use crate::calls::ground::{Figure, GroundCalls, PlanesParam};

pub(super) struct ComponentGround {
    pub(super) said: Said,
    pub(super) calls: GroundCalls,
}

impl Stage for ComponentGround {
    fn info(&self) -> StageInfo {
        self.said.info.clone()
    }
}

impl Ground for ComponentGround {
    fn underpainting(
        &self,
        plate: Plate,
        figure: &FigureFile,
        light_photo: Option<Photo>,
        parameters: &Parameters,
    ) -> Result<Warned<Underpainting>, Diagnostic> {
        let mut warnings = Vec::new();
        let mut underpainting =
            underpainting(plate, figure, light_photo)?.into_value(&mut warnings);
        let regions: Vec<&str> = underpainting
            .subject
            .regions
            .iter()
            .map(String::as_str)
            .collect();
        let points = &underpainting.points;
        #[allow(clippy::cast_possible_truncation, reason = "the WIT package has f32")]
        let [px_per_mm, black, white, light_share] = [
            underpainting.px_per_mm,
            points.black.value,
            points.white.value,
            points.light_share.value,
        ]
        .map(|number| number as f32);
        let handed = Figure {
            width: underpainting.subject.width,
            rows: underpainting.subject.height,
            px_per_mm,
            undercoat: match points.kind {
                UndercoatKind::BlackToWhite => "black-to-white",
                UndercoatKind::WhiteWithWash => "white-with-wash",
                UndercoatKind::Plain => "plain",
            },
            black,
            white,
            light_share,
            regions: &regions,
            region: &underpainting.subject.region,
            planes: PlanesParam {
                substrate: &underpainting.substrate,
                light: &underpainting.light,
                light_unit: underpainting.light_unit,
                relief: &underpainting.relief,
            },
        };
        let planes = self
            .calls
            .underpainting(handed, &parameters.to_json())
            .map_err(|fault| self.said.source.diagnostic(&fault))?;
        underpainting.substrate = planes.substrate;
        underpainting.light = planes.light;
        underpainting.light_unit = planes.light_unit;
        underpainting.relief = planes.relief;
        Ok(Warned::new(underpainting, warnings))
    }
}
