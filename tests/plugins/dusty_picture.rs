//! The same dust as a stage of the program and as a component: the same sheet of the demo.

use velatura_pipeline::{AnyStage, Cancel, Run, Session, SheetPicture};
use velatura_tests::demo_job;

use crate::attached;
use crate::in_process::InProcess;

/// Size of a picture on the sheet.
const SIZE: (u32, u32) = (180, 320);

/// The demo's schemes as the sheet shows them, with one more stage.
fn sheet(stage: Option<AnyStage>) -> Vec<SheetPicture> {
    let mut builder = Session::builder().built_in_stages();
    if let Some(stage) = stage {
        builder = builder.stage(stage);
    }
    let job = demo_job(&builder.build().unwrap());
    let run = Run::new(&job, &Cancel::default());
    let planned = run.plan(&job.schemes).unwrap();
    run.sheet_pictures(&planned, SIZE).unwrap().0
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
        // Must fail: without dust the picture differs.
        assert!(inside.pixels != clean.pixels);
    }
}
