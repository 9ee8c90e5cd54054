//! The time from strokes to a mask: the demo figure at 0.3 and at 12 megapixels, and a rough mask at 12.

#![allow(
    missing_docs,
    reason = "criterion's macro makes functions without them"
)]

use std::hint::black_box;
use std::path::Path;

use criterion::{Criterion, criterion_group, criterion_main};
use velatura_photo::flat::PhotoFrame;
use velatura_photo::{DecodeLimits, Photo, decode_photo};
use velatura_regions::{Marked, Marks, read_marks, refined, regions};

/// The demo's photo and strokes with pixels repeated or dropped to reach about this many pixels.
fn demo(pixels: f64) -> (Photo, Marks) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo_images/lamplighter");
    let read = |name: &str| std::fs::read(folder.join(name)).expect("the demo is there");
    let limits = DecodeLimits::default();
    let photo = decode_photo("lamplighter.jpg", &read("lamplighter.jpg"), &limits)
        .expect("the demo's photo is whole")
        .value;
    let fit = PhotoFrame {
        width: photo.width,
        height: photo.height,
        photo: "lamplighter.jpg",
        orientation: photo.orientation,
    };
    let strokes = read_marks(
        "strokes.png",
        &read("strokes.png"),
        &limits,
        &fit,
        Marked::Strokes,
    );
    let strokes = strokes.expect("the demo's strokes are right").value;
    let (old_width, old_height) = (photo.width as usize, photo.height as usize);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "sides of a picture"
    )]
    let side = |old: usize| {
        (old as f64 * (pixels / (old_width * old_height) as f64).sqrt()).round() as usize
    };
    let (width, height) = (side(old_width), side(old_height));
    let from =
        |at: usize| (at / width * old_height / height) * old_width + at % width * old_width / width;
    let scaled = Photo {
        width: u32::try_from(width).expect("a side"),
        height: u32::try_from(height).expect("a side"),
        photo: (0..width * height)
            .map(|at| photo.photo[from(at)])
            .collect(),
        luminance: (0..width * height)
            .map(|at| photo.luminance[from(at)])
            .collect(),
        transparent: None,
        orientation: photo.orientation,
    };
    let marks = Marks {
        colours: strokes.colours,
        marks: (0..width * height)
            .map(|at| strokes.marks[from(at)])
            .collect(),
    };
    (scaled, marks)
}

fn speed(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("regions");
    group.sample_size(10);
    for (name, pixels) in [("0.3 MP", 0.3e6), ("12 MP", 12e6)] {
        let (photo, strokes) = demo(pixels);
        group.bench_function(format!("from strokes, {name}"), |bench| {
            bench.iter(|| regions(&photo, black_box(&strokes)));
        });
    }
    let (photo, strokes) = demo(12e6);
    let mask = Marks {
        marks: regions(&photo, &strokes).labels,
        colours: strokes.colours,
    };
    group.bench_function("a rough mask by 8 pixels, 12 MP", |bench| {
        bench.iter(|| refined(&photo, black_box(&mask), 8));
    });
    group.finish();
}

criterion_group!(benches, speed);
criterion_main!(benches);
