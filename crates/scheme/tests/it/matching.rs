//! Matching against separately written brute force: every tuple of whole parts at every film.

use proptest::prelude::*;
use velatura_document::SourceText;
use velatura_optics::calibrate::{PaintBox, calibrate};
use velatura_optics::colour::{Encoded, Lab, Linear, delta_e};
use velatura_optics::mixture::Mix;
use velatura_optics::paints_file::read_paints_file;
use velatura_optics::surface::Specular;
use velatura_scheme::matching::{
    Aim, Component, Grid, HelpfulPaint, Match, Matching, Measure, OUT_OF_REACH, best_distance,
    helpful_paint, nearest_mixes,
};
use velatura_scheme::{EvenCoat, Substrate, predicted};

/// Distances that agree to this are a tie, so a result may be that much worse than the brute force's.
const TIE: f64 = 1e-6;

/// Paints from their codes over white; over black each channel keeps this share.
fn paints(codes: &[([u8; 3], f64)]) -> PaintBox {
    let mut text =
        "format = \"velatura-paints/1\"\n[cards]\nblack = \"#1c1c1c\"\nwhite = \"#f0f0f0\"\n"
            .to_owned();
    for (index, (white, hides)) in codes.iter().enumerate() {
        let over_white = Encoded(*white);
        // Over black, a film is darker, never lighter.
        let over_black = Linear(
            over_white
                .linear()
                .0
                .map(|part| part * (0.02 + 0.9 * hides)),
        )
        .encoded();
        text += &format!(
            "[[paint]]\nname = \"paint {index}\"\nover_white = \"{over_white}\"\nover_black = \"{over_black}\"\n"
        );
    }
    read_box(text)
}

fn read_box(text: String) -> PaintBox {
    let source = SourceText::new("paints.toml", text);
    let file = read_paints_file(&source).unwrap_or_else(|problems| panic!("{problems:?}"));
    calibrate(&file.value).value
}

fn substrate(hex: &str) -> Substrate {
    let code: Encoded = hex.parse().unwrap();
    Substrate::of_colour(code.linear(), Specular::Excluded)
}

fn grid(paints: usize) -> Grid {
    Grid {
        paints: (0..paints).collect(),
        max_paints: 2,
        max_parts: 5,
        films: vec![0.5, 1.0, 2.0],
    }
}

/// Weighted mean distance of a mix to the aims, through prediction and not through matching.
fn missed(paints: &PaintBox, coat: &EvenCoat, aims: &[Aim]) -> f64 {
    let total: f64 = aims.iter().map(|aim| aim.weight).sum();
    let sum: f64 = aims
        .iter()
        .map(|aim| {
            let dried = predicted(paints, std::slice::from_ref(coat), &aim.substrate);
            aim.weight * delta_e(dried.colour.lab(), aim.target)
        })
        .sum();
    sum / total
}

/// The distances of all mixes of a grid at all films, smallest first, common divisors and all.
fn brute_force(paints: &PaintBox, matching: &Matching) -> Vec<f64> {
    let grid = &matching.grid;
    let most = grid.max_parts + 1;
    let slots = u32::try_from(grid.paints.len() + 1).unwrap();
    let mut all = Vec::new();
    for code in 0..most.pow(slots) {
        let part = |slot: usize| code / most.pow(u32::try_from(slot).unwrap()) % most;
        let parts: Vec<u32> = (0..=grid.paints.len()).map(part).collect();
        let (medium, pure) = parts.split_last().unwrap();
        let used = pure.iter().filter(|part| **part > 0).count();
        if used == 0 || used > grid.max_paints || parts.iter().sum::<u32>() > grid.max_parts {
            continue;
        }
        let mix = Mix {
            paints: pure
                .iter()
                .zip(&grid.paints)
                .filter(|(part, _)| **part > 0)
                .map(|(part, paint)| (*paint, f64::from(*part)))
                .collect(),
            medium: f64::from(*medium),
        };
        for film in &grid.films {
            let coat = EvenCoat {
                mix: mix.clone(),
                film: *film,
            };
            all.push(missed(paints, &coat, &matching.aims));
        }
    }
    all.sort_by(f64::total_cmp);
    all
}

fn coat(found: &Match) -> EvenCoat {
    EvenCoat {
        mix: found.mix.clone(),
        film: found.film,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn no_mix_of_the_grid_is_nearer_than_the_first(
        codes in prop::collection::vec((prop::array::uniform3(16_u8..250), 0.0..1.0_f64), 3),
        targets in prop::collection::vec((prop::array::uniform3(any::<u8>()), 0.02..0.9_f64, 0.1..3.0_f64), 1..3),
    ) {
        let paints = paints(&codes);
        let matching = Matching {
            aims: targets
                .iter()
                .map(|(target, grey, weight)| Aim {
                    target: Encoded(*target).lab(),
                    substrate: Substrate::of_colour(Linear::grey(*grey), paints.cards.specular),
                    weight: *weight,
                })
                .collect(),
            grid: grid(3),
            count: 4,
            measure: Measure::Ciede2000,
        };
        let all = brute_force(&paints, &matching);
        let found = nearest_mixes(&paints, &matching);
        prop_assert_eq!(found.len(), 4);
        prop_assert!((found[0].delta_e - all[0]).abs() <= TIE, "{} {}", found[0].delta_e, all[0]);
        for pair in found.windows(2) {
            prop_assert!(pair[0].delta_e <= pair[1].delta_e + TIE);
        }
        for one in &found {
            // The data of a mix equals its prediction.
            prop_assert!((missed(&paints, &coat(one), &matching.aims) - one.delta_e).abs() < 1e-9);
        }
    }
}

fn two_paints() -> PaintBox {
    paints(&[([0xf4, 0xa5, 0x20], 0.1), ([0x3f, 0xaf, 0xc3], 0.1)])
}

/// The colour of two parts of one paint, one of the other and one of medium.
fn reachable_target(paints: &PaintBox, over: &Substrate) -> (EvenCoat, Lab) {
    let coat = EvenCoat {
        mix: Mix {
            paints: vec![(0, 2.0), (1, 1.0)],
            medium: 1.0,
        },
        film: 1.0,
    };
    let target = predicted(paints, std::slice::from_ref(&coat), over)
        .colour
        .lab();
    (coat, target)
}

#[test]
fn a_mix_of_the_grid_is_found_again() {
    let (paints, over) = (two_paints(), substrate("#c0c0c0"));
    let (wanted, target) = reachable_target(&paints, &over);
    let found = nearest_mixes(&paints, &Matching::new(&paints, target, over));
    assert!(found[0].delta_e < 1e-6, "{found:?}");
    assert_eq!(coat(&found[0]), wanted);
    assert!(
        found[1].delta_e > 1e-3,
        "the same coat, thinned otherwise, came twice"
    );
}

#[test]
fn of_equal_colours_fewer_paints_and_smaller_parts_come_first() {
    // Two pots of the same paint: alone, one to one, one to two … all dry to the same colour.
    let one = ([0xf4, 0xa5, 0x20], 0.1);
    let paints = paints(&[one, one]);
    let over = substrate("#c0c0c0");
    let pure = EvenCoat {
        mix: Mix {
            paints: vec![(0, 1.0)],
            medium: 0.0,
        },
        film: 1.0,
    };
    let target = predicted(&paints, std::slice::from_ref(&pure), &over)
        .colour
        .lab();
    let found = nearest_mixes(&paints, &Matching::new(&paints, target, over));
    let said: Vec<(usize, f64)> = found
        .iter()
        .map(|one| (one.mix.paints.len(), one.mix.volume()))
        .collect();
    assert_eq!(said, [(1, 1.0), (1, 1.0), (2, 2.0), (2, 3.0), (2, 3.0)]);
}

#[test]
fn a_search_that_leaves_a_film_out_would_be_caught() {
    let (paints, over) = (two_paints(), substrate("#c0c0c0"));
    let target: Encoded = "#a9b0a0".parse().unwrap();
    let whole = Matching {
        grid: grid(2),
        ..Matching::new(&paints, target.lab(), over)
    };
    let mut lame = whole.clone();
    lame.grid.films.remove(0);
    let best = brute_force(&paints, &whole)[0];
    assert!((nearest_mixes(&paints, &whole)[0].delta_e - best).abs() <= TIE);
    assert!(nearest_mixes(&paints, &lame)[0].delta_e - best > 0.1);
}

#[test]
fn slips_are_the_changes_that_prediction_sees() {
    let (paints, over) = (two_paints(), substrate("#c0c0c0"));
    let (wanted, target) = reachable_target(&paints, &over);
    let found = &nearest_mixes(&paints, &Matching::new(&paints, target, over.clone()))[0];
    let change = |mix: Mix| {
        let wrong = predicted(&paints, &[EvenCoat { mix, film: 1.0 }], &over);
        delta_e(wrong.colour.lab(), target)
    };
    let mix = |amber: f64, eel: f64, medium: f64| Mix {
        paints: [(0, amber), (1, eel)]
            .into_iter()
            .filter(|one| one.1 > 0.0)
            .collect(),
        medium,
    };
    let expected = [
        (Component::Paint(0), mix(3.0, 1.0, 1.0), mix(1.0, 1.0, 1.0)),
        (Component::Paint(1), mix(2.0, 2.0, 1.0), mix(2.0, 0.0, 1.0)),
        (Component::Medium, mix(2.0, 1.0, 2.0), mix(2.0, 1.0, 0.0)),
    ];
    assert_eq!(coat(found), wanted);
    assert_eq!(found.slips.len(), expected.len());
    for (slip, (component, more, less)) in found.slips.iter().zip(expected) {
        assert_eq!(slip.component, component);
        assert!(
            (slip.more - change(more)).abs() < 1e-6 && slip.more > 0.1,
            "{slip:?}"
        );
        assert!((slip.less.unwrap() - change(less)).abs() < 1e-6, "{slip:?}");
        assert!(found.worst_slip() >= slip.more.max(slip.less.unwrap()));
    }
}

#[test]
fn a_paint_alone_cannot_be_left_out() {
    let (paints, over) = (two_paints(), substrate("#c0c0c0"));
    let mut matching = Matching::new(&paints, Linear::grey(0.3).lab(), over);
    matching.grid.max_parts = 1;
    for found in nearest_mixes(&paints, &matching) {
        assert_eq!((found.slips.len(), found.slips[0].less), (1, None));
        assert!(
            found.slips[0].more < 1e-9,
            "more of a pure paint is the same paint"
        );
    }
}

#[test]
fn weights_decide_between_aims_that_no_mix_meets_together() {
    let paints = two_paints();
    let aim = |hex: &str, weight| {
        let target: Encoded = hex.parse().unwrap();
        Aim {
            target: target.lab(),
            substrate: substrate("#c0c0c0"),
            weight,
        }
    };
    let best = |amber, eel| {
        let matching = Matching {
            aims: vec![aim("#c08018", amber), aim("#308898", eel)],
            grid: Grid::of_owned(&paints),
            count: 1,
            measure: Measure::Ciede2000,
        };
        nearest_mixes(&paints, &matching)[0].mix.paints[0].0
    };
    assert_eq!((best(9.0, 1.0), best(1.0, 9.0)), (0, 1));
}

#[test]
fn paints_that_are_not_owned_are_left_alone_and_no_paint_gives_no_match() {
    let mut paints = two_paints();
    paints.paints[1].owned = false;
    let target: Encoded = "#308898".parse().unwrap();
    let found = |paints: &PaintBox| {
        nearest_mixes(
            paints,
            &Matching::new(paints, target.lab(), substrate("#c0c0c0")),
        )
    };
    let mixes = found(&paints);
    assert_eq!(mixes.len(), 5);
    assert!(
        mixes
            .iter()
            .all(|one| one.mix.paints.iter().all(|(paint, _)| *paint == 0))
    );
    paints.paints[0].owned = false;
    assert_eq!(found(&paints), []);
}

#[test]
fn any_amounts_come_at_least_as_near_as_whole_parts_and_find_what_they_can_make() {
    let (paints, over) = (two_paints(), substrate("#c0c0c0"));
    // Amounts that ten parts cannot have.
    let between = EvenCoat {
        mix: Mix {
            paints: vec![(0, 0.317), (1, 0.291)],
            medium: 0.2,
        },
        film: 1.234,
    };
    let target = predicted(&paints, &[between], &over).colour.lab();
    let matching = Matching::new(&paints, target, over);
    let found = nearest_mixes(&paints, &matching);
    let best = best_distance(&paints, &matching, &found);
    assert!(
        best < 0.05 && best < found[0].delta_e,
        "{best} {}",
        found[0].delta_e
    );
}

#[test]
fn a_colour_out_of_reach_is_brought_near_by_the_helpful_paint() {
    let paints_without = two_paints();
    let violet: Encoded = "#7838b0".parse().unwrap();
    let over = substrate("#c0c0c0");
    let matching = Matching::new(&paints_without, violet.lab(), over.clone());
    let found = nearest_mixes(&paints_without, &matching);
    assert!(best_distance(&paints_without, &matching, &found) > 5.0 * OUT_OF_REACH);
    let helpful = helpful_paint(&matching);

    // The same box with a paint whose drawdown looks like that, on the cards of the description.
    let HelpfulPaint {
        over_white,
        over_black,
    } = helpful;
    let text = format!(
        "format = \"velatura-paints/1\"\n[cards]\nblack = \"{}\"\nwhite = \"{}\"\n[[paint]]\nname = \"helpful\"\n\
         over_white = \"{}\"\nover_black = \"{}\"\n",
        Linear::grey(0.012).encoded(),
        Linear::grey(0.9).encoded(),
        over_white.encoded(),
        over_black.encoded(),
    );
    let with = read_box(text);
    let now = &nearest_mixes(&with, &Matching::new(&with, violet.lab(), over))[0];
    // The paint was fitted from two 8-bit codes by the usual prior: near, not exact.
    assert!(now.delta_e < OUT_OF_REACH, "{now:?}");
    assert!(
        (0.0..1.0).contains(&helpful.contrast_ratio()),
        "{helpful:?}"
    );
}

#[test]
fn far_colours_are_ranked_by_the_straight_line_where_ciede2000_prefers_a_grey() {
    // A grey, and a violet darker and duller than the target.
    let paints = paints(&[([0x86, 0x95, 0x98], 1.0), ([0x56, 0x20, 0x8d], 0.1)]);
    let vivid: Encoded = "#ff00ff".parse().unwrap();
    let mut matching = Matching::new(&paints, vivid.lab(), substrate("#b0b0b0"));
    matching.grid.max_paints = 1;
    let first = |matching: &Matching| nearest_mixes(&paints, matching)[0].mix.paints[0].0;
    assert_eq!(first(&matching), 0);
    matching.measure = Measure::Cielab;
    assert_eq!(first(&matching), 1);
}
