//! Regions of a photo by the stage in use.

use velatura_document::Error;
use velatura_photo::Photo;
use velatura_regions::{Labels, Marks};

use crate::catalogue::{failure, none_left};
use crate::run_log::LeftOut;
use crate::session::Session;
use crate::stage::AttachPoint;
use crate::stage_tables::StageTables;

impl Session {
    /// A region for every pixel of a photo, from strokes on it, by the last registered stage that does not fail; and the stages
    /// that were left out.
    ///
    /// # Errors
    /// [`Error::Call`] if the session has no such stage, and [`Error::Stage`] if all of them failed.
    pub fn regions(&self, photo: &Photo, strokes: &Marks) -> Result<(Labels, Vec<LeftOut>), Error> {
        let log = self.new_log();
        let regions = log.without_failing(|| {
            let makers = StageTables::default().in_job(&self.catalogue().region_makers(&log))?;
            let (entry, maker, parameters) = makers
                .last()
                .ok_or_else(|| none_left(AttachPoint::Regions))?;
            maker
                .regions(photo, strokes, parameters)
                .map_err(|problem| failure(entry, problem))
        })?;
        Ok((regions, log.left_out()))
    }
}
