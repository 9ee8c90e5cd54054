//! A mask that is really the strokes: lines through the parts instead of their whole areas.

use super::{Finding, share};
use crate::plate::Plate;

/// Share of the figure's box that its regions cover at least (a choice: the demo's mask covers more, its strokes less).
const LEAST_COVERED: f64 = 0.15;

pub(super) fn check(plate: &Plate) -> Option<Finding> {
    let frame = plate.subject.figure_box()?;
    let all = frame.width as usize * frame.height as usize;
    let regions = plate.subject.region.iter();
    let covered = regions.filter(|region| **region != 0).count();
    (share(covered, all) < LEAST_COVERED).then(|| Finding {
        found: format!(
            "the regions cover only {:.0} % of the figure's height and width, as strokes do",
            100.0 * share(covered, all)
        ),
        expected: "every pixel of a part in the colour of its region".to_owned(),
        help: "make a mask from the strokes first; ignore this for a thin figure",
    })
}
