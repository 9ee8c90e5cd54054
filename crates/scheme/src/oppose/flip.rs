//! The other way of priming.

use velatura_figure::{SimulatedUndercoat, UndercoatKind, UndercoatPoints};

/// The undercoat of the opposite scheme.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Undercoat {
    /// The other way of priming: black-to-white for white, white with a wash for black.
    Flipped,
    /// The same as the scheme's own.
    Kept,
    /// This one.
    As(SimulatedUndercoat),
}

/// Reflectance from which a plain primer counts as light.
const LIGHT_PRIMER: f64 = 0.3;

/// The undercoat of the opposite scheme and why, in one sentence.
pub(super) fn undercoat(
    wanted: Undercoat,
    own: SimulatedUndercoat,
    points: &UndercoatPoints,
) -> (SimulatedUndercoat, String) {
    match wanted {
        Undercoat::As(given) => (given, "as requested".to_owned()),
        Undercoat::Kept => (own, "kept as requested".to_owned()),
        Undercoat::Flipped if is_light(own, points) => (
            as_photographed_if_so(SimulatedUndercoat::BlackToWhite, points),
            "flipped from white: the opposite of a bright palette is dark and keeps its depth over black primer with drybrushing".to_owned(),
        ),
        Undercoat::Flipped => (
            as_photographed_if_so(SimulatedUndercoat::WhiteWithWash, points),
            "flipped to white with a wash: a bright palette needs a bright undercoat; translucent paint over black stays nearly black".to_owned(),
        ),
    }
}

fn is_light(undercoat: SimulatedUndercoat, points: &UndercoatPoints) -> bool {
    match (undercoat, points.kind) {
        (SimulatedUndercoat::WhiteWithWash | SimulatedUndercoat::PlainWhite, _)
        | (SimulatedUndercoat::AsPhotographed, UndercoatKind::WhiteWithWash) => true,
        (SimulatedUndercoat::BlackToWhite, _)
        | (SimulatedUndercoat::AsPhotographed, UndercoatKind::BlackToWhite) => false,
        (SimulatedUndercoat::AsPhotographed, UndercoatKind::Plain) => {
            points.white.value >= LIGHT_PRIMER
        }
    }
}

/// A photographed undercoat is better than the same one simulated.
fn as_photographed_if_so(to: SimulatedUndercoat, points: &UndercoatPoints) -> SimulatedUndercoat {
    match (to, points.kind) {
        (SimulatedUndercoat::BlackToWhite, UndercoatKind::BlackToWhite)
        | (SimulatedUndercoat::WhiteWithWash, UndercoatKind::WhiteWithWash) => {
            SimulatedUndercoat::AsPhotographed
        }
        _ => to,
    }
}
