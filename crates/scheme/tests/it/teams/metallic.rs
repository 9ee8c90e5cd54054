//! Metallic paint in proposed schemes: on metal, and nowhere else.

use velatura_figure::{Material, Part, SimulatedUndercoat};
use velatura_optics::calibrate::PaintBox;
use velatura_scheme::{Exploring, Proposal, explore};

use crate::teams::stage::{ground, paints};

/// The schemes' boots are metal if `metal`; Amber is metallic.
fn proposed(paints: &PaintBox, metal: bool) -> Vec<Proposal> {
    let material = metal.then_some(Material::Metal);
    let parts = [None, None, material].map(|material| Part {
        material,
        natural: true,
        ..Part::default()
    });
    let wish = Exploring {
        paints,
        ground: &ground(paints),
        undercoat: SimulatedUndercoat::AsPhotographed,
        team: "",
        count: 10,
        seed: 3,
        most_paints: 4,
        max_parts: 10,
        parts: &parts,
        mood: None,
        kept: &[],
        against: None,
    };
    explore(&wish).proposals
}

/// The paints on a region, over all schemes.
fn on(region: usize, proposals: &[Proposal], paints: &PaintBox) -> Vec<bool> {
    let stacks = proposals.iter().map(|one| &one.scheme.regions[region]);
    let mixes = stacks.flat_map(|stack| &stack.mixes);
    let used = mixes.flat_map(|mix| &mix.paints);
    used.map(|(paint, _)| paints.paints[*paint].metallic)
        .collect()
}

#[test]
fn metal_is_painted_with_metal_and_cloth_is_not() {
    let mut paints = paints();
    paints.paints[0].metallic = true;
    let proposals = proposed(&paints, true);
    assert_eq!(proposals.len(), 10);
    let boots = on(2, &proposals, &paints);
    assert!(boots.iter().all(|metallic| *metallic), "{boots:?}");
    for cloth in [0, 1] {
        assert!(!on(cloth, &proposals, &paints).contains(&true), "{cloth}");
    }
    // Without a part of metal nobody gets it, although there it would be used as any other paint.
    let proposals = proposed(&paints, false);
    assert!((0..3).all(|region| !on(region, &proposals, &paints).contains(&true)));
    paints.paints[0].metallic = false;
    let proposals = proposed(&paints, false);
    let with_amber = proposals.iter().flat_map(|one| &one.scheme.regions);
    let mut mixes = with_amber.flat_map(|stack| &stack.mixes);
    assert!(mixes.any(|mix| mix.paints.iter().any(|(paint, _)| *paint == 0)));
}
