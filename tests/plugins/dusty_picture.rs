//! The same dust as a stage of the program and as a component: the same sheet of the demo.

use velatura_optics::diagnostic::Diagnostic;
use velatura_pipeline::scheme::Scheme;
use velatura_pipeline::stage::{AttachPoint, Finish, FrameBand, Stage, StageInfo};
use velatura_pipeline::{
    AnyStage, Parameters, Registry, RunOptions, SheetPicture, plan, sheet_pictures,
};
use velatura_tests::demo_job;

use crate::attached;
use crate::dust_source::{Dust, GIVES, NAME, PARAMETERS, REACH_PX, Rows, TAKES, VERSION};

/// A stage of the program around the same plain function.
#[derive(Debug)]
struct InProcess;

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

/// Size of a picture on the sheet.
const SIZE: (u32, u32) = (180, 320);

/// The demo's schemes as the sheet shows them, with one more stage.
fn sheet(stage: Option<AnyStage>) -> Vec<SheetPicture> {
    let mut registry = Registry::with_built_ins();
    if let Some(stage) = stage {
        registry.register(stage).unwrap();
    }
    let job = demo_job(&registry);
    let planned = plan(&registry, &job, &job.schemes).unwrap();
    let options = RunOptions::default();
    let made = sheet_pictures(&registry, &job.underpainting, &planned, SIZE, &options);
    made.unwrap().0
}

#[test]
fn in_the_program_and_as_a_component_it_gives_the_same_sheet() {
    let in_process = sheet(Some(AnyStage::Finish(Box::new(InProcess))));
    let component = sheet(Some(attached("dust").stage));
    let clean = sheet(None);
    assert_eq!((in_process.len(), component.len()), (10, 10));
    for ((inside, outside), clean) in in_process.iter().zip(&component).zip(&clean) {
        assert_eq!(inside.pixels.len(), 180 * 320);
        assert!(inside.pixels == outside.pixels);
        // Must fail: without dust it is another picture.
        assert!(inside.pixels != clean.pixels);
    }
}
