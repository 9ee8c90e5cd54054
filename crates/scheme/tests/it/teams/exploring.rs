use velatura_figure::SimulatedUndercoat;
use velatura_optics::calibrate::PaintBox;
use velatura_optics::colour::{Lab, delta_e};
use velatura_optics::mixture::Mix;
use velatura_scheme::{Exploration, Exploring, FigureGround, Mood, Proposal, Rival, explore};

use crate::teams::stage::{ground, paints};

const AREAS: [f64; 3] = [0.6, 0.3, 0.1];

struct Scene {
    paints: PaintBox,
    ground: FigureGround,
}

fn scene() -> Scene {
    let paints = paints();
    Scene {
        ground: ground(&paints),
        paints,
    }
}

impl Scene {
    fn wish(&self) -> Exploring<'_> {
        Exploring {
            paints: &self.paints,
            ground: &self.ground,
            undercoat: SimulatedUndercoat::AsPhotographed,
            team: "Reedwardens",
            count: 10,
            seed: 7,
            most_paints: 3,
            mood: None,
            kept: &[],
            against: None,
        }
    }
}

fn distance(a: &Proposal, b: &Proposal) -> f64 {
    let pairs = a.colours.iter().zip(&b.colours).zip(AREAS);
    pairs.map(|((a, b), area)| area * delta_e(*a, *b)).sum()
}

fn least(proposals: &[Proposal]) -> f64 {
    let mut least = f64::INFINITY;
    for (at, one) in proposals.iter().enumerate() {
        for other in &proposals[at + 1..] {
            least = least.min(distance(one, other));
        }
    }
    least
}

fn mean_lightness(found: &Exploration) -> f64 {
    let of = |proposal: &Proposal| -> f64 {
        proposal
            .colours
            .iter()
            .zip(AREAS)
            .map(|(lab, area)| area * lab.0[0])
            .sum()
    };
    #[allow(clippy::cast_precision_loss, reason = "ten")]
    let count = found.proposals.len() as f64;
    found.proposals.iter().map(of).sum::<f64>() / count
}

#[test]
fn proposals_lie_at_least_twice_as_far_apart_as_chance_lays_them() {
    let scene = scene();
    for seed in [1, 2, 3] {
        let found = explore(&Exploring {
            seed,
            ..scene.wish()
        });
        println!(
            "seed {seed}: {:.1}, by chance {:.1}, {} fit",
            found.least_distance, found.by_chance, found.fitting
        );
        assert_eq!(found.proposals.len(), 10);
        assert!((least(&found.proposals) - found.least_distance).abs() < 1e-9);
        assert!(found.least_distance >= 2.0 * found.by_chance, "seed {seed}");
        assert!(found.by_chance > 0.0);
    }
}

#[test]
fn every_rule_holds_in_every_proposal() {
    let scene = scene();
    let paints = &scene.paints;
    let found = explore(&scene.wish());
    for proposal in &found.proposals {
        println!("{}: {}", proposal.scheme.name, proposal.reason);
        let mut used: Vec<usize> = Vec::new();
        for stack in &proposal.scheme.regions {
            assert_eq!((stack.coats.len(), stack.mixes.len()), (1, 1));
            used.extend(stack.mixes[0].paints.iter().map(|(paint, _)| *paint));
        }
        assert!(
            used.iter().all(|paint| paints.paints[*paint].owned),
            "only owned paints"
        );
        used.sort_unstable();
        used.dedup();
        assert!(used.len() <= 3, "{used:?}");
        // Cloak touches hood and boots.
        for other in [1, 2] {
            assert!(delta_e(proposal.colours[0], proposal.colours[other]) >= 8.0);
        }
        assert!(!proposal.reason.contains('\n') && proposal.reason.contains("60 %"));
        assert_eq!(proposal.scheme.team, "Reedwardens");
    }
    let names: std::collections::BTreeSet<_> =
        found.proposals.iter().map(|p| &p.scheme.name).collect();
    assert_eq!(names.len(), 10);
}

#[test]
fn the_colours_reported_are_those_of_the_scheme_on_the_figure() {
    let scene = scene();
    let ground = &scene.ground;
    for proposal in &explore(&scene.wish()).proposals {
        for (region, reported) in proposal.colours.iter().enumerate() {
            let scheme = &proposal.scheme;
            let dried = ground.dried(region, scheme.undercoat, &scheme.regions[region].coats);
            assert!(delta_e(dried.lab(), *reported) < 0.01);
        }
    }
}

#[test]
fn the_same_seed_gives_the_same_and_another_gives_others() {
    let scene = scene();
    let mixes = |found: Exploration| -> Vec<Vec<Mix>> {
        let of = |p: Proposal| {
            p.scheme
                .regions
                .into_iter()
                .flat_map(|stack| stack.mixes)
                .collect()
        };
        found.proposals.into_iter().map(of).collect()
    };
    let first = mixes(explore(&scene.wish()));
    assert_eq!(first, mixes(explore(&scene.wish())));
    assert_ne!(
        first,
        mixes(explore(&Exploring {
            seed: 8,
            ..scene.wish()
        }))
    );
}

#[test]
fn moods_differ_in_lightness_and_chroma() {
    let scene = scene();
    let [bright, dark] = [Mood::Bright, Mood::Dark].map(|mood| {
        mean_lightness(&explore(&Exploring {
            mood: Some(mood),
            ..scene.wish()
        }))
    });
    assert!(bright > dark + 10.0, "{bright} {dark}");
    let chroma = |found: &Exploration| -> f64 {
        let all = found
            .proposals
            .iter()
            .flat_map(|proposal| proposal.colours.iter().zip(AREAS));
        all.map(|(lab, area)| area * lab.0[1].hypot(lab.0[2])).sum()
    };
    let muted = explore(&Exploring {
        mood: Some(Mood::Muted),
        ..scene.wish()
    });
    assert!(chroma(&muted) < chroma(&explore(&scene.wish())) * 0.7);
}

#[test]
fn a_kept_region_keeps_its_mix_in_every_proposal() {
    let scene = scene();
    let kept = [(
        1,
        Mix {
            paints: vec![(1, 2.0)],
            medium: 3.0,
        },
    )];
    let found = explore(&Exploring {
        kept: &kept,
        ..scene.wish()
    });
    assert_eq!(found.proposals.len(), 10);
    for proposal in &found.proposals {
        assert_eq!(proposal.scheme.regions[1].mixes, [kept[0].1.clone()]);
    }
}

#[test]
fn schemes_against_a_rival_stand_further_from_it() {
    let scene = scene();
    let rival = Rival {
        regions: vec![(1.0, Lab([30.0, 25.0, 15.0]))],
    };
    let apart = |found: &Exploration| -> f64 {
        let all = found
            .proposals
            .iter()
            .flat_map(|proposal| proposal.colours.iter().zip(AREAS));
        all.map(|(lab, area)| area * delta_e(*lab, rival.regions[0].1))
            .sum()
    };
    let against = apart(&explore(&Exploring {
        against: Some(&rival),
        ..scene.wish()
    }));
    let plain = apart(&explore(&scene.wish()));
    assert!(against > plain * 1.1, "{against} {plain}");
}

#[test]
fn without_owned_paints_nothing_is_proposed() {
    let mut scene = scene();
    for paint in &mut scene.paints.paints {
        paint.owned = false;
    }
    let found = explore(&scene.wish());
    assert!(found.proposals.is_empty());
    assert!(found.least_distance.abs() < f64::EPSILON);
}
