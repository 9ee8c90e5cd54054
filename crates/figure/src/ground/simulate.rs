//! What if the figure were primed the other way: another substrate, computed from the same two numbers per pixel.
//!
//! In: substrate and relief as photographed, 0…1. Out: the substrate that a figure primed otherwise would have there. The
//! light stays as it is. The curves are models of ours.

use velatura_optics::relief::Relief;

use crate::figure_keys::UndercoatKind;

use super::points::{Origin, UndercoatPoints};

/// Reflectance of white primer if the photo shows none (from memory of matte white paint).
const WHITE: f64 = 0.80;
/// Reflectance of black primer without glare (from memory of matte black paint).
const BLACK: f64 = 0.012;
/// What the wash leaves of the primer's reflectance in the deepest recess.
const WASH_LEAVES: f64 = 0.3;
/// Relief between which a wash thins out from all to nothing.
const WASH_RELIEF: [f64; 2] = [0.05, 0.40];
/// Drybrushed reflectance between which it does: where the brush has reached, a wash would have run off.
const WASH_SUBSTRATE: [f64; 2] = [0.015, 0.09];
/// Below 1 a drybrush reaches more than every other pixel. Chosen on the demo's Lamplighter so that previews of it washed come
/// out as light on average as the same figure drybrushed.
const BRUSH_REACH: f64 = 0.6;
/// Light that a white figure throws into its own hollows, where the photo shows them on a dark one.
const WHITE_BOUNCE: f32 = 0.38;

/// The undercoat that a scheme simulates.
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

impl SimulatedUndercoat {
    /// Whether it is another undercoat than that of the photo.
    #[must_use]
    pub fn changes(self, points: &UndercoatPoints) -> bool {
        !matches!(
            (self, points.kind),
            (Self::AsPhotographed, _)
                | (Self::WhiteWithWash, UndercoatKind::WhiteWithWash)
                | (Self::BlackToWhite, UndercoatKind::BlackToWhite)
        )
    }
}

/// The substrate under a simulated undercoat, from substrate and number of the relief plane (all 0…1).
#[must_use]
pub fn simulated_substrate(
    to: SimulatedUndercoat,
    points: &UndercoatPoints,
    substrate: f64,
    relief: f64,
) -> f64 {
    let relief = Relief::of(relief).height;
    let white = if points.white.value >= 0.7 {
        points.white.value
    } else {
        WHITE
    };
    if !to.changes(points) {
        return substrate;
    }
    match to {
        SimulatedUndercoat::AsPhotographed => substrate,
        SimulatedUndercoat::PlainWhite => white,
        SimulatedUndercoat::WhiteWithWash => {
            let hollow = 1.0 - smooth_step(WASH_RELIEF, relief);
            // A plainly primed figure was not drybrushed: only its relief shows where hollows are.
            let missed = match points.kind {
                UndercoatKind::Plain => 1.0,
                _ => 1.0 - smooth_step(WASH_SUBSTRATE, substrate),
            };
            white * libm::exp(libm::log(WASH_LEAVES) * hollow * missed)
        }
        SimulatedUndercoat::BlackToWhite => {
            let black = points.black.value.min(BLACK);
            black
                * libm::pow(
                    white / black,
                    libm::pow(relief.clamp(0.0, 1.0), BRUSH_REACH),
                )
        }
    }
}

/// How much light the simulated undercoat throws into hollows that the photographed one left dark.
#[must_use]
pub fn simulated_bounce(to: SimulatedUndercoat, points: &UndercoatPoints) -> f32 {
    // Light that was only guessed from the tone is flatter than light is, and needs no lifting.
    if points.light_share.from != Origin::Measured {
        return 0.0;
    }
    match (to, points.kind) {
        (
            SimulatedUndercoat::WhiteWithWash | SimulatedUndercoat::PlainWhite,
            UndercoatKind::BlackToWhite,
        ) => WHITE_BOUNCE,
        _ => 0.0,
    }
}

/// 0 up to the first mark, 1 from the second on, and a smooth cubic between them.
fn smooth_step([from, to]: [f64; 2], at: f64) -> f64 {
    let t = ((at - from) / (to - from)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}
