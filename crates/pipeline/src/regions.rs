//! Regions of a photo by the stage in use.

use velatura_photo::Photo;
use velatura_regions::{Marks, Regions};

use crate::registry::{Registry, failure, none_left, without_failing};
use crate::stage::AttachPoint;
use crate::stage_tables::StageTables;
use velatura_document::Error;

/// A region for every pixel of a photo, from strokes on it, by the last registered stage that does not fail.
///
/// # Errors
/// No stage is left.
pub fn regions(registry: &Registry, photo: &Photo, strokes: &Marks) -> Result<Regions, Error> {
    without_failing(registry, || {
        let makers = StageTables::default().in_job(&registry.region_makers())?;
        let (entry, maker, parameters) = makers
            .last()
            .ok_or_else(|| none_left(AttachPoint::Regions))?;
        maker
            .regions(photo, strokes, parameters)
            .map_err(|problem| failure(entry, problem))
    })
}
