use std::ops::Range;

use velatura_figure::{SimulatedUndercoat, UndercoatKind};
use velatura_optics::calibrate::PaintBox;
use velatura_optics::coat::Coat;
use velatura_optics::colour::{Encoded, Lab, delta_e};
use velatura_scheme::matching::{Grid, Matching, nearest_mixes};
use velatura_scheme::{
    FigureGround, Opposed, Opposing, Scheme, Substrate, Undercoat, Way, oppose, opposite,
};

use crate::teams::stage::{ground, paints, schemes};

const SCHEME: &str = r#"
[[scheme]]
name = "one"
[[scheme.coat]]
region = "cloak"
mix = { Amber = 3, medium = 2 }
[[scheme.coat]]
region = "hood"
mix = { Teal = 1, White = 1 }
[[scheme.coat]]
region = "boots"
mix = { Violet = 1 }
"#;

struct Scene {
    paints: PaintBox,
    ground: FigureGround,
    scheme: Scheme,
}

fn scene(text: &str) -> Scene {
    let paints = paints();
    Scene {
        ground: ground(&paints),
        scheme: schemes(text, &paints).remove(0),
        paints,
    }
}

impl Scene {
    fn opposing(&self) -> Opposing<'_> {
        Opposing {
            scheme: &self.scheme,
            scheme_paints: &self.paints,
            ground: &self.ground,
            paints: &self.paints,
            grid: Grid {
                max_parts: 6,
                max_paints: 2,
                ..Grid::of_owned(&self.paints)
            },
            way: Way::Negative,
            undercoat: Undercoat::Flipped,
            parts: &[],
            kept: &[],
        }
    }
}

/// Degrees from red over yellow.
fn hue(Lab([_, a, b]): Lab) -> f64 {
    b.atan2(a).to_degrees().rem_euclid(360.0)
}

fn chroma(Lab([_, a, b]): Lab) -> f64 {
    a.hypot(b)
}

type Negative = (
    &'static str,
    &'static str,
    &'static str,
    Range<f64>,
    Range<f64>,
);

/// From, its code, its negative, hue in CIELAB (degrees) and L* of that. Common practice, no source: the pairs; the ranges
/// of the words are from memory. The negative of a deep purple is a yellow that leans to green.
const NEGATIVES: [Negative; 4] = [
    (
        "vivid green",
        "#3cb44b",
        "lilac-magenta",
        300.0..345.0,
        45.0..75.0,
    ),
    (
        "orange",
        "#f08020",
        "turquoise-blue",
        200.0..285.0,
        30.0..65.0,
    ),
    (
        "deep purple",
        "#3b2f6b",
        "dull yellow",
        85.0..125.0,
        75.0..95.0,
    ),
    (
        "golden yellow",
        "#e0b030",
        "mid blue",
        260.0..310.0,
        30.0..55.0,
    ),
];

#[test]
fn negatives_are_what_painters_say_they_are() {
    for (from, hex, to, hues, lightness) in NEGATIVES {
        let negative = opposite(hex.parse::<Encoded>().unwrap().linear(), Way::Negative);
        println!(
            "{from} → {to}: hue {:.0}, L* {:.0}",
            hue(negative),
            negative.0[0]
        );
        assert!(hues.contains(&hue(negative)), "{from}: {negative:?}");
        assert!(lightness.contains(&negative.0[0]), "{from}: {negative:?}");
        // Must fail: the colour itself satisfies none of these.
        assert!(
            !hues.contains(&hue(hex.parse::<Encoded>().unwrap().lab())),
            "{from}"
        );
    }
    let black = opposite(Encoded([255; 3]).linear(), Way::Negative);
    assert!(
        black.0[0] < 0.01 && chroma(black) < 0.01,
        "white → black: {black:?}"
    );
}

#[test]
fn matched_to_owned_paints_the_negatives_keep_their_hue() {
    let paints = paints();
    let over_white = || Substrate::of_colour(Encoded([224; 3]).linear(), paints.cards.specular);
    for (from, hex, to, hues, _) in NEGATIVES {
        let negative = opposite(hex.parse::<Encoded>().unwrap().linear(), Way::Negative);
        let best = nearest_mixes(&paints, &Matching::new(&paints, negative, over_white()));
        let matched = best[0].colours[0].lab();
        println!(
            "{from} → {to}: matched at hue {:.0}, ΔE {:.1}",
            hue(matched),
            best[0].delta_e
        );
        assert!(hues.contains(&hue(matched)), "{from}: {matched:?}");
    }
    let black = Matching::new(&paints, Encoded([0; 3]).lab(), over_white());
    let matched = nearest_mixes(&paints, &black)[0].colours[0].lab();
    assert!(
        matched.0[0] < 20.0 && chroma(matched) < 10.0,
        "white → black: {matched:?}"
    );
}

#[test]
fn a_mix_of_fewer_parts_costs_less_than_delta_e_1_and_nothing_else_is_given_up() {
    let scene = scene(SCHEME);
    let opposed = oppose(&Opposing {
        grid: Grid {
            max_parts: 5,
            ..scene.opposing().grid
        },
        ..scene.opposing()
    });
    assert_eq!(opposed.regions.len(), 3);
    for region in &opposed.regions {
        // Every mix of the grid on the figure itself.
        let mut least = (f64::INFINITY, 0.0);
        let grid = Grid {
            max_parts: 5,
            ..scene.opposing().grid
        };
        let matching = Matching {
            grid,
            count: 10_000,
            ..Matching::new(
                &scene.paints,
                region.target,
                Substrate::of_colour(Encoded([128; 3]).linear(), scene.paints.cards.specular),
            )
        };
        for one in nearest_mixes(&scene.paints, &matching) {
            for film in &matching.grid.films {
                let coat = Coat::even(scene.paints.mixed(&one.mix), *film);
                let dried = scene
                    .ground
                    .dried(region.region, opposed.scheme.undercoat, &[coat]);
                let left = delta_e(dried.lab(), region.target);
                if left < least.0 {
                    least = (left, one.mix.volume());
                }
            }
        }
        println!(
            "region {}: ΔE {:.2}, best of all {:.2} with {} parts",
            region.region, region.delta_e, least.0, least.1
        );
        let parts = opposed.scheme.regions[region.region].mixes[0].volume();
        let given_up = region.delta_e - least.0;
        assert!(given_up < 1.0, "{} {least:?}", region.delta_e);
        assert!(given_up < 0.1 || parts < least.1, "{parts} {least:?}");
    }
}

#[test]
fn the_colours_reported_are_those_that_the_written_scheme_dries_to() {
    let scene = scene(SCHEME);
    let opposed = oppose(&scene.opposing());
    for region in &opposed.regions {
        let coats = &opposed.scheme.regions[region.region].coats;
        let dried = scene
            .ground
            .dried(region.region, opposed.scheme.undercoat, coats);
        assert!(delta_e(dried.lab(), region.matched.lab()) < 1e-9);
        assert!((delta_e(dried.lab(), region.target) - region.delta_e).abs() < 1e-9);
        assert_eq!(
            coats[0].optics,
            scene
                .paints
                .mixed(&opposed.scheme.regions[region.region].mixes[0])
        );
    }
    assert_eq!(opposed.scheme.name, "Opposite of one");
}

fn shares(opposed: &Opposed, one: usize, other: usize) -> bool {
    let paints = |region: usize| {
        opposed.scheme.regions[region].mixes[0]
            .paints
            .iter()
            .map(|(paint, _)| *paint)
    };
    paints(one).any(|paint| paints(other).any(|own| own == paint))
}

#[test]
fn regions_that_share_a_paint_share_one_in_the_opposite_too() {
    let shared = r#"
[[scheme]]
name = "one"
[[scheme.coat]]
region = "cloak"
mix = { Amber = 3, medium = 2 }
[[scheme.coat]]
region = "hood"
mix = { Amber = 1, Blue = 2 }
[[scheme.coat]]
region = "boots"
mix = { Amber = 3, medium = 2 }
"#;
    let scene = scene(shared);
    let opposed = oppose(&scene.opposing());
    assert!(shares(&opposed, 0, 1));
    // The very same mix stays one mix.
    assert_eq!(
        opposed.scheme.regions[0].mixes,
        opposed.scheme.regions[2].mixes
    );
}

#[test]
fn the_undercoat_flips_unless_asked_otherwise_and_says_why() {
    let mut scene = scene(SCHEME);
    let opposed = oppose(&scene.opposing());
    assert_eq!(opposed.scheme.undercoat, SimulatedUndercoat::WhiteWithWash);
    assert!(
        opposed
            .undercoat_reason
            .contains("a bright palette needs a bright undercoat")
    );
    let kept = oppose(&Opposing {
        undercoat: Undercoat::Kept,
        ..scene.opposing()
    });
    assert_eq!(kept.scheme.undercoat, SimulatedUndercoat::AsPhotographed);
    let given = oppose(&Opposing {
        undercoat: Undercoat::As(SimulatedUndercoat::PlainWhite),
        ..scene.opposing()
    });
    assert_eq!(given.scheme.undercoat, SimulatedUndercoat::PlainWhite);
    scene.ground.points.kind = UndercoatKind::WhiteWithWash;
    assert_eq!(
        oppose(&scene.opposing()).scheme.undercoat,
        SimulatedUndercoat::BlackToWhite
    );
    // A scheme on a simulated white returns to the photographed undercoat.
    scene.ground.points.kind = UndercoatKind::BlackToWhite;
    scene.scheme.undercoat = SimulatedUndercoat::PlainWhite;
    assert_eq!(
        oppose(&scene.opposing()).scheme.undercoat,
        SimulatedUndercoat::AsPhotographed
    );
}

#[test]
fn a_colour_out_of_reach_is_reported_with_the_paint_that_would_help() {
    let mut scene = scene(SCHEME);
    // With reds and black alone no light turquoise can be mixed.
    for (index, paint) in scene.paints.paints.iter_mut().enumerate() {
        paint.owned = [1, 7].contains(&index);
    }
    let opposed = oppose(&scene.opposing());
    let hood = &opposed.regions[1];
    println!("{hood:?}\n{:?}", opposed.helpful);
    assert!(
        opposed
            .regions
            .iter()
            .any(velatura_scheme::OpposedRegion::out_of_reach)
    );
    let helpful = opposed.helpful.unwrap();
    let missing = opposed
        .regions
        .iter()
        .find(|region| region.region == helpful.region)
        .unwrap();
    assert!(
        missing.out_of_reach() && helpful.saves > 2.0 && helpful.saves <= missing.delta_e + 1e-9
    );
    // The helpful paint has the target hue.
    let apart = (hue(helpful.paint.over_white.lab()) - hue(missing.target)).rem_euclid(360.0);
    assert!(!(40.0..320.0).contains(&apart), "{apart}");
}

#[test]
fn unused_paints_are_named_and_bare_regions_stay_bare() {
    let text =
        "[[scheme]]\nname = \"one\"\n[[scheme.coat]]\nregion = \"hood\"\nmix = { Red = 1 }\n";
    let scene = scene(text);
    let opposed = oppose(&scene.opposing());
    assert_eq!(opposed.regions.len(), 1);
    assert!(
        opposed.scheme.regions[0].coats.is_empty() && opposed.scheme.regions[2].coats.is_empty()
    );
    assert_eq!(opposed.unused.len(), 8);
    assert!(
        opposed.unused.contains(&"Amber".to_owned()) && !opposed.unused.contains(&"Red".to_owned())
    );
}

#[test]
fn what_has_the_natural_colour_of_what_it_is_stays_unless_asked() {
    use velatura_figure::{Material, Part};
    use velatura_scheme::Stays;
    let scene = scene(SCHEME);
    let dried = |region: usize| {
        let coats = &scene.scheme.regions[region].coats;
        let undercoat = scene.scheme.undercoat;
        scene.ground.dried(region, undercoat, coats).lab()
    };
    // Amber is a colour of leather; teal is none of skin.
    assert!(
        Material::Leather.unnatural(dried(0)) < 1.0 && Material::Skin.unnatural(dried(1)) > 5.0
    );
    let part = |material| Part {
        material: Some(material),
        natural: true,
        ..Part::default()
    };
    let parts = [
        part(Material::Leather),
        part(Material::Skin),
        Part::default(),
    ];
    let stays = |parts: &[Part], kept: &[usize]| -> Vec<Option<Stays>> {
        let opposed = oppose(&Opposing {
            parts,
            kept,
            ..scene.opposing()
        });
        for region in opposed.regions.iter().filter(|one| one.stays.is_some()) {
            assert!(delta_e(region.target, region.dried.lab()) < 1e-6);
        }
        opposed.regions.iter().map(|one| one.stays).collect()
    };
    let leather = Some(Stays::Natural(Material::Leather));
    assert_eq!(stays(&parts, &[]), [leather, None, None]);
    assert_eq!(stays(&parts, &[2]), [leather, None, Some(Stays::Asked)]);
    assert_eq!(stays(&[], &[]), [None; 3], "all parts");
    let lifted = [
        Part {
            natural: false,
            ..parts[0]
        },
        parts[1],
        parts[2],
    ];
    assert_eq!(stays(&lifted, &[]), [None; 3]);
}
