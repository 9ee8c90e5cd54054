//! Opposites and proposals that nobody confuses with the other team.

use velatura_optics::colour::delta_e;
use velatura_scheme::matching::Grid;
use velatura_scheme::{
    FigureGround, Opposing, Scheme, Undercoat, Watch, Way, distinct_opposite, oppose,
};

use crate::teams::stage::{ground, paints, schemes};

/// White and greys: the opposite hue of a grey is the same grey.
const GREY: &str = r#"
[[scheme]]
name = "grey"
[[scheme.coat]]
region = "cloak"
mix = { White = 1 }
[[scheme.coat]]
region = "hood"
mix = { White = 3, Black = 1 }
[[scheme.coat]]
region = "boots"
mix = { White = 1, Black = 1 }
"#;

fn mean_lightness(ground: &FigureGround, scheme: &Scheme) -> f64 {
    let regions = ground.summary.regions.iter().enumerate();
    let each = regions.map(|(index, region)| {
        let coats = &scheme.regions[index].coats;
        region.area * ground.dried(index, scheme.undercoat, coats).lab().0[0]
    });
    each.sum()
}

#[test]
fn another_way_is_taken_where_the_first_leaves_teams_that_are_confused() {
    let paints = paints();
    let ground = ground(&paints);
    let scheme = schemes(GREY, &paints).remove(0);
    let opposing = Opposing {
        scheme: &scheme,
        scheme_paints: &paints,
        ground: &ground,
        paints: &paints,
        grid: Grid {
            max_parts: 5,
            max_paints: 2,
            ..Grid::of_owned(&paints)
        },
        way: Way::Hue(velatura_scheme::HueSpace::Cielab),
        undercoat: Undercoat::Kept,
        parts: &[],
        kept: &[],
    };
    // Must fail: the hue of a grey alone changes nothing.
    let same = oppose(&opposing);
    let stays = |region: usize| {
        let [own, other] = [&scheme, &same.scheme].map(|scheme| {
            let coats = &scheme.regions[region].coats;
            ground.dried(region, scheme.undercoat, coats).lab()
        });
        delta_e(own, other)
    };
    assert!((0..3).all(|region| stays(region) < 6.0));

    let alone = distinct_opposite(&opposing, &[], &Watch::nobody()).unwrap();
    assert!(alone.confusable && alone.way == opposing.way);
    let found = distinct_opposite(&opposing, &[Way::Lightness], &Watch::nobody()).unwrap();
    assert!(!found.confusable && found.way == Way::Lightness);
    let [own, other] = [&scheme, &found.opposed.scheme].map(|one| mean_lightness(&ground, one));
    assert!(own > other + 20.0, "{own} {other}");
    // The first way that is clear is taken, whatever follows.
    let first = Opposing {
        way: Way::Lightness,
        ..opposing.clone()
    };
    let others = [Way::Negative];
    let found = distinct_opposite(&first, &others, &Watch::nobody()).unwrap();
    assert_eq!(found.way, Way::Lightness);
}
