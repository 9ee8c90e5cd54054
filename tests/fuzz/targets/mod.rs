//! The targets, in the order of a soak.

mod calls;
mod card;
mod faults;
mod import;
mod job;
mod layout;
mod paints;
mod pair;
mod plugin;
mod search;
mod spectrum;
mod strokes;

use crate::kit::Target;

/// All of them. The shares follow the time of a case: a soak takes about as long for each.
pub(crate) fn all() -> Vec<Target> {
    vec![
        job::FIGURE_TARGET,
        paints::TARGET,
        job::SCHEMES_TARGET,
        job::JOB_TARGET,
        job::PICTURES_TARGET,
        strokes::TARGET,
        layout::TARGET,
        card::TARGET,
        import::TARGET,
        spectrum::TARGET,
        calls::TARGET,
        search::TARGET,
        pair::TARGET,
        plugin::TARGET,
        faults::TARGET,
    ]
}
