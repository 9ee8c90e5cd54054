//! Regions from strokes: rules for all strokes, overlap with exact masks, and messages about bad strokes.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "numbers in tests are small"
)]

use image::ExtendedColorType;
use velatura_document::{Diagnostic, Warned};
use velatura_photo::flat::PhotoFrame;
use velatura_photo::{DecodeLimits, Orientation, Photo, decode_photo};
use velatura_regions::{Labels, Marked, Marks, mask_png, overlay, read_marks, refined, regions};
use velatura_testkit::pictures::{BLUE, ByteOrder, RED, jpeg, pixels, png, png_rgb, with_exif};

const CLEAR: [u8; 4] = [0; 4];
const BLACK: [u8; 4] = [0, 0, 0, 255];

fn opaque([red, green, blue]: [u8; 3]) -> [u8; 4] {
    [red, green, blue, 255]
}

fn photo(bytes: &[u8]) -> Photo {
    decode_photo("photo.png", bytes, &DecodeLimits::default())
        .unwrap()
        .value
}

fn fit(width: u32, height: u32, orientation: Orientation) -> PhotoFrame<'static> {
    PhotoFrame {
        width,
        height,
        photo: "photo.png",
        orientation,
    }
}

fn read(
    bytes: &[u8],
    photo: &Photo,
    marked: Marked,
) -> Result<(Marks, Vec<Diagnostic>), Diagnostic> {
    let fit = fit(photo.width, photo.height, photo.orientation);
    read_marks("strokes.png", bytes, &DecodeLimits::default(), &fit, marked).map(Warned::into_parts)
}

fn rgba(width: u32, height: u32, of: impl Fn(u32, u32) -> [u8; 4]) -> Vec<u8> {
    png(
        width,
        height,
        pixels(width, height, of).as_flattened(),
        ExtendedColorType::Rgba8,
    )
}

/// Reads strokes and finds the regions of a picture.
fn made(photo: &Photo, strokes: &[u8]) -> Labels {
    regions(photo, &read(strokes, photo, Marked::Strokes).unwrap().0)
}

/// A small generator of numbers, so that a failing case can be repeated from its seed.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, end: u32) -> u32 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        u32::try_from((self.0 >> 33) % u64::from(end)).unwrap()
    }
}

const SIDE: u32 = 120;

/// What is at a pixel of the ball: two grey halves, the lower one slightly darker, with a dark crease between them.
fn truth(x: u32, y: u32) -> u8 {
    let (dx, dy) = (f64::from(x) - 60.0, f64::from(y) - 60.0);
    if dx.hypot(dy) > 40.0 {
        0
    } else if dy < 4.0 * (dx / 9.0).sin() {
        1
    } else {
        2
    }
}

/// A grey ball in two parts in front of a bright background; light comes from the left.
fn ball(x: u32, y: u32) -> [u8; 3] {
    let crease = (f64::from(y) - 60.0 - 4.0 * ((f64::from(x) - 60.0) / 9.0).sin()).abs();
    let grain = (x * 7 + y * 13 + x * y) % 5;
    let tone = match truth(x, y) {
        0 => 205,
        _ if crease < 1.5 => 70,
        _ => 150 - x / 3,
    };
    [u8::try_from(tone + grain).unwrap(); 3]
}

fn ball_strokes(x: u32, y: u32) -> [u8; 4] {
    let in_box =
        |left, right, top, bottom| (left..right).contains(&x) && (top..bottom).contains(&y);
    if in_box(45, 75, 36, 39) {
        opaque(RED)
    } else if in_box(50, 70, 82, 85) {
        opaque(BLUE)
    } else if in_box(5, 40, 6, 9) || in_box(100, 104, 90, 115) {
        BLACK
    } else {
        CLEAR
    }
}

/// Intersection over union of one label.
fn overlap(labels: &[u8], width: u32, label: u8, truth: impl Fn(u32, u32) -> u8) -> f64 {
    let (mut both, mut any) = (0, 0);
    for (at, found) in (0..).zip(labels) {
        let real = truth(at % width, at / width);
        both += u32::from(*found == label && real == label);
        any += u32::from(*found == label || real == label);
    }
    f64::from(both) / f64::from(any)
}

/// The colours are in order of their codes: blue first.
fn ball_labels(x: u32, y: u32) -> u8 {
    [0, 2, 1][usize::from(truth(x, y))]
}

#[test]
fn two_grey_parts_are_separated_by_the_crease_between_them() {
    let photo = photo(&png_rgb(SIDE, SIDE, ball));
    let made = made(&photo, &rgba(SIDE, SIDE, ball_strokes));
    assert_eq!(made.colours.len(), 2);
    for label in [0, 1, 2] {
        let overlap = overlap(&made.labels, SIDE, label, ball_labels);
        println!("label {label}: {overlap:.4}");
        assert!(overlap > 0.95, "label {label}: {overlap}");
    }
    // Must fail: without the photo (an even grey), only the strokes are known.
    let blank = crate::regions::photo(&png_rgb(SIDE, SIDE, |_, _| [128; 3]));
    let guessed = crate::regions::made(&blank, &rgba(SIDE, SIDE, ball_strokes));
    assert!(overlap(&guessed.labels, SIDE, 2, ball_labels) < 0.9);
}

#[test]
fn a_dark_flank_is_reported_from_the_backdrop_beside_it() {
    // Light falls from the left on ball and backdrop, and the ball is always brighter than the backdrop behind it. Its dark
    // side has the tone of the backdrop's bright side, and nobody marked it: with only the tables of tones over the whole
    // picture, it would be lost (0.77).
    let side = 160_u32;
    let lit = |x: u32, from: f64, to: f64| from + (to - from) * f64::from(x) / 160.0;
    let flank = |x: u32| 200.0 - 130.0 * ((f64::from(x) - 30.0) / 100.0).clamp(0.0, 1.0);
    let far = |x: u32, y: u32| (f64::from(x) - 80.0).hypot(f64::from(y) - 80.0);
    let photo = photo(&png_rgb(side, side, |x, y| {
        let inside = ((50.0 - far(x, y)) / 3.0 + 0.5).clamp(0.0, 1.0);
        let tone = lit(x, 120.0, 30.0) * (1.0 - inside) + flank(x) * inside;
        [(tone.round() as u8) + u8::try_from((x * 7 + y * 13 + x * y) % 9).unwrap(); 3]
    }));
    let strokes = rgba(side, side, |x, y| match (x, y) {
        (40..75, 76..80) => opaque(RED),
        (6..40 | 120..154, 8..11) | (6..20, 140..143) => BLACK,
        _ => CLEAR,
    });
    let made = made(&photo, &strokes);
    let found = overlap(&made.labels, side, 1, |x, y| u8::from(far(x, y) < 50.0));
    println!("figure: {found:.4}");
    assert!(found > 0.9, "{found}");
    // Must fail: the same ball as dark as the backdrop has no edge to find.
    let blank = crate::regions::photo(&png_rgb(side, side, |x, _| {
        [lit(x, 120.0, 30.0).round() as u8; 3]
    }));
    let guessed = crate::regions::made(&blank, &strokes);
    assert!(overlap(&guessed.labels, side, 1, |x, y| u8::from(far(x, y) < 50.0)) < 0.8);
}

#[test]
fn strokes_are_obeyed_and_only_their_colours_come_out_whatever_they_are() {
    let colours = [BLACK, opaque(RED), opaque(BLUE), opaque([60, 180, 75])];
    let mut cases = 0;
    for seed in 0..60 {
        let mut numbers = Numbers(seed);
        let (width, height) = (1 + numbers.below(70), 1 + numbers.below(50));
        let pixel: Vec<u8> = (0..width * height)
            .map(|_| u8::try_from(numbers.below(256)).unwrap())
            .collect();
        let bytes = png_rgb(width, height, |x, y| [pixel[(y * width + x) as usize]; 3]);
        let mut strokes = vec![CLEAR; (width * height) as usize];
        for _ in 0..=numbers.below(6) {
            let colour = colours[numbers.below(4) as usize];
            let (mut x, mut y) = (numbers.below(width), numbers.below(height));
            for _ in 0..numbers.below(30) {
                strokes[(y * width + x) as usize] = colour;
                x = (x + numbers.below(3)).saturating_sub(1).min(width - 1);
                y = (y + numbers.below(3)).saturating_sub(1).min(height - 1);
            }
        }
        let photo = photo(&bytes);
        let png = rgba(width, height, |x, y| strokes[(y * width + x) as usize]);
        let Ok((marks, _)) = read(&png, &photo, Marked::Strokes) else {
            let coloured = strokes
                .iter()
                .any(|stroke| *stroke != CLEAR && *stroke != BLACK);
            assert!(!coloured, "seed {seed}: strokes were refused");
            continue;
        };
        cases += 1;
        let made = regions(&photo, &marks);
        let palette = made.palette();
        assert_eq!(made.labels.len(), strokes.len(), "seed {seed}");
        for (at, label) in made.labels.iter().enumerate() {
            let out = opaque(palette[usize::from(*label)].0);
            assert!(colours.contains(&out), "seed {seed}");
            if marks.marks[at] != 255 {
                assert_eq!(*label, marks.marks[at], "seed {seed}, pixel {at}");
            }
            // These strokes are flat: none of them may count as a blend of others unless it is rare and next to a more common one.
            if strokes[at] != CLEAR && marks.marks[at] != 255 {
                assert_eq!(out, strokes[at], "seed {seed}, pixel {at}");
            }
        }
    }
    assert!(cases >= 40, "{cases} cases ran");
}

#[test]
fn any_number_of_threads_gives_the_same_regions() {
    let photo = photo(&png_rgb(SIDE, SIDE, ball));
    let strokes = rgba(SIDE, SIDE, ball_strokes);
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        pool.install(|| made(&photo, &strokes).labels)
    };
    let one = with(1);
    for threads in [2, 3, 8] {
        assert_eq!(with(threads), one, "{threads} threads");
    }
}

#[test]
fn a_large_photo_has_the_regions_of_the_small_one() {
    let times = 9;
    let small = photo(&png_rgb(SIDE, SIDE, ball));
    let large = photo(&png_rgb(SIDE * times, SIDE * times, |x, y| {
        ball(x / times, y / times)
    }));
    let small = made(&small, &rgba(SIDE, SIDE, ball_strokes));
    let strokes = rgba(SIDE * times, SIDE * times, |x, y| {
        ball_strokes(x / times, y / times)
    });
    let large = made(&large, &strokes);
    for label in [0, 1, 2] {
        let overlap = overlap(&large.labels, SIDE * times, label, |x, y| {
            small.labels[(y / times * SIDE + x / times) as usize]
        });
        println!("label {label}: {overlap:.4}");
        assert!(overlap > 0.95, "label {label}: {overlap}");
    }
}

#[test]
fn one_region_one_dot_and_one_pixel_are_enough() {
    let photo_of = |side| photo(&png_rgb(side, side, |x, _| [u8::try_from(x).unwrap(); 3]));
    let one = made(&photo_of(1), &rgba(1, 1, |_, _| opaque(RED)));
    assert_eq!(one.labels, [1]);
    let dot = made(
        &photo_of(40),
        &rgba(40, 40, |x, y| {
            if (x, y) == (20, 20) {
                opaque(RED)
            } else {
                CLEAR
            }
        }),
    );
    assert!(dot.labels.iter().all(|label| *label == 1));
}

#[test]
fn sixteen_bit_grey_photos_give_what_eight_bit_ones_give() {
    let eight = photo(&png_rgb(SIDE, SIDE, ball));
    let codes: Vec<u8> = pixels(SIDE, SIDE, |x, y| {
        (u16::from(ball(x, y)[0]) * 257).to_ne_bytes()
    })
    .into_iter()
    .flatten()
    .collect();
    let sixteen = photo(&png(SIDE, SIDE, &codes, ExtendedColorType::L16));
    let strokes = rgba(SIDE, SIDE, ball_strokes);
    assert_eq!(
        made(&sixteen, &strokes).labels,
        made(&eight, &strokes).labels
    );
}

#[test]
fn smoothed_strokes_keep_their_colours_and_are_reported() {
    // A stroke 7 wide: its edge is half red over black, as from a soft brush over an opaque stroke.
    let strokes = rgba(60, 40, |x, y| match y {
        10..=24 => match x {
            0..=19 => BLACK,
            20 => opaque([0x73, 0x0c, 0x25]),
            _ => opaque(RED),
        },
        _ => CLEAR,
    });
    let photo = photo(&png_rgb(60, 40, |x, _| [u8::try_from(x * 4).unwrap(); 3]));
    let (marks, warnings) = read(&strokes, &photo, Marked::Strokes).unwrap();
    assert_eq!(marks.colours.len(), 1, "{:?}", marks.colours);
    assert!(
        warnings
            .iter()
            .any(|one| one.found.contains("blended: 15 pixels")),
        "{warnings:?}"
    );
    // Must fail: the same colour as a separate stroke is a region.
    let own = rgba(60, 40, |x, y| match (x, y) {
        (0..=9, 10..=24) => BLACK,
        (20..=29, 10..=24) => opaque([0x73, 0x0c, 0x25]),
        (40.., 10..=24) => opaque(RED),
        _ => CLEAR,
    });
    assert_eq!(
        read(&own, &photo, Marked::Strokes).unwrap().0.colours.len(),
        2
    );
}

#[test]
fn colours_of_a_lossy_file_count_as_the_stroke_s() {
    let strokes = rgba(60, 40, |x, y| {
        let stray = u8::try_from((x * 31 + y * 17) % 23).unwrap();
        match (x, y) {
            (5..=25, 5..=20) if stray < 2 => opaque([RED[0] - 9 + stray, RED[1] + 7, RED[2]]),
            (5..=25, 5..=20) => opaque(RED),
            (35..=55, 5..=20) => BLACK,
            _ => CLEAR,
        }
    });
    let photo = photo(&png_rgb(60, 40, |_, y| [u8::try_from(y * 5).unwrap(); 3]));
    let (marks, warnings) = read(&strokes, &photo, Marked::Strokes).unwrap();
    assert_eq!(marks.colours.len(), 1, "{:?}", marks.colours);
    assert!(
        warnings[0].found.contains("close to that of the strokes"),
        "{warnings:?}"
    );
    assert_eq!(
        marks.marks.iter().filter(|mark| **mark == 1).count(),
        21 * 16
    );
}

#[test]
fn strokes_that_mark_nothing_have_no_transparency_or_another_size_are_refused() {
    let photo = photo(&png_rgb(20, 10, |x, _| [u8::try_from(x).unwrap(); 3]));
    let refused = |bytes: &[u8]| read(bytes, &photo, Marked::Strokes).unwrap_err();
    assert_eq!(
        refused(&rgba(20, 10, |_, _| CLEAR)).found,
        "there is no stroke"
    );
    let only_black = rgba(20, 10, |x, _| if x < 3 { BLACK } else { CLEAR });
    assert_eq!(refused(&only_black).found, "only the background is marked");
    let full = refused(&png_rgb(20, 10, |_, _| RED));
    assert_eq!(full.found, "this picture has no transparency");
    let other = refused(&rgba(10, 20, |_, _| opaque(RED)));
    assert_eq!(
        other.found,
        "the strokes picture is 10 × 20 pixels, the photo 20 × 10"
    );
    assert!(other.help.unwrap().to_string().contains("turn it by 90°"));
}

#[test]
fn strokes_over_the_unturned_photo_are_reported() {
    let plain = jpeg(20, 10, |x, _| [u8::try_from(x * 9).unwrap(); 3]);
    let turned = photo(&with_exif(&plain, 6, ByteOrder::Big));
    assert_eq!((turned.width, turned.height), (10, 20));
    let refused = read(&rgba(20, 10, |_, _| opaque(RED)), &turned, Marked::Strokes).unwrap_err();
    assert!(
        refused
            .help
            .unwrap()
            .to_string()
            .contains("photo before rotation")
    );
}

#[test]
fn a_rough_mask_comes_nearer_to_the_edges_and_moves_no_farther_than_asked() {
    let photo = photo(&png_rgb(SIDE, SIDE, ball));
    // The truth, four pixels off to the right and down.
    let rough = png_rgb(SIDE, SIDE, |x, y| {
        [[0; 3], RED, BLUE][usize::from(truth(x.saturating_sub(4), y.saturating_sub(4)))]
    });
    let (mask, _) = read(&rough, &photo, Marked::RoughMask).unwrap();
    let reach = 6;
    let made = refined(&photo, &mask, reach);
    // The crease is three pixels wide, and its rough border up to six away: we reach 0.937 there, 0.989 on the outline.
    for label in [0, 1, 2] {
        let before = overlap(&mask.marks, SIDE, label, ball_labels);
        let after = overlap(&made.labels, SIDE, label, ball_labels);
        println!("label {label}: {before:.4} → {after:.4}");
        assert!(
            after > before + 0.02 && after > 0.92,
            "label {label}: {before} → {after}"
        );
    }
    let (width, far) = (SIDE as usize, usize::from(reach));
    for (at, (old, new)) in mask.marks.iter().zip(&made.labels).enumerate() {
        let (x, y) = (at % width, at / width);
        let window = || {
            (y.saturating_sub(far)..=(y + far).min(width - 1)).flat_map(|y| {
                (x.saturating_sub(far)..=(x + far).min(width - 1)).map(move |x| y * width + x)
            })
        };
        if old != new {
            assert!(
                window().any(|near| mask.marks[near] != *old),
                "pixel {at} moved too far"
            );
        }
    }
    // Must fail: a reach of one pixel is not enough.
    let hardly = refined(&photo, &mask, 1);
    assert!(overlap(&hardly.labels, SIDE, 1, ball_labels) < 0.92);
}

#[test]
fn the_gap_that_nobody_marked_is_reported() {
    // A ring: the background shows through its middle, where there is no stroke.
    let ring = |x: u32, y: u32| {
        let far = (f64::from(x) - 60.0).hypot(f64::from(y) - 60.0);
        (18.0..42.0).contains(&far)
    };
    let photo = photo(&png_rgb(SIDE, SIDE, |x, y| {
        if ring(x, y) { [90; 3] } else { [210, 205, 190] }
    }));
    let strokes = rgba(SIDE, SIDE, |x, y| match (x, y) {
        (50..=70, 25..=29) => opaque(RED),
        (5..=115, 3..=5) => BLACK,
        _ => CLEAR,
    });
    let made = made(&photo, &strokes);
    assert_eq!(made.labels[(60 * SIDE + 60) as usize], 0);
    assert_eq!(made.islands.len(), 1, "{:?}", made.islands);
    assert_eq!(made.islands[0].label, 0);
    assert!(
        made.islands[0].pixels.abs_diff(1018) < 200,
        "{:?}",
        made.islands
    );
}

#[test]
fn mask_and_overlay_are_of_the_photo_s_size() {
    let photo = photo(&png_rgb(SIDE, SIDE, ball));
    let made = made(&photo, &rgba(SIDE, SIDE, ball_strokes));
    let mask = image::load_from_memory(&mask_png(&made, SIDE))
        .unwrap()
        .to_rgb8();
    assert_eq!(mask.dimensions(), (SIDE, SIDE));
    assert_eq!(mask.get_pixel(60, 37).0, RED);
    assert_eq!(mask.get_pixel(60, 83).0, BLUE);
    assert_eq!(mask.get_pixel(8, 7).0, [0; 3]);
    assert_eq!(overlay(&photo, &made).len(), photo.photo.len());
}
