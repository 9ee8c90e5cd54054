//! A team by the mean colours of its parts, as every kind of eye sees it: what searches use in place of pixels.

use velatura_optics::colour::{Lab, Linear};
use velatura_optics::vision::{Deficiency, Eye};

use super::{ALIKE, APART, Area, Look, dominant, shades};

/// How much farther apart than [`APART`] two teams must be by mean colours: a search compares them in full light, and a photo with
/// shade has less difference. On the demo figures the distance in the photo was 0.85 of this one or more.
const CLEARLY: f64 = 1.2 * APART;

/// A team as every kind of eye sees it.
pub(crate) struct Looks(Vec<(Eye, Look)>);

impl Looks {
    /// Regions with these shares of the surface and these mean colours.
    pub(crate) fn new(regions: &[(f64, Lab)]) -> Self {
        Self(eyes().map(|eye| (eye, look(&eye, regions))).collect())
    }

    /// Whether other regions stand clearly apart from this team in every colour vision.
    pub(crate) fn are_clear_of(&self, regions: &[(f64, Lab)]) -> bool {
        Self::is_clear(self.worst(regions))
    }

    /// Whether a distance is enough.
    pub(crate) fn is_clear(distance: f64) -> bool {
        distance >= CLEARLY
    }

    /// The least distance that any eye sees, in units of CIELAB.
    pub(crate) fn worst(&self, regions: &[(f64, Lab)]) -> f64 {
        let each = self.0.iter().map(|(eye, theirs)| {
            let own = look(eye, regions);
            let distance = own.distance(theirs);
            // As near as if it were confused at a glance.
            match own.same_dominant(theirs) {
                true => distance.min(ALIKE),
                false => distance,
            }
        });
        each.fold(f64::INFINITY, f64::min)
    }
}

/// Normal vision, and each simulated one at full severity.
fn eyes() -> impl Iterator<Item = Eye> {
    let simulated = Deficiency::ALL
        .into_iter()
        .map(|kind| Eye::machado(kind, 1.0));
    std::iter::once(Eye::USUAL).chain(simulated)
}

/// What an eye sees of regions with these shares and colours.
fn look(eye: &Eye, regions: &[(f64, Lab)]) -> Look {
    let areas: Vec<Area> = regions
        .iter()
        .map(|(share, colour)| Area {
            colour: Linear(
                eye.sees(colour.linear())
                    .0
                    .map(|channel| channel.clamp(0.0, 1.0)),
            ),
            share: *share,
        })
        .collect();
    let points: Vec<(Linear, f64)> = areas.iter().map(|area| (area.colour, area.share)).collect();
    let dominant = dominant(&areas);
    Look {
        shades: shades(&points),
        dominant: dominant
            .as_ref()
            .map_or(Lab([0.0; 3]), |one| one.colour.lab()),
        dominant_share: dominant.map_or(0.0, |one| one.share),
    }
}
