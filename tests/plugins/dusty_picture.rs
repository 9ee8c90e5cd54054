//! The same dust as a stage of the program and as a component: the same sheet of the demo.

use velatura_pipeline::{AnyStage, Registry, RunOptions, SheetPicture, plan, sheet_pictures};
use velatura_tests::demo_job;

use crate::attached;
use crate::in_process::InProcess;

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
