//! Substrate, light and relief: what they must keep from the photo, and their direction.

use velatura_figure::{
    CropBox, FigureFile, Origin, SimulatedUndercoat, Underpainting, simulated_substrate,
    underpainting,
};
use velatura_optics::colour::{Linear, decode};
use velatura_photo::{DecodeLimits, decode_photo};
use velatura_testkit::pictures::{figure, grey_plate};

const DRYBRUSHED: &str =
    "kind = \"black-to-white\"\nblack = \"#1c1c1c\"\nwhite = \"#e9e9e9\"\nlight_share = 0.3";

fn split(figure: &FigureFile, of: impl Fn(u32, u32) -> u8) -> Underpainting {
    underpainting(grey_plate(figure, 64, 80, 4, of), figure, None)
        .expect("nothing to refuse")
        .value
}

/// Linear light of substrate × light.
fn product(planes: &Underpainting, at: usize) -> f64 {
    f64::from(planes.substrate[at]) / 65535.0
        * f64::from(planes.light[at])
        * f64::from(planes.light_unit)
}

fn every_code(x: u32, y: u32) -> u8 {
    u8::try_from((x + y * 64) % 256).expect("below 256")
}

#[test]
fn substrate_times_light_gives_the_photo_back_under_every_undercoat() {
    for undercoat in [
        DRYBRUSHED,
        "kind = \"black-to-white\"",
        "kind = \"black-to-white\"\nlight_share = 0",
        "kind = \"white-with-wash\"",
        "kind = \"plain\"",
    ] {
        let planes = split(&figure(undercoat), every_code);
        let mut seen = 0;
        for at in (0..planes.subject.region.len()).filter(|at| planes.subject.region[*at] != 0) {
            let codes = Linear::grey(product(&planes, at)).encoded().0;
            assert!(
                codes[0].abs_diff(planes.subject.photo[at][0]) <= 1,
                "{undercoat}: {codes:?} {:?}",
                planes.subject.photo[at]
            );
            seen += 1;
        }
        assert_eq!(seen, 56 * 72, "{undercoat}");
    }
    // Must fail: the substrate alone is not the photo.
    let planes = split(&figure(DRYBRUSHED), every_code);
    let off = (0..planes.subject.region.len())
        .filter(|at| planes.subject.region[*at] != 0)
        .filter(|at| {
            let alone = Linear::grey(f64::from(planes.substrate[*at]) / 65535.0)
                .encoded()
                .0[0];
            alone.abs_diff(planes.subject.photo[*at][0]) > 1
        })
        .count();
    assert!(off > 3000, "{off}");
}

#[test]
fn the_share_divides_the_logarithm_of_the_tone() {
    let planes = split(&figure(DRYBRUSHED), |_, _| 140);
    let at = 40 * 64 + 20;
    let (y, white) = (decode(140.0 / 255.0), decode(f64::from(0xe9) / 255.0));
    let expected = white * (y / white).powf(0.7);
    let found = f64::from(planes.substrate[at]) / 65535.0;
    assert!((found - expected).abs() < 1e-4, "{found} {expected}");
    let plain = split(&figure("kind = \"plain\"\nwhite = \"#e9e9e9\""), every_code);
    let whites: Vec<u16> = plain
        .substrate
        .iter()
        .zip(&plain.subject.region)
        .filter(|(_, r)| **r != 0)
        .map(|(s, _)| *s)
        .collect();
    assert!(
        whites
            .iter()
            .all(|s| (f64::from(*s) / 65535.0 - white).abs() < 1e-4),
        "a plain undercoat is one grey"
    );
}

#[test]
fn points_say_where_they_come_from() {
    let given = split(&figure(DRYBRUSHED), every_code).points;
    assert_eq!(
        [given.black.from, given.white.from, given.light_share.from],
        [Origin::Given; 3]
    );
    assert!((given.black.value - decode(f64::from(0x1c) / 255.0)).abs() < 1e-9);
    let guessed = split(&figure("kind = \"black-to-white\""), every_code).points;
    assert_eq!(
        [
            guessed.black.from,
            guessed.white.from,
            guessed.light_share.from
        ],
        [Origin::Estimated; 3]
    );
    assert!(
        (0.0..1.0).contains(&guessed.light_share.value),
        "{guessed:?}"
    );
    let washed = split(&figure("kind = \"white-with-wash\""), every_code).points;
    assert!((washed.light_share.value - 0.8).abs() < 1e-12);
    assert!(
        guessed.black.value < 0.02 && (guessed.white.value - 0.8).abs() < 1e-12,
        "{guessed:?}"
    );
}

/// A figure whose light falls off from left to right and whose paint has stripes, and the same before drybrushing.
fn striped() -> (impl Fn(u32, u32) -> f64, impl Fn(u32) -> f64) {
    (
        |_: u32, y: u32| if y / 8 % 2 == 0 { 0.05 } else { 0.6 },
        |x: u32| 1.0 - f64::from(x) / 90.0,
    )
}

#[test]
fn a_light_photo_tells_paint_from_light() {
    let figure = figure(
        "kind = \"black-to-white\"\nlight_photo = \"primed.png\"\nwhite = \"#e9e9e9\"\nblack = \"#303030\"",
    );
    let (paint, light) = striped();
    let black = decode(f64::from(0x30) / 255.0);
    let code = |y: f64| Linear::grey(y).encoded().0[0];
    let plate = grey_plate(&figure, 64, 80, 4, |x, y| code(paint(x, y) * light(x)));
    let primed = velatura_testkit::pictures::png_rgb(64, 80, |x, _| [code(black * light(x)); 3]);
    let primed = decode_photo("primed.png", &primed, &DecodeLimits::default())
        .unwrap()
        .value;
    let planes = underpainting(plate.clone(), &figure, Some(primed))
        .unwrap()
        .value;
    let by_share = underpainting(plate, &figure, None).unwrap().value;
    let worst = |planes: &Underpainting| {
        velatura_testkit::pictures::pixels(64, 80, |x, y| (x, y))
            .into_iter()
            .zip(&planes.substrate)
            .zip(&planes.subject.region)
            .filter(|(_, region)| **region != 0)
            .map(|(((x, y), substrate), _)| {
                (f64::from(*substrate) / 65535.0 / paint(x, y)).ln().abs()
            })
            .fold(0.0, f64::max)
    };
    // Codes of the primed photo are 4 % apart and smoothed; we reach 0.03.
    assert!(worst(&planes) < 0.06, "{}", worst(&planes));
    // Must fail: an estimated share cannot know that paint and light are independent here.
    assert!(worst(&by_share) > 0.2, "{}", worst(&by_share));
    assert_eq!(planes.points.light_share.from, Origin::Measured);
}

#[test]
fn a_light_photo_of_a_washed_figure_shows_its_white_primer() {
    let (_, light) = striped();
    let wash = |y: u32| if y / 8 % 2 == 0 { 0.1 } else { 0.8 };
    let code = |y: f64| Linear::grey(y).encoded().0[0];
    let primed = velatura_testkit::pictures::png_rgb(64, 80, |x, _| [code(0.8 * light(x)); 3]);
    let primed = decode_photo("primed.png", &primed, &DecodeLimits::default())
        .unwrap()
        .value;
    let worst = |undercoat: &str, primed| {
        let figure = figure(undercoat);
        let plate = grey_plate(&figure, 64, 80, 4, |x, y| code(wash(y) * light(x)));
        let planes = underpainting(plate, &figure, primed).unwrap().value;
        let off = velatura_testkit::pictures::pixels(64, 80, |_, y| y)
            .into_iter()
            .zip(&planes.substrate)
            .zip(&planes.subject.region)
            .filter(|(_, region)| **region != 0)
            .map(|((y, substrate), _)| (f64::from(*substrate) / 65535.0 / wash(y)).ln().abs())
            .fold(0.0, f64::max);
        (off, planes.points)
    };
    // Codes of bright primer are 1 % apart; if set, its own code is rounded too. We reach 0.01.
    let given = "kind = \"white-with-wash\"\nlight_photo = \"primed.png\"\nwhite = \"#e7e7e7\"\nblack = \"#595959\"";
    assert!(worst(given, Some(primed.clone())).0 < 0.03);
    // If not set, the primer is found in its photo: here only the first columns have full light.
    let kind = "kind = \"white-with-wash\"\nlight_photo = \"primed.png\"";
    let (off, points) = worst(kind, Some(primed));
    assert!(off < 0.12, "{off}");
    assert_eq!(
        [points.black.from, points.white.from],
        [Origin::Estimated, Origin::Measured]
    );
    // Must fail: without that photo, shade looks like wash.
    assert!(worst(given, None).0 > 0.3);
}

#[test]
fn a_light_photo_of_another_size_is_refused_and_of_a_plain_figure_left_aside() {
    let figure = figure("kind = \"black-to-white\"\nlight_photo = \"primed.png\"");
    let small = velatura_testkit::pictures::png_rgb(63, 80, |_, _| [40; 3]);
    let small = decode_photo("primed.png", &small, &DecodeLimits::default())
        .unwrap()
        .value;
    let plate = grey_plate(&figure, 64, 80, 4, every_code);
    let reported = underpainting(plate.clone(), &figure, Some(small.clone()))
        .unwrap_err()
        .to_string();
    assert!(
        reported.contains("primed.png: the light photo is 63 × 80 pixels, the photo 64 × 80"),
        "{reported}"
    );
    assert!(
        reported.contains("the size of photo.png")
            && reported.contains("figure.toml:8:15, `light_photo`"),
        "{reported}"
    );
    let text =
        velatura_testkit::pictures::figure_text("kind = \"plain\"\nlight_photo = \"primed.png\"");
    let plain = velatura_figure::read_figure_file(&velatura_testkit::pictures::source(&text))
        .unwrap()
        .value;
    let same_size = decode_photo(
        "p",
        &velatura_testkit::pictures::png_rgb(64, 80, |_, _| [40; 3]),
        &DecodeLimits::default(),
    )
    .unwrap()
    .value;
    let planes = underpainting(plate, &plain, Some(same_size)).unwrap().value;
    assert_eq!(planes.points.light_share.from, Origin::Given);
}

/// A bright ridge at column 18 and a dark groove at column 46 on an even grey.
fn ridge_and_groove(x: u32, _: u32) -> u8 {
    match x {
        17..=19 => 190,
        45..=47 => 70,
        _ => 130,
    }
}

#[test]
fn a_ridge_is_raised_and_a_groove_a_recess() {
    let relief = |of: &dyn Fn(u32, u32) -> u8| {
        let planes = split(&figure(DRYBRUSHED), of);
        let at = |x: usize| f64::from(planes.relief[40 * 64 + x]) / 65535.0;
        (at(18), at(46))
    };
    let (ridge, groove) = relief(&ridge_and_groove);
    assert!(ridge > 0.6 && groove < 0.4, "{ridge} {groove}");
    // Must fail: the picture turned into its negative.
    let (ridge, groove) = relief(&|x, y| 255 - ridge_and_groove(x, y));
    assert!(ridge < 0.4 && groove > 0.6, "{ridge} {groove}");
}

#[test]
fn the_backdrop_has_no_say_in_relief() {
    let inside = |x: u32, y: u32| (4..60).contains(&x) && (4..76).contains(&y);
    let over = |backdrop: u8| {
        split(&figure(DRYBRUSHED), |x, y| {
            if inside(x, y) {
                ridge_and_groove(x, y)
            } else {
                backdrop
            }
        })
    };
    let (dark, light) = (over(5), over(250));
    let differ = |a: &[u16], b: &[u16]| {
        a.iter()
            .zip(b)
            .zip(&dark.subject.region)
            .any(|((a, b), r)| *r != 0 && a != b)
    };
    assert!(!differ(&dark.relief, &light.relief));
    assert!(!differ(&dark.substrate, &light.substrate));
}

#[test]
fn simulated_undercoats_never_darken_with_relief() {
    use SimulatedUndercoat::{AsPhotographed, BlackToWhite, PlainWhite, WhiteWithWash};
    let points = split(&figure("kind = \"plain\""), every_code).points;
    for to in [PlainWhite, WhiteWithWash, BlackToWhite] {
        let row: Vec<f64> = (0..=100)
            .map(|i| simulated_substrate(to, &points, 0.3, f64::from(i) / 100.0))
            .collect();
        assert!(row.is_sorted(), "{to:?}: {row:?}");
        assert!(row.iter().all(|r| (0.0..=1.0).contains(r)), "{to:?}");
    }
    assert!((simulated_substrate(AsPhotographed, &points, 0.3, 0.9) - 0.3).abs() < 1e-12);
    let washed = |relief| simulated_substrate(WhiteWithWash, &points, 0.3, relief);
    assert!(
        washed(0.0) < 0.3 && washed(0.6) > 0.6,
        "{} {}",
        washed(0.0),
        washed(0.6)
    );
    let ramp = |relief| simulated_substrate(BlackToWhite, &points, 0.3, relief);
    assert!(
        ramp(0.0) < 0.05 && ramp(1.0) > 0.6,
        "{} {}",
        ramp(0.0),
        ramp(1.0)
    );
}

#[test]
fn a_reduced_figure_keeps_its_means() {
    let planes = split(&figure(DRYBRUSHED), |x, y| {
        u8::try_from(60 + x + y).expect("below 256")
    });
    let crop = planes.crop_box();
    assert!(
        crop.x <= 4 && crop.y <= 4 && crop.x + crop.width >= 60 && crop.y + crop.height >= 76,
        "{crop:?}"
    );
    let inside = CropBox {
        x: 4,
        y: 4,
        width: 56,
        height: 72,
    };
    let small = planes.reduced(inside, 14, 18);
    assert_eq!(
        (
            small.subject.width,
            small.subject.height,
            small.subject.region.len()
        ),
        (14, 18, 14 * 18)
    );
    let mean = |planes: &Underpainting, of: &dyn Fn(usize) -> f64| {
        let inside: Vec<usize> = (0..planes.subject.region.len())
            .filter(|at| planes.subject.region[*at] != 0)
            .collect();
        #[allow(clippy::cast_precision_loss, reason = "few pixels")]
        let count = inside.len() as f64;
        inside.into_iter().map(of).sum::<f64>() / count
    };
    let close = |a: f64, b: f64, slack: f64| assert!((a - b).abs() < slack * b, "{a} {b}");
    close(
        mean(&small, &|at| f64::from(small.substrate[at])),
        mean(&planes, &|at| f64::from(planes.substrate[at])),
        1e-4,
    );
    close(
        mean(&small, &|at| f64::from(small.relief[at])),
        mean(&planes, &|at| f64::from(planes.relief[at])),
        1e-4,
    );
    close(
        mean(&small, &|at| product(&small, at)),
        mean(&planes, &|at| product(&planes, at)),
        0.01,
    );
    let light =
        |planes: &Underpainting, at: usize| decode(f64::from(planes.subject.photo[at][0]) / 255.0);
    close(
        mean(&small, &|at| light(&small, at)),
        mean(&planes, &|at| light(&planes, at)),
        0.01,
    );
    // Must fail: averaged codes are darker than averaged light where neighbours differ.
    let checks = split(
        &figure(DRYBRUSHED),
        |x, y| if (x + y) % 2 == 0 { 20 } else { 220 },
    );
    let grey = checks.reduced(inside, 14, 18).subject.photo[0][0];
    assert!(
        grey > 150 && grey < 170,
        "{grey}: the mean of the codes is 120"
    );
}

#[test]
fn a_reduced_pixel_goes_to_the_region_that_has_most_of_it() {
    let planes = split(&figure(DRYBRUSHED), |_, _| 120);
    let whole = CropBox {
        x: 0,
        y: 0,
        width: 64,
        height: 80,
    };
    let small = planes.reduced(whole, 8, 10);
    let row: Vec<u8> = small.subject.region[8 * 5..8 * 6].to_vec();
    // The outer boxes are half background and half region: the lower number wins among equals.
    assert_eq!(row, [0, 1, 1, 1, 2, 2, 2, 0]);
    let larger = planes.reduced(whole, 128, 160);
    assert_eq!(larger.subject.region[128 * 80 + 63], 1);
}

#[test]
fn one_thread_and_two_give_the_same_planes() {
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        pool.install(|| {
            let figure = figure("kind = \"black-to-white\"\nlight_photo = \"primed.png\"");
            let plate = grey_plate(&figure, 64, 80, 4, every_code);
            let primed =
                velatura_testkit::pictures::png_rgb(64, 80, |x, y| [40 + every_code(y, x) / 8; 3]);
            let primed = decode_photo("p", &primed, &DecodeLimits::default())
                .unwrap()
                .value;
            underpainting(plate, &figure, Some(primed)).unwrap().value
        })
    };
    let (one, two) = (with(1), with(2));
    assert!(one.substrate == two.substrate && one.light == two.light && one.relief == two.relief);
    assert_eq!(one.points, two.points);
}

#[test]
fn a_primer_of_no_light_gives_numbers_all_the_same() {
    let given = "kind = \"black-to-white\"\nlight_photo = \"primed.png\"\nwhite = \"#e9e9e9\"\nblack = \"#010101\"";
    let mut figure = figure(given);
    // The reader refuses this code, but a program may still give it.
    figure.undercoat.black.as_mut().unwrap().value = velatura_optics::colour::Encoded([0; 3]);
    let plate = grey_plate(&figure, 64, 80, 4, every_code);
    let primed = velatura_testkit::pictures::png_rgb(64, 80, |x, _| [u8::try_from(x).unwrap(); 3]);
    let primed = decode_photo("primed.png", &primed, &DecodeLimits::default())
        .unwrap()
        .value;
    let points = underpainting(plate, &figure, Some(primed))
        .unwrap()
        .value
        .points;
    for value in [
        points.black.value,
        points.white.value,
        points.light_share.value,
    ] {
        assert!(value.is_finite(), "{points:?}");
    }
}
