//! Coat model: coats → table.

use velatura_figure::UndercoatPoints;
use velatura_optics::calibrate::PaintBox;
use velatura_optics::table::Table;
use velatura_scheme::{RegionStack, Scheme};

use super::Stage;
use crate::parameters::Parameters;

/// Turns the coats of one region into a table over substrate and relief.
pub trait CoatModel: Stage {
    /// The table; `None` where no coat lies.
    fn table(
        &self,
        scheme: &Scheme,
        stack: &RegionStack,
        points: &UndercoatPoints,
        paints: &PaintBox,
        lamp: [f64; 3],
        parameters: &Parameters,
    ) -> Option<Table>;
}
