//! A scheme prepared for a run: one table per region, built once, and the finishes with their parameters.

use std::sync::Arc;

use velatura_optics::table::ColourTable;
use velatura_scheme::Scheme;
use velatura_shaders::apply::TableView;

use crate::catalogue::Entry;
use crate::parameters::Parameters;
use crate::stage::Finish;

/// A scheme, its tables and its finishes.
#[derive(Debug, Clone)]
pub struct PlannedScheme {
    /// The scheme.
    pub scheme: Scheme,
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
        fn view(table: &ColourTable) -> TableView<'_> {
            TableView {
                substrate_steps: table.substrate_steps,
                relief_steps: table.relief_steps,
                entries: &table.entries,
                bounce: table.bounce,
            }
        }
        self.tables
            .iter()
            .map(|table| table.as_ref().map(view))
            .collect()
    }
}
