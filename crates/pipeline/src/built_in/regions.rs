//! Strokes to a mask: `velatura-regions` does the work.

use velatura_document::Diagnostic;
use velatura_photo::Photo;
use velatura_regions::Marks;

use super::info;
use crate::parameters::Parameters;
use crate::stage::{AttachPoint, Regions, Stage, StageInfo};

/// Spreads strokes to the creases and edges around them.
#[derive(Debug)]
pub(super) struct FromStrokes;

impl Stage for FromStrokes {
    fn info(&self) -> StageInfo {
        info(
            AttachPoint::Regions,
            "from-strokes",
            "photo, a few strokes per part",
            "a region for every pixel",
        )
    }
}

impl Regions for FromStrokes {
    fn regions(
        &self,
        photo: &Photo,
        strokes: &Marks,
        _: &Parameters,
    ) -> Result<velatura_regions::Labels, Diagnostic> {
        Ok(velatura_regions::regions(photo, strokes))
    }
}
