//! A job made ready for a backend: one table per scheme and region, built once.

use std::collections::BTreeMap;

use rayon::prelude::*;
use velatura_figure::Underpainting;
use velatura_optics::table::Table;
use velatura_scheme::Scheme;
use velatura_shaders::apply::TableView;

use crate::load::Job;
use crate::parameters::Parameters;
use crate::registry::{Registry, none_left};
use crate::stage::AttachPoint;
use velatura_document::Error;

/// A scheme and its tables.
#[derive(Debug, Clone)]
pub struct PlannedScheme {
    /// The scheme.
    pub scheme: Scheme,
    /// One per region, in the figure's order; `None` where no coat lies.
    pub tables: Vec<Option<Table>>,
    /// The stages that have a part in it, by name, with their parameters.
    pub stages: BTreeMap<String, Parameters>,
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
/// No coat model is left; parameters that a stage does not allow.
pub fn plan(
    registry: &Registry,
    job: &Job,
    schemes: &[Scheme],
) -> Result<Vec<PlannedScheme>, Error> {
    let Underpainting { points, lamp, .. } = &job.underpainting;
    schemes
        .par_iter()
        .map(|scheme| {
            let models = job.stage_tables.in_use(&registry.coat_models(), scheme)?;
            let (_, model, parameters) = models
                .last()
                .ok_or_else(|| none_left(AttachPoint::CoatModel))?;
            let tables = scheme
                .regions
                .par_iter()
                .map(|stack| model.table(scheme, stack, points, &job.paints, *lamp, parameters))
                .collect();
            let finishes = job.stage_tables.in_use(&registry.finishes(), scheme)?;
            let finishes = finishes
                .into_iter()
                .map(|(entry, _, parameters)| (entry.info.name.clone(), parameters));
            Ok(PlannedScheme {
                scheme: scheme.clone(),
                tables,
                stages: finishes.collect(),
            })
        })
        .collect()
}
