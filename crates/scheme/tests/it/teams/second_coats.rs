//! Second coats of explored schemes: shade in the recesses, light on raised parts.

use velatura_figure::{Grey, Material, Part, SimulatedUndercoat};
use velatura_optics::calibrate::PaintBox;
use velatura_optics::coat::Where;
use velatura_optics::colour::delta_e;
use velatura_optics::mixture::Mix;
use velatura_scheme::{Exploring, FigureGround, Proposal, explore, mean_dried};

use crate::teams::stage::{ground, paints};

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
            team: "Lamplighters",
            count: 10,
            seed: 3,
            most_paints: 3,
            max_parts: 10,
            parts: &[],
            mood: None,
            kept: &[],
            against: None,
        }
    }
}

fn natural(material: Material) -> Part {
    Part {
        material: Some(material),
        natural: true,
        ..Part::default()
    }
}

/// ΔE and step in L* that the second coat of a region makes where it is.
fn difference_there(scene: &Scene, proposal: &Proposal, region: usize) -> (f64, f64) {
    let stack = &proposal.scheme.regions[region];
    let (first, second) = (&stack.coats[0], &stack.coats[1]);
    let greys = scene.ground.greys(region, proposal.scheme.undercoat);
    let weighted: Vec<Grey> = greys
        .iter()
        .map(|grey| Grey {
            weight: grey.weight * second.film_at(grey.relief),
            ..*grey
        })
        .collect();
    let whole: f64 = weighted.iter().map(|grey| grey.weight).sum();
    let there: Vec<Grey> = weighted
        .iter()
        .map(|grey| Grey {
            weight: grey.weight / whole,
            ..*grey
        })
        .collect();
    let specular = scene.ground.specular;
    let before = mean_dried(&there, std::slice::from_ref(first), specular).lab();
    let after = mean_dried(&there, &[first.clone(), second.clone()], specular).lab();
    (delta_e(before, after), after.0[0] - before.0[0])
}

#[test]
fn second_coats_are_few_visible_and_of_paints_that_the_scheme_has() {
    let scene = scene();
    let parts = [Material::Cloth, Material::Cloth, Material::Leather].map(natural);
    let found = explore(&Exploring {
        parts: &parts,
        ..scene.wish()
    });
    let (mut shades, mut lights) = (0, 0);
    for proposal in &found.proposals {
        let regions = &proposal.scheme.regions;
        let first: Vec<usize> = regions
            .iter()
            .flat_map(|stack| stack.mixes[0].paints.iter().map(|(paint, _)| *paint))
            .collect();
        let second: Vec<usize> = (0..3).filter(|at| regions[*at].coats.len() > 1).collect();
        assert!(
            second.len() <= 2 && !second.contains(&2),
            "leather stays simple"
        );
        for region in second {
            let stack = &regions[region];
            assert_eq!(stack.coats.len(), 2);
            assert!(
                stack.mixes[1]
                    .paints
                    .iter()
                    .all(|(paint, _)| first.contains(paint))
            );
            let (difference, lighter) = difference_there(&scene, proposal, region);
            assert!((7.0..=24.0).contains(&difference), "{difference}");
            match stack.coats[1].place {
                Where::Recesses => shades += 1,
                Where::Raised => lights += 1,
                other => panic!("{other:?}"),
            }
            let down = stack.coats[1].place == Where::Recesses;
            assert!(
                if down {
                    lighter <= -4.0
                } else {
                    lighter >= 4.0
                },
                "{lighter}"
            );
            let said = if down {
                "shade in the recesses of"
            } else {
                "light on the raised parts of"
            };
            assert!(proposal.reason.contains(said), "{}", proposal.reason);
        }
    }
    println!("{shades} shaded, {lights} lightened");
    // Light needs a light paint, which few schemes of three paints have.
    assert!(shades >= 3 && lights >= 1, "{shades} {lights}");
}

#[test]
fn what_is_settled_or_natural_has_one_coat() {
    let scene = scene();
    let kept = [(
        0,
        Mix {
            paints: vec![(0, 1.0)],
            medium: 1.0,
        },
    )];
    let found = explore(&Exploring {
        kept: &kept,
        parts: &[
            natural(Material::Cloth),
            natural(Material::Skin),
            natural(Material::Skin),
        ],
        ..scene.wish()
    });
    assert!(!found.proposals.is_empty());
    let regions = found.proposals.iter().flat_map(|one| &one.scheme.regions);
    assert!(regions.into_iter().all(|stack| stack.coats.len() == 1));
}

#[test]
fn skin_is_natural_with_three_paints_that_are_no_skin_paint() {
    let mut scene = scene();
    for paint in &mut scene.paints.paints {
        paint.owned = ["Amber", "Red", "White"].contains(&&*paint.name);
    }
    let parts = [Material::Cloth, Material::Skin, Material::Cloth].map(natural);
    let found = explore(&Exploring {
        parts: &parts,
        ..scene.wish()
    });
    assert_eq!(found.unnatural, []);
    for proposal in &found.proposals {
        let off = Material::Skin.unnatural(proposal.colours[1]);
        assert!(off <= 1.0, "{}: {off}", proposal.scheme.name);
    }
    assert!(found.proposals.len() >= 5);
}

#[test]
fn what_is_left_out_leaves_the_others() {
    let scene = scene();
    let found = explore(&scene.wish());
    let names: Vec<String> = found
        .proposals
        .iter()
        .map(|one| one.scheme.name.clone())
        .collect();
    let mut stays = vec![false; names.len()];
    (stays[1], stays[4]) = (true, true);
    let some = found.clone().only(&stays, &scene.ground);
    let left: Vec<&String> = some.proposals.iter().map(|one| &one.scheme.name).collect();
    assert_eq!(left, [&names[1], &names[4]]);
    assert!(some.least_distance >= found.least_distance);
}
