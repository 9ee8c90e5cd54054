//! A light photo that is a few pixels off is aligned with the photo; the demo's own is left alone.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "numbers in tests are small"
)]

use std::path::Path;

use velatura_document::Diagnostic;
use velatura_document::SourceText;
use velatura_figure::{FigureFile, Plate, Underpainting, plate, read_figure_file, underpainting};
use velatura_photo::{DecodeLimits, Photo, decode_photo};

fn demo(file: &str) -> Vec<u8> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo_images/lamplighter");
    std::fs::read(folder.join(file)).unwrap()
}

struct Demo {
    figure: FigureFile,
    plate: Plate,
    primed: Photo,
}

impl Demo {
    fn new() -> Self {
        let source = SourceText::from_bytes("figure.toml", demo("figure.toml")).unwrap();
        let figure = read_figure_file(&source).unwrap().value;
        let limits = DecodeLimits::default();
        let (photo, mask) = (demo("lamplighter.jpg"), demo("lamplighter-mask.png"));
        let plate = plate(&figure, &photo, &mask, &limits).unwrap().value;
        let primed = decode_photo("primed.jpg", &demo("primed.jpg"), &limits)
            .unwrap()
            .value;
        Self {
            figure,
            plate,
            primed,
        }
    }

    fn with(&self, light: Photo) -> (Underpainting, Vec<Diagnostic>) {
        underpainting(self.plate.clone(), &self.figure, Some(light))
            .unwrap()
            .into_parts()
    }

    /// The primed photo from a camera that moved: turned about the photo's centre and shifted.
    fn moved(&self, degrees: f64, scale: f64, shift: [f64; 2]) -> Photo {
        let (width, height) = (self.primed.width as usize, self.primed.height as usize);
        let (sin, cos) = degrees.to_radians().sin_cos();
        let middle = [width as f64 / 2.0, height as f64 / 2.0];
        let luminance = (0..width * height)
            .map(|at| {
                let (x, y) = (
                    (at % width) as f64 - shift[0] - middle[0],
                    (at / width) as f64 - shift[1] - middle[1],
                );
                let u = (cos * x + sin * y) / scale + middle[0];
                let v = (cos * y - sin * x) / scale + middle[1];
                let (u, v) = (
                    u.clamp(0.0, width as f64 - 1.001),
                    v.clamp(0.0, height as f64 - 1.001),
                );
                let (left, top) = (u as usize, v as usize);
                let tone = |x: usize, y: usize| {
                    f64::from(self.primed.luminance[(top + y) * width + left + x])
                };
                let (du, dv) = (u.fract(), v.fract());
                let upper = tone(0, 0) * (1.0 - du) + tone(1, 0) * du;
                let lower = tone(0, 1) * (1.0 - du) + tone(1, 1) * du;
                (upper * (1.0 - dv) + lower * dv).round() as u16
            })
            .collect();
        Photo {
            luminance,
            ..self.primed.clone()
        }
    }

    /// Mean difference of two substrates on the figure, 0…1.
    fn apart(&self, a: &Underpainting, b: &Underpainting) -> f64 {
        let (mut sum, mut count) = (0.0, 0.0);
        for ((a, b), region) in a
            .substrate
            .iter()
            .zip(&b.substrate)
            .zip(&self.plate.subject.region)
        {
            if *region != 0 {
                sum += f64::from(a.abs_diff(*b)) / 65535.0;
                count += 1.0;
            }
        }
        sum / count
    }
}

#[test]
fn the_demos_own_light_photo_is_left_as_it_is_and_moved_ones_are_moved_back() {
    let demo = Demo::new();
    let (truth, warnings) = demo.with(demo.primed.clone());
    assert_eq!(warnings, Vec::new());

    // Half a pixel is accepted; its error is the scale for the rest.
    let (still, warnings) = demo.with(demo.moved(0.0, 1.0, [0.35, 0.2]));
    assert_eq!(warnings, Vec::new());
    let let_be = demo.apart(&still, &truth);

    for (degrees, scale, shift) in [
        (0.0, 1.0, [4.3, -2.6]),
        (0.25, 1.0, [-3.0, 5.5]),
        (-0.1, 1.003, [9.0, 6.0]),
    ] {
        let (moved, warnings) = demo.with(demo.moved(degrees, scale, shift));
        let apart = demo.apart(&moved, &truth);
        println!(
            "turned {degrees}°, scaled {scale}, shifted {shift:?}: substrate off by {apart:.4} (half a pixel let be: {let_be:.4})"
        );
        assert_eq!(warnings.len(), 1, "{warnings:?}");
        let reported = warnings[0].to_string();
        println!("{reported}");
        assert!(
            reported.starts_with("warning: primed.jpg: the light photo is shifted by up to "),
            "{reported}"
        );
        assert!(
            reported.contains("in: figure.toml:")
                && reported.contains("it was aligned with the photo"),
            "{reported}"
        );
        // Without alignment, the error would be above 0.04 (below). We reach 0.016, and half a pixel of blur accounts for
        // 0.012.
        assert!(apart < 0.022, "{apart}");
    }
}

#[test]
fn without_moving_it_back_the_same_photo_costs_several_times_as_much() {
    // Must fail: a photo whose parts moved separately is not aligned, and its error shows.
    let demo = Demo::new();
    let (truth, _) = demo.with(demo.primed.clone());
    let mut torn = demo.moved(0.0, 1.0, [9.0, 6.0]);
    let other = demo.moved(0.0, 1.0, [-9.0, -12.0]);
    let width = torn.width as usize;
    for (row, (tones, from)) in torn
        .luminance
        .chunks_mut(width)
        .zip(other.luminance.chunks(width))
        .enumerate()
    {
        if (row / 300) % 2 == 0 {
            tones.copy_from_slice(from);
        }
    }
    let (spoiled, warnings) = demo.with(torn);
    let apart = demo.apart(&spoiled, &truth);
    println!("torn: substrate off by {apart:.4}; {warnings:?}");
    assert_eq!(warnings.len(), 1);
    assert!(
        warnings[0]
            .found
            .starts_with("parts of the light photo have moved"),
        "{warnings:?}"
    );
    assert!(apart > 0.04, "{apart}");
}

#[test]
fn another_picture_altogether_is_reported() {
    let demo = Demo::new();
    let mut state = 7_u32;
    let luminance = demo
        .primed
        .luminance
        .iter()
        .map(|_| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (state >> 22) as u16
        })
        .collect();
    let (_, warnings) = demo.with(Photo {
        luminance,
        ..demo.primed.clone()
    });
    assert_eq!(warnings.len(), 1, "{warnings:?}");
    assert!(
        warnings[0]
            .found
            .starts_with("the light photo hardly matches the photo"),
        "{warnings:?}"
    );
}
