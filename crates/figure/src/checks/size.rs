//! How many pixels the figure has from top to bottom.

use rayon::prelude::*;

use super::Finding;
use crate::plate::Plate;

/// A sheet of ten shows a figure at about 400 pixels (our own layout's usual size); a preview made from fewer has no detail
/// of its own to show.
const LEAST_HEIGHT_PX: u32 = 400;

/// Height of the figure's box; `None` if no pixel has a region.
pub(super) fn figure_height_px(plate: &Plate) -> Option<u32> {
    let rows = plate
        .subject
        .region
        .par_chunks(plate.subject.width.max(1) as usize);
    let has_figure = |row: &[u8]| row.iter().any(|region| *region != 0);
    let first = rows.clone().position_first(has_figure)?;
    let last = rows.position_last(has_figure)?;
    u32::try_from(last - first + 1).ok()
}

pub(super) fn check(tall: u32) -> Option<Finding> {
    (tall < LEAST_HEIGHT_PX).then(|| Finding {
        found: format!("the figure is {tall} pixels tall"),
        expected: format!("{LEAST_HEIGHT_PX} or more, better 2000"),
        help: "go closer, or use the camera's longer lens, until the figure fills most of the picture",
    })
}
