//! A scheme prepared for a run: one table per region, built once, and the finishes with their parameters.

use std::sync::Arc;

use velatura_optics::table::ColourTable;
use velatura_optics::undercoat_table::UndercoatTable;
use velatura_scheme::Scheme;
use velatura_shaders::apply::{TableView, UndercoatView};

use crate::catalogue::Entry;
use crate::parameters::Parameters;
use crate::stage::Finish;

/// A scheme, its tables and its finishes.
#[derive(Debug, Clone)]
pub struct PlannedScheme {
    /// The scheme.
    pub scheme: Scheme,
    /// The simulated undercoat under all coats; `None` as photographed.
    pub undercoat: Option<Arc<UndercoatTable>>,
    /// One per region, in the figure's order; `None` if there is no coat.
    pub tables: Vec<Option<ColourTable>>,
    /// The finishes that apply to it, in the order they run.
    pub(crate) finishes: Vec<PlannedFinish>,
}

/// A finish with its parameters for one scheme.
#[derive(Debug, Clone)]
pub(crate) struct PlannedFinish {
    pub(crate) entry: Arc<Entry>,
    pub(crate) parameters: Parameters,
}

impl PlannedFinish {
    pub(crate) fn stage(&self) -> &dyn Finish {
        self.entry.finish().expect("planned from a finish")
    }
}

impl PlannedScheme {
    /// The tables for the kernels, one per region in the figure's order; `None` if there is no coat.
    #[must_use]
    pub fn views(&self) -> Vec<Option<TableView<'_>>> {
        let undercoat = self.undercoat.as_ref().map(|table| UndercoatView {
            substrate_steps: table.substrate_steps,
            relief_steps: table.relief_steps,
            entries: &table.entries,
        });
        let tables = self.tables.iter().map(Option::as_ref);
        tables
            .map(|table| {
                let table = table?;
                Some(TableView {
                    substrate_steps: table.substrate_steps,
                    relief_steps: table.relief_steps,
                    entries: &table.entries,
                    bounce: table.bounce,
                    undercoat,
                })
            })
            .collect()
    }
}
