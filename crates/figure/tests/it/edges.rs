//! Edges in the relief plane: where they are, and how far from their ridge.

use velatura_figure::{Underpainting, underpainting};
use velatura_optics::relief::Relief;
use velatura_testkit::pictures::{figure, grey_plate};

const WIDTH: u32 = 120;
const HEIGHT: u32 = 320;

/// 312 rows of figure for 32 mm: nearly ten pixels a millimetre.
fn split(of: impl Fn(u32, u32) -> u8) -> Underpainting {
    let figure = figure("kind = \"black-to-white\"\nblack = \"#1c1c1c\"\nwhite = \"#e9e9e9\"");
    underpainting(grey_plate(&figure, WIDTH, HEIGHT, 4, of), &figure, None)
        .expect("nothing to refuse")
        .value
}

fn place(planes: &Underpainting, x: u32, y: u32) -> Relief {
    let at = (y * WIDTH + x) as usize;
    Relief::of(f64::from(planes.relief[at]) / 65535.0)
}

/// A bright fold three pixels wide on an even grey.
fn fold(x: u32, _: u32) -> u8 {
    if (59..=61).contains(&x) { 210 } else { 110 }
}

#[test]
fn the_ridge_of_a_fold_is_an_edge_and_its_distance_grows_in_millimetres() {
    let planes = split(fold);
    let px = 1.0 / planes.px_per_mm;
    for y in [80, 160, 240] {
        let ridge = place(&planes, 60, y);
        assert!(ridge.to_ridge_mm < 0.02, "{y}: {ridge:?}");
        let next = place(&planes, 61, y);
        assert!((next.to_ridge_mm - px).abs() < 0.03, "{y}: {next:?}, {px}");
        // The even parts are none.
        for x in [20, 100] {
            let flat = place(&planes, x, y);
            assert!(flat.to_ridge_mm.is_infinite(), "{x}, {y}: {flat:?}");
        }
    }
    for y in 10..310 {
        let on_edges = |x: &u32| place(&planes, *x, y).to_ridge_mm.is_finite();
        let edges: Vec<u32> = (4..WIDTH - 4).filter(on_edges).collect();
        assert!(!edges.is_empty(), "{y}");
        assert!(edges.iter().all(|x| x.abs_diff(60) <= 5), "{y}: {edges:?}");
    }
}

#[test]
fn a_dark_groove_and_an_even_surface_have_no_edge() {
    for of in [
        (|x, y| 255 - fold(x, y)) as fn(u32, u32) -> u8,
        |_, _| 130,
        |x, _| u8::try_from(60 + x).unwrap(),
    ] {
        let planes = split(of);
        // Next to the groove it is brighter than in it, but not than beyond.
        for x in 20..100 {
            let at = place(&planes, x, 160);
            assert!(at.to_ridge_mm > 0.1, "{x}: {at:?}");
        }
    }
}
