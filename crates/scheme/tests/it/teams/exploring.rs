use velatura_figure::{Material, Part, SimulatedUndercoat};
use velatura_optics::calibrate::PaintBox;
use velatura_optics::colour::{Lab, Linear, delta_e};
use velatura_optics::mixture::Mix;
use velatura_optics::vision::{Deficiency, Eye};
use velatura_scheme::apart::{Area, Grade, Look, Separation, dominant, shades};
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
            max_parts: 10,
            parts: &[],
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
            assert!(stack.coats.len() == stack.mixes.len() && (1..=2).contains(&stack.coats.len()));
            let paints = stack.mixes.iter().flat_map(|mix| &mix.paints);
            used.extend(paints.map(|(paint, _)| *paint));
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

fn natural(material: Material) -> Part {
    Part {
        material: Some(material),
        natural: true,
        ..Part::default()
    }
}

#[test]
fn skin_stays_skin_and_what_is_the_same_has_the_same_mix() {
    let scene = scene();
    let skin = natural(Material::Skin);
    // The cloak carries the scheme; hood and boots are bare skin, as if they were a face and hands.
    let parts = [
        Part::default(),
        skin,
        Part {
            same_as: Some(1),
            ..skin
        },
    ];
    let found = explore(&Exploring {
        parts: &parts,
        ..scene.wish()
    });
    assert_eq!(found.proposals.len(), 10);
    assert_eq!(found.unnatural, []);
    let mut cloaks = Vec::new();
    for proposal in &found.proposals {
        println!("{}: {}", proposal.scheme.name, proposal.reason);
        for region in [1, 2] {
            let off = Material::Skin.unnatural(proposal.colours[region]);
            assert!(off <= 1.0, "{}: {off}", proposal.scheme.name);
        }
        let regions = &proposal.scheme.regions;
        assert_eq!(regions[1].mixes, regions[2].mixes);
        cloaks.push(proposal.colours[0]);
    }
    // Must fail: without that knowledge most are off the range.
    let plain = explore(&scene.wish());
    let off = |proposal: &&Proposal| Material::Skin.unnatural(proposal.colours[1]) > 1.0;
    assert!(plain.proposals.iter().filter(off).count() >= 5);
    // The cloak still has every kind of colour.
    let furthest = cloaks.iter().map(|one| delta_e(*one, cloaks[0]));
    assert!(furthest.fold(0.0, f64::max) > 30.0);
}

#[test]
fn a_range_that_no_mix_reaches_is_reported_and_the_nearest_mix_is_used() {
    let mut scene = scene();
    for paint in &mut scene.paints.paints {
        paint.owned = ["Blue", "Violet"].contains(&&*paint.name);
    }
    let parts = [Part::default(), natural(Material::Skin), Part::default()];
    let found = explore(&Exploring {
        parts: &parts,
        ..scene.wish()
    });
    let [(region, material, off)] = found.unnatural[..] else {
        panic!("{:?}", found.unnatural)
    };
    assert_eq!((region, material), (1, Material::Skin));
    assert!(off > 5.0, "{off}");
    for proposal in &found.proposals {
        let own = Material::Skin.unnatural(proposal.colours[1]);
        assert!((own - off).abs() < 1e-6, "{own} {off}");
    }
}

#[test]
fn no_mix_has_more_parts_than_asked_for() {
    let scene = scene();
    for most in [10, 6, 3] {
        let found = explore(&Exploring {
            max_parts: most,
            ..scene.wish()
        });
        assert!(found.proposals.len() >= 5, "{most}");
        let stacks = found.proposals.iter().flat_map(|one| &one.scheme.regions);
        for mix in stacks.flat_map(|stack| &stack.mixes) {
            assert!(mix.volume() <= f64::from(most), "{mix:?}");
        }
    }
}

#[test]
fn against_a_rival_every_proposal_stands_apart_for_every_kind_of_eye() {
    let scene = scene();
    // The first free proposal is the rival.
    let free = explore(&scene.wish());
    let own = &free.proposals[0];
    let rival = Rival {
        regions: AREAS.into_iter().zip(own.colours.clone()).collect(),
    };
    let found = explore(&Exploring {
        against: Some(&rival),
        ..scene.wish()
    });
    assert!(!found.confusable && found.proposals.len() == 10);
    let look = |colours: &[Lab], eye: &Eye| {
        let seen = |colour: &Lab| eye.sees(colour.linear()).0.map(|one| one.clamp(0.0, 1.0));
        let points: Vec<(Linear, f64)> = colours
            .iter()
            .zip(AREAS)
            .map(|(colour, area)| (Linear(seen(colour)), area))
            .collect();
        let areas: Vec<Area> = points
            .iter()
            .map(|(colour, share)| Area {
                colour: *colour,
                share: *share,
            })
            .collect();
        let dominant = dominant(&areas).unwrap();
        Look {
            shades: shades(&points),
            dominant: dominant.colour.lab(),
            dominant_share: dominant.share,
        }
    };
    let eyes: Vec<Eye> = Deficiency::ALL
        .into_iter()
        .map(|kind| Eye::machado(kind, 1.0))
        .chain([Eye::USUAL])
        .collect();
    let worst = |colours: &[Lab]| {
        let grades = eyes
            .iter()
            .map(|eye| Separation::between(&look(colours, eye), &look(&own.colours, eye)).grade());
        grades.min().unwrap()
    };
    assert!(
        found
            .proposals
            .iter()
            .all(|one| worst(&one.colours) == Grade::Apart)
    );
    // Must fail: among free proposals some are confused.
    assert!(
        free.proposals
            .iter()
            .any(|one| worst(&one.colours) < Grade::Apart)
    );
    // With two paints that differ little, nothing stands apart, and that is reported.
    let mut poor = self::scene();
    for paint in &mut poor.paints.paints {
        paint.owned = ["Violet", "Black"].contains(&&*paint.name);
    }
    let own = explore(&poor.wish()).proposals.remove(0);
    let rival = Rival {
        regions: AREAS.into_iter().zip(own.colours).collect(),
    };
    let found = explore(&Exploring {
        against: Some(&rival),
        ..poor.wish()
    });
    assert!(found.confusable && !found.proposals.is_empty());
}
