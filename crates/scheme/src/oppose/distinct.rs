//! An opposite that nobody confuses with its scheme, by another way of inverting if need be.

use velatura_document::Error;
use velatura_optics::colour::Lab;

use super::{Opposed, Opposing, Way, oppose_watched};
use crate::apart::Looks;
use crate::resolve::Scheme;
use crate::watch::Watch;

/// The opposite that stands apart from its scheme, or the one that comes nearest to that.
#[derive(Debug, Clone)]
pub struct DistinctOpposite {
    /// The opposite.
    pub opposed: Opposed,
    /// The way in which its colours were inverted.
    pub way: Way,
    /// Whether it could be confused with the scheme in some colour vision, by the mean colours of the parts.
    pub confusable: bool,
}

/// The opposite by the way asked for, or the first by one of the others that stands clearly apart from the scheme in every colour
/// vision; if none does, the one that is furthest from it. Each way takes a search of its own.
///
/// # Errors
/// [`Error::Cancelled`] if it was stopped.
///
/// # Panics
/// If the grid names a paint that is not in the box.
pub fn distinct_opposite(
    opposing: &Opposing<'_>,
    others: &[Way],
    watch: &Watch<'_>,
) -> Result<DistinctOpposite, Error> {
    let own = Looks::new(&dried(opposing, opposing.scheme));
    let mut best: Option<(f64, DistinctOpposite)> = None;
    for way in std::iter::once(&opposing.way).chain(others) {
        let asked = Opposing {
            way: *way,
            ..opposing.clone()
        };
        let opposed = oppose_watched(&asked, watch)?;
        let far = own.worst(&dried(opposing, &opposed.scheme));
        let found = DistinctOpposite {
            opposed,
            way: *way,
            confusable: !Looks::is_clear(far),
        };
        if !found.confusable {
            return Ok(found);
        }
        if best.as_ref().is_none_or(|(other, _)| far > *other) {
            best = Some((far, found));
        }
    }
    Ok(best.expect("the way asked for was tried").1)
}

/// The share and the mean dried colour of every region.
fn dried(opposing: &Opposing<'_>, scheme: &Scheme) -> Vec<(f64, Lab)> {
    let ground = opposing.ground;
    let regions = ground
        .summary
        .regions
        .iter()
        .zip(&scheme.regions)
        .enumerate();
    regions
        .map(|(index, (region, stack))| {
            let dried = ground.dried(index, scheme.undercoat, &stack.coats);
            (region.area, dried.lab())
        })
        .collect()
}
