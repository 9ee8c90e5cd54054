//! A photo so dark that even the brightest undercoat is dark grey.

use super::Finding;
use crate::figure_file::FigureFile;
use crate::figure_keys::UndercoatKind;
use crate::plate::Plate;

/// Luminance that the brightest undercoat should have at least: properly exposed white drybrushing has about 0.8, and at two stops
/// less, 0.2, the recesses are in the noise of a phone's camera (common practice, no source).
const LEAST_BRIGHT: f64 = 0.2;
/// The share of the figure's pixels that may be brighter than what counts as its brightest undercoat: glints.
const GLINTS: f64 = 0.002;

/// A plain primer may be black: then there is no bright undercoat.
pub(super) fn check(plate: &Plate, figure: &FigureFile) -> Option<Finding> {
    if figure.undercoat.kind.value == UndercoatKind::Plain {
        return None;
    }
    let mut counts = vec![0_usize; usize::from(u16::MAX) + 1];
    let pixels = plate.luminance.iter().zip(&plate.subject.region);
    for (luminance, _) in pixels.filter(|(_, region)| **region != 0) {
        counts[usize::from(*luminance)] += 1;
    }
    let all: usize = counts.iter().sum();
    let mut brighter = 0;
    let brightest = (0..counts.len()).rev().find(|level| {
        brighter += counts[*level];
        brighter > 0 && super::share(brighter, all) > GLINTS
    })?;
    #[allow(clippy::cast_precision_loss, reason = "at most 65535")]
    let brightest = brightest as f64 / f64::from(u16::MAX);
    (brightest < LEAST_BRIGHT).then(|| Finding {
        found: format!("the photo is dark: the brightest undercoat has luminance {brightest:.2}"),
        expected: format!(
            "{LEAST_BRIGHT} or more, better 0.7: below that, noise hides the recesses"
        ),
        help: "use more light, or expose longer, so that the brightest drybrushing is light grey",
    })
}
