//! Schemes made ready for a backend: one table per scheme and region, built once, and the finishes with their parameters.

use std::sync::Arc;

use rayon::prelude::*;
use velatura_document::Error;
use velatura_figure::Underpainting;
use velatura_optics::table::Table;
use velatura_scheme::Scheme;
use velatura_shaders::apply::TableView;

use crate::catalogue::{Entry, none_left};
use crate::parameters::Parameters;
use crate::run::Run;
use crate::stage::{AttachPoint, Finish};

/// A scheme, its tables and its finishes.
#[derive(Debug, Clone)]
pub struct PlannedScheme {
    /// The scheme.
    pub scheme: Scheme,
    /// One per region, in the figure's order; `None` where no coat lies.
    pub tables: Vec<Option<Table>>,
    /// The finishes that have something to do in it, in the order they run.
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
    /// The tables as the kernels read them, one per region in the figure's order; `None` where no coat lies.
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

impl Run<'_> {
    /// Builds every table of these schemes.
    ///
    /// # Errors
    /// The session has no coat model; parameters that a stage does not allow.
    pub fn plan(&self, schemes: &[Scheme]) -> Result<Vec<PlannedScheme>, Error> {
        let job = self.job();
        let Underpainting { points, lamp, .. } = &job.underpainting;
        let catalogue = job.session().catalogue();
        schemes
            .par_iter()
            .map(|scheme| {
                let models = job
                    .stage_tables
                    .in_use(&catalogue.coat_models(self.log()), scheme)?;
                let (_, model, parameters) = models
                    .last()
                    .ok_or_else(|| none_left(AttachPoint::CoatModel))?;
                let tables = scheme
                    .regions
                    .par_iter()
                    .map(|stack| model.table(scheme, stack, points, &job.paints, *lamp, parameters))
                    .collect();
                let finishes = job
                    .stage_tables
                    .in_use(&catalogue.finishes(self.log()), scheme)?;
                Ok(PlannedScheme {
                    scheme: scheme.clone(),
                    tables,
                    finishes: finishes
                        .into_iter()
                        .filter(|(_, finish, _)| finish.applies(scheme))
                        .map(|(entry, _, parameters)| PlannedFinish {
                            entry: Arc::clone(entry),
                            parameters,
                        })
                        .collect(),
                })
            })
            .collect()
    }

    /// The finishes of a planned scheme that are not the program's own and have not failed, by name.
    #[must_use]
    pub fn added_finishes(&self, planned: &PlannedScheme) -> Vec<String> {
        self.finishes(planned)
            .filter(|finish| !finish.entry.is_built_in())
            .map(|finish| finish.entry.info.name.clone())
            .collect()
    }

    /// The finishes of a planned scheme that have not failed.
    pub(crate) fn finishes<'p>(
        &'p self,
        planned: &'p PlannedScheme,
    ) -> impl Iterator<Item = &'p PlannedFinish> {
        planned
            .finishes
            .iter()
            .filter(|finish| !self.log().has_left_out(&finish.entry.info.name))
    }
}
