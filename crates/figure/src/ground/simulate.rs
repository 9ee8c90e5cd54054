//! What if the figure were primed the other way: another substrate, computed from the same two numbers per pixel.
//!
//! In: substrate and relief as photographed, 0…1. Out: the substrate that a figure primed otherwise would have there. The
//! light stays as it is. The curves are models of ours.

use crate::figure_file::UndercoatKind;

use super::points::UndercoatPoints;

/// Reflectance of white primer where the photo tells of none (from memory of matte white paint).
const WHITE: f64 = 0.80;
/// Reflectance of black primer without glare (from memory of matte black paint).
const BLACK: f64 = 0.012;
/// Relief above which a wash leaves the primer clean.
const WASH_UPTO: f64 = 0.35;
/// What the wash leaves of the primer's reflectance in the deepest recess.
const WASH_LEAVES: f64 = 0.18;

/// The undercoat that a scheme asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SimulatedUndercoat {
    /// The one in the photo.
    AsPhotographed,
    /// White primer, a dark wash in the recesses.
    WhiteWithWash,
    /// White primer alone.
    PlainWhite,
    /// Black primer, drybrushed up to white.
    BlackToWhite,
}

/// The substrate under a simulated undercoat, from substrate and relief of the photographed one (all 0…1).
#[must_use]
pub fn simulated_substrate(
    to: SimulatedUndercoat,
    points: &UndercoatPoints,
    substrate: f64,
    relief: f64,
) -> f64 {
    let white = if points.white.value >= 0.7 {
        points.white.value
    } else {
        WHITE
    };
    match (to, points.kind) {
        (SimulatedUndercoat::AsPhotographed, _)
        | (SimulatedUndercoat::WhiteWithWash, UndercoatKind::WhiteWithWash)
        | (SimulatedUndercoat::BlackToWhite, UndercoatKind::BlackToWhite) => substrate,
        (SimulatedUndercoat::PlainWhite, _) => white,
        (SimulatedUndercoat::WhiteWithWash, _) => {
            // A thin film's darkness grows with its depth, and its depth with the square of how far below the brim it is.
            let depth = ((WASH_UPTO - relief) / WASH_UPTO).clamp(0.0, 1.0);
            white * (WASH_LEAVES.ln() * depth * depth).exp()
        }
        (SimulatedUndercoat::BlackToWhite, _) => {
            let black = points.black.value.min(BLACK);
            black * (white / black).powf(relief.clamp(0.0, 1.0))
        }
    }
}
