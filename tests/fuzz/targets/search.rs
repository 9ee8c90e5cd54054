//! Searches for mixes and schemes with changed paints.

use rand::RngExt;
use velatura_document::SourceText;
use velatura_pipeline::figure::{SimulatedUndercoat, parts};
use velatura_pipeline::optics::colour::Encoded;
use velatura_pipeline::scheme::matching::{Effort, Grid, Matching, find};
use velatura_pipeline::scheme::{
    Exploring, HueSpace, Opposing, Proposed, Scheme, Substrate, Undercoat, Watch, Way, explore,
    oppose, painting_order, read_schemes_file, schemes_text,
};

use super::job::{change, loaded};
use crate::kit::base::{PAINTS, figure};
use crate::kit::case::Case;
use crate::kit::oracle::{finite, must};
use crate::kit::{Target, Verdict};

pub(crate) const TARGET: Target = Target {
    name: "search",
    share: 4,
    make: |chance| {
        let case = {
            let case = figure(chance);
            change(case, PAINTS, chance)
        };
        let seed: u32 = chance.random();
        case.value(seed.to_string())
            .value(chance.random_range(1..5).to_string())
    },
    run,
};

/// Values: the seed, and the most paints of a scheme.
fn run(case: &Case) -> Verdict {
    let Some(job) = loaded(case)? else {
        return Ok(());
    };
    let (paints, ground) = (&job.paints, job.ground());
    let below = Substrate::of_colour(Encoded([0xe0; 3]).linear(), paints.cards.specular);
    let matching = Matching::new(paints, Encoded([0x50, 0x80, 0x40]).linear().lab(), below);
    let effort = Effort {
        colours: 20_000,
        watch: Watch::nobody(),
    };
    let found = find(paints, &matching, &effort).map_err(|why| why.to_string())?;
    for one in &found.mixes {
        finite("ΔE of a match", [one.delta_e, one.film])?;
    }
    let explored = explore(&Exploring {
        paints,
        ground: &ground,
        undercoat: SimulatedUndercoat::AsPhotographed,
        team: "Lamplighters",
        count: 3,
        seed: case.number(0) as u64,
        most_paints: case.number(1).max(1),
        max_parts: 10,
        parts: &parts(&job.figure),
        mood: None,
        kept: &[],
        against: None,
    });
    finite("distances", [explored.least_distance, explored.by_chance])?;
    let mut schemes: Vec<Scheme> = explored
        .proposals
        .into_iter()
        .map(|proposal| proposal.scheme)
        .collect();
    if let Some(scheme) = job.schemes.first() {
        let opposed = oppose(&Opposing {
            scheme,
            scheme_paints: paints,
            ground: &ground,
            paints,
            grid: Grid::of_owned(paints),
            way: Way::Both(HueSpace::Oklch),
            undercoat: Undercoat::Flipped,
            parts: &parts(&job.figure),
            kept: &[],
        });
        finite(
            "ΔE of opposites",
            opposed
                .regions
                .iter()
                .flat_map(|one| [one.delta_e, one.reachable]),
        )?;
        schemes.push(opposed.scheme);
    }
    let proposed: Vec<Proposed> = schemes
        .into_iter()
        .map(|scheme| Proposed {
            order: painting_order(&scheme, &ground),
            remarks: Vec::new(),
            scheme,
        })
        .collect();
    let text = schemes_text(&proposed, paints, &[]);
    let again = read_schemes_file(&SourceText::new("schemes.toml", &text));
    must(again.is_ok() || proposed.is_empty(), || {
        format!("the schemes cannot be read again: {again:?}\n{text}")
    })
}
