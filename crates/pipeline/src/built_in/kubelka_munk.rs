//! Coats to a table by finite-film Kubelka–Munk in 31 bands: `velatura-optics` does the work.

use velatura_figure::{UndercoatPoints, simulated_bounce};
use velatura_optics::calibrate::PaintBox;
use velatura_optics::colour::Linear;
use velatura_optics::table::{ColourTable, Request};
use velatura_scheme::{RegionStack, Scheme};

use super::info;
use crate::parameters::Parameters;
use crate::stage::{AttachPoint, CoatModel, Stage, StageInfo};

/// Kubelka–Munk with Saunderson's surface, tabulated.
#[derive(Debug)]
pub(super) struct KubelkaMunk;

impl Stage for KubelkaMunk {
    fn info(&self) -> StageInfo {
        let takes = "coats of one region, undercoat, lamp";
        info(
            AttachPoint::CoatModel,
            "kubelka-munk",
            takes,
            "table: substrate × relief → linear sRGB",
        )
        .with_reach_px(0)
    }
}

impl CoatModel for KubelkaMunk {
    fn table(
        &self,
        scheme: &Scheme,
        stack: &RegionStack,
        points: &UndercoatPoints,
        paints: &PaintBox,
        lamp: [f64; 3],
        _: &Parameters,
    ) -> Option<ColourTable> {
        kubelka_munk_table(scheme, stack, points, paints, lamp)
    }
}

/// The table of the built-in coat model, for a model that changes its result; `None` if there is no coat.
#[must_use]
pub fn kubelka_munk_table(
    scheme: &Scheme,
    stack: &RegionStack,
    points: &UndercoatPoints,
    paints: &PaintBox,
    lamp: [f64; 3],
) -> Option<ColourTable> {
    if stack.coats.is_empty() {
        return None;
    }
    let table = ColourTable::new(&Request {
        coats: &stack.coats,
        specular: paints.cards.specular,
        lamp: Linear(lamp),
    });
    Some(ColourTable {
        bounce: simulated_bounce(scheme.undercoat, points),
        ..table
    })
}
