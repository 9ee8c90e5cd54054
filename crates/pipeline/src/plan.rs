//! Schemes made ready for a run: their tables are built and their finishes found.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use rayon::prelude::*;
use velatura_document::Error;
use velatura_figure::{SimulatedUndercoat, UndercoatPoints, Underpainting, simulated_substrate};
use velatura_optics::undercoat_table::UndercoatTable;
use velatura_scheme::Scheme;

use crate::catalogue::none_left;
use crate::planned::{PlannedFinish, PlannedScheme};
use crate::run::Run;
use crate::stage::AttachPoint;

impl Run<'_> {
    /// Builds every table of these schemes.
    ///
    /// # Errors
    /// The session has no coat model; parameters that a stage does not allow.
    pub fn plan(&self, schemes: &[Scheme]) -> Result<Vec<PlannedScheme>, Error> {
        let job = self.job();
        let Underpainting {
            subject, points, ..
        } = &job.underpainting;
        let catalogue = job.session().catalogue();
        let undercoats = undercoats(schemes, points);
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
                    .map(|stack| {
                        model.table(scheme, stack, points, &job.paints, subject.lamp, parameters)
                    })
                    .collect();
                let finishes = job
                    .stage_tables
                    .in_use(&catalogue.finishes(self.log()), scheme)?;
                Ok(PlannedScheme {
                    scheme: scheme.clone(),
                    undercoat: undercoats.get(&scheme.undercoat).cloned(),
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

    /// The finishes of a planned scheme that are not built in and have not failed, by name.
    #[must_use]
    pub fn added_finishes(&self, planned: &PlannedScheme) -> Vec<String> {
        self.finishes(planned)
            .filter(|finish| !finish.entry.is_built_in())
            .map(|finish| finish.entry.info.name.clone())
            .collect()
    }
}

/// The tables of all undercoats that schemes simulate, each made once.
fn undercoats(
    schemes: &[Scheme],
    points: &UndercoatPoints,
) -> HashMap<SimulatedUndercoat, Arc<UndercoatTable>> {
    let simulated = schemes.iter().map(|scheme| scheme.undercoat);
    let simulated: HashSet<SimulatedUndercoat> =
        simulated.filter(|to| to.changes(points)).collect();
    simulated
        .into_par_iter()
        .map(|to| {
            let table = UndercoatTable::new(|substrate, relief| {
                simulated_substrate(to, points, substrate, relief)
            });
            (to, Arc::new(table))
        })
        .collect()
}
