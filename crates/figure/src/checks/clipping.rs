//! Highlights at the upper end of the codes, shadows at the lower: what was brighter or darker there is lost.

use rayon::prelude::*;

use super::{Finding, share};
use crate::plate::Plate;

/// From this code up, the true value may be higher: JPEG blurs the very end.
const CLIPPED_FROM: u8 = 254;
/// Share of the figure's pixels above which clipping is reported: fewer are glints on an edge or two.
const MOST_CLIPPED: f64 = 0.005;
/// Black primer reads about code 28 in full light and reaches 0 only in deep recesses.
const MOST_DROWNED: f64 = 0.03;

pub(super) fn check(plate: &Plate) -> Vec<Finding> {
    let (all, clipped, drowned) = plate
        .subject
        .photo
        .par_iter()
        .zip(&plate.subject.region)
        .filter(|(_, region)| **region != 0)
        .map(|(code, _)| {
            let clipped = code.iter().any(|code| *code >= CLIPPED_FROM);
            (1_usize, usize::from(clipped), usize::from(*code == [0; 3]))
        })
        .reduce(|| (0, 0, 0), |a, b| (a.0 + b.0, a.1 + b.1, a.2 + b.2));
    let percent = |part| format!("{:.1} %", 100.0 * share(part, all));
    let mut found = Vec::new();
    if share(clipped, all) > MOST_CLIPPED {
        found.push(Finding {
            found: format!("{} of the figure is clipped", percent(clipped)),
            expected: format!(
                "at most {:.1} % of its pixels at code {CLIPPED_FROM} or above: brighter detail is lost, and paint over it looks flat",
                100.0 * MOST_CLIPPED
            ),
            help: "take the photo again with less exposure (on a phone: touch the figure, then drag down), so that the brightest drybrushing is light grey",
        });
    }
    if share(drowned, all) > MOST_DROWNED {
        found.push(Finding {
            found: format!("{} of the figure is at code 0", percent(drowned)),
            expected: format!(
                "at most {:.0} %: recesses need a little light to show any detail",
                100.0 * MOST_DROWNED
            ),
            help: "use more light or a pale card opposite the lamp, and switch off automatic contrast and filters",
        });
    }
    found
}
