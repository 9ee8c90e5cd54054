//! Two teams from changed jobs.

use rand::RngExt;
use velatura::{MemoryOutputs, PairOptions, Side, pair};

use super::job::{change, loaded, with_pictures};
use crate::kit::base::{FIGURE, PAINTS, SCHEMES, figure};
use crate::kit::case::Case;
use crate::kit::oracle::written;
use crate::kit::{Chance, Target, Verdict};

pub(crate) const TARGET: Target = Target {
    name: "pair",
    share: 2,
    make,
    run,
};

fn make(chance: &mut Chance) -> Case {
    let case = figure(chance);
    match chance.random_range(0..4) {
        0 => with_pictures(case, chance),
        1 => change(case, PAINTS, chance),
        2 => change(case, SCHEMES, chance),
        _ => change(case, FIGURE, chance),
    }
}

fn run(case: &Case) -> Verdict {
    let Some(job) = loaded(case)? else {
        return Ok(());
    };
    let last = job.schemes.len().saturating_sub(1);
    if job.schemes.is_empty() {
        return Ok(());
    }
    let sides = [0, last].map(|scheme| Side { job: &job, scheme });
    let outputs = MemoryOutputs::new();
    let result = pair(&sides, &PairOptions::default(), &outputs);
    written(&result, &outputs)
}
