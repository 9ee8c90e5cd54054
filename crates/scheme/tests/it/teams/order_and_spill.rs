use velatura_scheme::{painting_order, spills};

use crate::teams::stage::{ground, paints, schemes};

const SCHEME: &str = r#"
[[scheme]]
name = "one"
[[scheme.coat]]
region = "hood"
mix = { Black = 1 }
[[scheme.coat]]
region = "cloak"
mix = { White = 1 }
[[scheme.coat]]
region = "boots"
mix = { White = 2, Amber = 1, medium = 3 }
"#;

#[test]
fn light_is_painted_before_dark() {
    let paints = paints();
    let scheme = &schemes(SCHEME, &paints)[0];
    // Cloak (white), boots (pale), hood (black).
    assert_eq!(painting_order(scheme, &ground(&paints)), [0, 2, 1]);
}

#[test]
fn the_worst_slip_is_dark_paint_on_light_and_only_neighbours_are_asked() {
    let paints = paints();
    let ground = ground(&paints);
    let scheme = &schemes(SCHEME, &paints)[0];
    let spills = spills(scheme, &ground);
    let pairs: Vec<(usize, usize)> = spills
        .iter()
        .map(|spill| (spill.from, spill.onto))
        .collect();
    println!("{spills:#?}");
    assert_eq!(pairs[0], (1, 0), "black hood onto white cloak");
    assert_eq!(spills[0].border, 120);
    assert_eq!(pairs.len(), 4);
    assert!(
        !pairs.contains(&(1, 2)) && !pairs.contains(&(2, 1)),
        "hood and boots do not touch"
    );
    // Stray white under black that is painted later nearly disappears; black over dried white does not.
    let of = |pair| {
        spills
            .iter()
            .find(|spill| (spill.from, spill.onto) == pair)
            .unwrap()
            .delta_e
    };
    assert!(
        of((0, 1)) < of((1, 0)) / 4.0,
        "{} {}",
        of((0, 1)),
        of((1, 0))
    );
}

#[test]
fn a_region_that_stays_bare_can_be_stained_but_stains_nothing() {
    let paints = paints();
    let text =
        "[[scheme]]\nname = \"one\"\n[[scheme.coat]]\nregion = \"hood\"\nmix = { Red = 1 }\n";
    let scheme = &schemes(text, &paints)[0];
    let spills = spills(scheme, &ground(&paints));
    assert_eq!(spills.len(), 1);
    assert_eq!((spills[0].from, spills[0].onto), (1, 0));
    assert!(spills[0].delta_e > 10.0, "{}", spills[0].delta_e);
}
