//! A scheme with other mixes in some of its coats, to compare with the one it was made from.

use velatura_optics::calibrate::PaintBox;
use velatura_optics::coat::Coat;
use velatura_optics::mixture::Mix;
use velatura_optics::trust::Trust;

use crate::resolve::Scheme;

/// Another mix for one coat.
#[derive(Debug, Clone)]
pub struct Change {
    /// The region's index in the figure's order.
    pub region: usize,
    /// The coat's index in the region, 0 for the lowest; one more than there are coats adds a coat.
    pub coat: usize,
    /// The mix.
    pub mix: Mix,
    /// Its film; without one, that of the coat it replaces, or 1.
    pub film: Option<f64>,
}

impl Scheme {
    /// The same scheme under another name, with these changes. Where and how a changed coat lies stays as it was.
    ///
    /// # Panics
    /// If a change names a region that the scheme does not have, or leaves a gap between coats.
    #[must_use]
    pub fn changed(&self, name: String, changes: &[Change], paints: &PaintBox) -> Self {
        let mut scheme = self.clone();
        scheme.name = name;
        for change in changes {
            let stack = &mut scheme.regions[change.region];
            let optics = paints.mixed(&change.mix);
            if change.coat < stack.coats.len() {
                let coat = &mut stack.coats[change.coat];
                coat.optics = optics;
                coat.film = change.film.unwrap_or(coat.film);
                stack.mixes[change.coat] = change.mix.clone();
            } else {
                assert_eq!(change.coat, stack.coats.len(), "no gap between coats");
                let film = change.film.unwrap_or(1.0);
                stack.coats.push(Coat::even(optics, film));
                stack.mixes.push(change.mix.clone());
            }
            let of_mixes = stack.mixes.iter().map(|mix| paints.trust(mix));
            stack.trust = Trust::weakest(std::iter::once(Trust::AS_PHOTOGRAPHED).chain(of_mixes));
        }
        scheme
    }
}
