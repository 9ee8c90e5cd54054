//! Light and paint estimated from the photo alone: what must hold whatever the constants are.

use velatura_figure::{FigureFile, Origin, Underpainting, underpainting};
use velatura_optics::colour::{Linear, decode};
use velatura_testkit::pictures::{figure, grey_plate};

const ALONE: &str = "kind = \"black-to-white\"";
const CONSTANT_SHARE: &str = "kind = \"black-to-white\"\nlight_share = 0.2";
const WIDTH: u32 = 160;
const HEIGHT: u32 = 200;
const FRAME: u32 = 8;

fn split(figure: &FigureFile, of: impl Fn(u32, u32) -> f64) -> Underpainting {
    let code = |x, y| Linear::grey(of(x, y)).encoded().0[0];
    underpainting(grey_plate(figure, WIDTH, HEIGHT, FRAME, code), figure, None)
        .expect("nothing to refuse")
        .into_value(&mut Vec::new())
}

/// White ridges every 5 pixels on dark grey, as a drybrush leaves them.
fn brushed(x: u32, _: u32) -> f64 {
    if x % 5 == 0 { 0.8 } else { 0.06 }
}

/// The lower half is in a cast shadow.
fn shadow(y: u32) -> f64 {
    if y < HEIGHT / 2 { 1.0 } else { 0.2 }
}

/// Reflectance at a pixel.
fn paint(planes: &Underpainting, x: u32, y: u32) -> f64 {
    f64::from(planes.substrate[(y * WIDTH + x) as usize]) / 65535.0
}

#[test]
fn a_cast_shadow_is_light_and_not_paint() {
    let below_over_above = |undercoat: &str| {
        let planes = split(&figure(undercoat), |x, y| brushed(x, y) * shadow(y));
        // Two pixels from the edge of the shadow: a mean over the surroundings would be wrong there.
        let (above, below) = (HEIGHT / 2 - 3, HEIGHT / 2 + 2);
        [80, 82].map(|x| paint(&planes, x, below) / paint(&planes, x, above))
    };
    for ratio in below_over_above(ALONE) {
        // 1 is exact. The wide window reaches into the light, and so does the smoothing; we reach 0.64.
        assert!((0.6..1.3).contains(&ratio), "{ratio}");
    }
    // Must fail: a constant share takes four fifths of the shadow for dark paint.
    for ratio in below_over_above(CONSTANT_SHARE) {
        assert!(ratio < 0.4, "{ratio}");
    }
}

#[test]
fn a_brighter_photo_shows_the_same_paint() {
    let planes = |undercoat: &str, times: f64| {
        split(&figure(undercoat), |x, y| times * brushed(x, y) * shadow(y))
    };
    let change = |undercoat: &str| {
        let (dark, bright) = (planes(undercoat, 0.45), planes(undercoat, 0.9));
        [(80, 60), (82, 60), (80, 140), (82, 140)]
            .map(|(x, y)| (paint(&dark, x, y) / paint(&bright, x, y)).ln().abs())
            .into_iter()
            .fold(0.0, f64::max)
    };
    // Codes of the darkest paint in the shadow are 4 % apart.
    assert!(change(ALONE) < 0.06, "{}", change(ALONE));
    // Must fail: a constant share has no other measure than the white it finds.
    let given = format!("{CONSTANT_SHARE}\nwhite = \"#e7e7e7\"");
    assert!(change(&given) > 0.4, "{}", change(&given));
}

#[test]
fn the_backdrop_has_no_say_in_the_paint() {
    let over = |backdrop: f64| {
        split(&figure(ALONE), |x, y| {
            let inside =
                (FRAME..WIDTH - FRAME).contains(&x) && (FRAME..HEIGHT - FRAME).contains(&y);
            if inside { brushed(x, y) } else { backdrop }
        })
    };
    let (dark, light) = (over(0.01), over(0.95));
    let figure_only = |planes: &Underpainting| -> Vec<u16> {
        let pixels = planes.substrate.iter().zip(&planes.subject.region);
        pixels
            .filter(|(_, region)| **region != 0)
            .map(|(substrate, _)| *substrate)
            .collect()
    };
    assert_eq!(figure_only(&dark), figure_only(&light));
    // Must fail: the backdrop itself differs.
    assert_ne!(dark.light, light.light);
}

#[test]
fn one_thread_and_three_estimate_the_same() {
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        pool.install(|| split(&figure(ALONE), |x, y| brushed(x, y) * shadow(y)))
    };
    let (one, three) = (with(1), with(3));
    assert!(one.substrate == three.substrate && one.light == three.light);
    assert_eq!(one.points, three.points);
}

#[test]
fn the_black_card_stands_for_a_primer_that_is_not_given() {
    let black = |undercoat: &str, card: f64| {
        let mut figure = figure(undercoat);
        figure.undercoat.card_black = Some(card);
        split(&figure, brushed).points.black
    };
    let found = black(ALONE, 0.05);
    assert!((found.value - 0.05).abs() < 1e-12, "{found:?}");
    assert_eq!(found.from, Origin::Estimated);
    let given = black(&format!("{ALONE}\nblack = \"#1c1c1c\""), 0.05);
    assert!(
        (given.value - decode(f64::from(0x1c) / 255.0)).abs() < 1e-9,
        "{given:?}"
    );
    // A card that is no black is no primer.
    assert!(black(ALONE, 0.3).value < 0.1);
}

#[test]
fn points_off_by_the_exposure_are_scaled() {
    let planes = |points: &str, times: f64| {
        let undercoat = format!("{ALONE}\n{points}");
        split(&figure(&undercoat), |x, y| times * brushed(x, y))
    };
    // #e7e7e7 is 0.80 of white, #a9a9a9 half of that; likewise for black.
    let right = planes("black = \"#434343\"\nwhite = \"#e7e7e7\"", 1.0);
    let dark = planes("black = \"#2f2f2f\"\nwhite = \"#a9a9a9\"", 0.5);
    for x in [80, 82] {
        let ratio = paint(&dark, x, 100) / paint(&right, x, 100);
        assert!((ratio - 1.0).abs() < 0.05, "{x}: {ratio}");
    }
}
