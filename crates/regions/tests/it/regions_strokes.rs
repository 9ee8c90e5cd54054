//! Regions from strokes: the effect of more, fewer or missing strokes on the outline of the figure.

use velatura_optics::colour::Encoded;
use velatura_photo::{DecodeLimits, decode_photo};
use velatura_regions::{Fate, Labels, Marks, regions};
use velatura_testkit::pictures::png_rgb;

const SIDE: u32 = 160;
const OPEN: u8 = 255;

/// The regions of a grey photo for one colour of strokes and black ones.
fn made(tone: impl Fn(u32, u32) -> u32, mark: impl Fn(u32, u32) -> u8) -> Labels {
    let grained =
        |x: u32, y: u32| [u8::try_from(tone(x, y) + (x * 7 + y * 13 + x * y) % 9).unwrap(); 3];
    let bytes = png_rgb(SIDE, SIDE, grained);
    let photo = decode_photo("photo.png", &bytes, &DecodeLimits::default())
        .unwrap()
        .value;
    let marks = (0..SIDE * SIDE)
        .map(|at| mark(at % SIDE, at / SIDE))
        .collect();
    regions(
        &photo,
        &Marks {
            colours: vec![Encoded([200, 30, 30])],
            marks,
        },
    )
}

/// Intersection over union of the figure.
fn overlap(made: &Labels, truth: impl Fn(u32, u32) -> bool) -> f64 {
    let (mut both, mut any) = (0, 0);
    for (at, label) in (0..).zip(&made.labels) {
        let real = truth(at % SIDE, at / SIDE);
        both += u32::from(*label == 1 && real);
        any += u32::from(*label == 1 || real);
    }
    f64::from(both) / f64::from(any)
}

fn far(x: u32, y: u32, from: (f64, f64)) -> f64 {
    (f64::from(x) - from.0).hypot(f64::from(y) - from.1)
}

/// A ball lit from the left in front of a background lit in the same way.
fn ball(x: u32, y: u32) -> u32 {
    if far(x, y, (80.0, 80.0)) < 45.0 {
        190 - x
    } else {
        110 - x / 2
    }
}

#[test]
fn more_black_strokes_where_they_belong_do_no_harm() {
    let truth = |x, y| far(x, y, (80.0, 80.0)) < 45.0;
    let few = |x: u32, y: u32| match (x, y) {
        (50..75, 76..80) => 1,
        (6..40 | 120..154, 8..11) | (6..20, 140..143) => 0,
        _ => OPEN,
    };
    let more = |x: u32, y: u32| {
        if far(x, y, (80.0, 80.0)) > 52.0 {
            0
        } else {
            few(x, y)
        }
    };
    let [sparse, dense] = [
        overlap(&made(ball, few), truth),
        overlap(&made(ball, more), truth),
    ];
    println!("few {sparse:.4}, more {dense:.4}");
    assert!(sparse > 0.9 && dense >= sparse, "{sparse} → {dense}");
    // Must fail: misplaced black strokes remove parts of the figure.
    let wrong = |x: u32, y: u32| {
        if (90..120).contains(&x) && y == 80 {
            0
        } else {
            few(x, y)
        }
    };
    assert!(overlap(&made(ball, wrong), truth) < sparse);
}

#[test]
fn a_figure_that_the_picture_cuts_off_keeps_its_foot() {
    let truth = |x: u32, y: u32| (60..100).contains(&x) && y > 30;
    let tone = |x: u32, y: u32| {
        if truth(x, y) {
            150 + y / 4 - x / 4
        } else {
            60 + y / 4
        }
    };
    let strokes = |x: u32, y: u32| match (x, y) {
        (75..85, 50..70) => 1,
        (10..50 | 110..150, 12..15) => 0,
        _ => OPEN,
    };
    let kept = overlap(&made(tone, strokes), truth);
    println!("cut off: {kept:.4}");
    assert!(kept > 0.95, "{kept}");
    // Must fail: a black stroke along the foot ends the figure there.
    let ended = |x: u32, y: u32| if y > 150 { 0 } else { strokes(x, y) };
    assert!(overlap(&made(tone, ended), truth) < kept);
}

#[test]
fn what_no_stroke_of_the_figure_touches_is_background_and_reported() {
    let figure = |x, y| far(x, y, (50.0, 80.0)) < 30.0;
    let other = |x, y| far(x, y, (125.0, 80.0)) < 20.0;
    let tone = |x, y| if figure(x, y) || other(x, y) { 180 } else { 60 };
    let strokes = |x: u32, y: u32| match (x, y) {
        (40..60, 78..82) => 1,
        (10..150, 12..15) => 0,
        _ => OPEN,
    };
    let alone = made(tone, strokes);
    assert!(overlap(&alone, figure) > 0.95);
    let reported = alone
        .islands
        .iter()
        .find(|island| island.fate == Fate::GivenTo(0));
    assert!(
        reported.is_some_and(|island| island.pixels > 1000),
        "{:?}",
        alone.islands
    );
    // Must fail: with its own stroke it stays.
    let both = |x: u32, y: u32| {
        if (120..130).contains(&x) && y == 80 {
            1
        } else {
            strokes(x, y)
        }
    };
    assert!(overlap(&made(tone, both), |x, y| figure(x, y) || other(x, y)) > 0.95);
}
