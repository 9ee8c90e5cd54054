//! The time to derive K and S of a whole file, and of one mix. Run with `cargo bench -p velatura-tests --bench calibration`.

#![allow(missing_docs, reason = "a bench: its entry is made by a macro")]

use std::fmt::Write as _;
use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use velatura_document::SourceText;
use velatura_pipeline::optics::calibrate::calibrate;
use velatura_pipeline::optics::mixture::Mix;
use velatura_pipeline::optics::paints_file::{PaintsFile, read_paints_file};

/// Fourteen invented paints and white, each with a tint with white where `tint` is given.
fn paints(tint: &str) -> PaintsFile {
    let mut text = "format = \"velatura-paints/1\"\n[cards]\nblack = \"#1c1c1c\"\nwhite = \"#f0f0f0\"\n\
                    [[paint]]\nname = \"white\"\nover_black = \"#d0d0d0\"\nover_white = \"#eeeeee\"\n"
        .to_owned();
    for number in 0..14 {
        let (dark, light) = (32 + 3 * number, 96 + 9 * number);
        write!(
            text,
            "[[paint]]\nname = \"{number}\"\nover_black = \"#{dark:02x}2a20\"\nover_white = \"#{light:02x}a060\"\n{tint}"
        )
        .expect("a text grows");
    }
    let source = SourceText::new("paints.toml", text);
    let file = read_paints_file(&source).unwrap_or_else(|problems| panic!("{problems:?}"));
    file.value
}

fn calibration(criterion: &mut Criterion) {
    let tint = "[[paint.tint]]\nwith = \"white\"\nparts = [1, 4]\nover_black = \"#c8c4b8\"\nover_white = \"#d8d4c0\"\n";
    let (bare, tinted) = (paints(""), paints(tint));
    let mut group = criterion.benchmark_group("calibration");
    group.sample_size(10);
    group.bench_function("15 paints, no tint", |bench| {
        bench.iter(|| calibrate(black_box(&bare)));
    });
    group.bench_function("15 paints, one tint each", |bench| {
        bench.iter(|| calibrate(black_box(&tinted)));
    });
    let paints = calibrate(&tinted).value;
    for (name, pair) in [("tinted", [0, 1]), ("linked", [1, 2])] {
        let mix = Mix {
            paints: pair.map(|paint| (paint, 1.0)).to_vec(),
            medium: 2.0,
        };
        group.bench_function(format!("one mix of a {name} pair"), |bench| {
            bench.iter(|| paints.mixed(black_box(&mix)));
        });
    }
    group.finish();
}

criterion_group!(benches, calibration);
criterion_main!(benches);
