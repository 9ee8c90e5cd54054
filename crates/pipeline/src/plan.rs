//! A job made ready for a backend: one table per scheme and region, built once.

use rayon::prelude::*;
use velatura_figure::Underpainting;
use velatura_optics::table::Table;
use velatura_scheme::Scheme;
use velatura_shaders::apply::TableView;

use crate::error::Error;
use crate::load::Job;
use crate::registry::Registry;

/// A scheme and its tables.
#[derive(Debug, Clone)]
pub struct PlannedScheme {
    /// The scheme.
    pub scheme: Scheme,
    /// One per region, in the figure's order; `None` where no coat lies.
    pub tables: Vec<Option<Table>>,
}

impl PlannedScheme {
    /// The tables as the kernels read them.
    #[must_use]
    pub fn views(&self) -> Vec<Option<TableView<'_>>> {
        fn view(table: &Table) -> TableView<'_> {
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

/// Builds every table of a job.
///
/// # Errors
/// No coat model is registered.
pub fn plan(
    registry: &Registry,
    job: &Job,
    schemes: &[Scheme],
) -> Result<Vec<PlannedScheme>, Error> {
    let model = registry.coat_model()?;
    let Underpainting { points, lamp, .. } = &job.underpainting;
    Ok(schemes
        .par_iter()
        .map(|scheme| {
            let tables = scheme
                .regions
                .par_iter()
                .map(|stack| model.table(scheme, stack, points, &job.paints, *lamp))
                .collect();
            PlannedScheme {
                scheme: scheme.clone(),
                tables,
            }
        })
        .collect())
}
