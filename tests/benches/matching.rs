//! How long a match takes: six paints, three of them per mix, ten parts, four films; and how long matches, opposites and
//! explorations take that are too large to try every mix. Run with `cargo bench -p velatura-tests --bench matching`.

#![allow(missing_docs, reason = "a bench: its entry is made by a macro")]

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use velatura_document::SourceText;
use velatura_pipeline::figure::SimulatedUndercoat;
use velatura_pipeline::optics::calibrate::{PaintBox, calibrate};
use velatura_pipeline::optics::colour::{Encoded, Linear};
use velatura_pipeline::optics::paints_file::read_paints_file;
use velatura_pipeline::scheme::matching::{Aim, Grid, Matching, nearest_mixes};
use velatura_pipeline::scheme::{Exploring, Opposing, Substrate, Undercoat, Way, explore, oppose};
use velatura_tests::{built_in_session, demo_job, read_from_root};

const PAINTS: &str = "demo_images/lamplighter/paints.toml";

fn paints() -> PaintBox {
    let bytes = read_from_root(PAINTS).expect("the demo is there");
    let source = SourceText::from_bytes(PAINTS, bytes).expect("text");
    calibrate(&read_paints_file(&source).expect("the demo is right").value).value
}

fn matching(criterion: &mut Criterion) {
    let paints = paints();
    let colour = |hex: &str| hex.parse::<Encoded>().expect("a colour");
    let over = |hex: &str| Substrate::of_colour(colour(hex).linear(), paints.cards.specular);
    let mut group = criterion.benchmark_group("match, three paints of");
    group.sample_size(20);
    for owned in [6, 10] {
        let mut one = Matching::new(&paints, colour("#5fa8a0").lab(), over("#e0e0e0"));
        one.grid.paints.truncate(owned);
        let mut eight = one.clone();
        eight.aims = [
            "#303030", "#505050", "#707070", "#808080", "#909090", "#a8a8a8", "#c0c0c0", "#e0e0e0",
        ]
        .map(|grey| Aim {
            substrate: over(grey),
            ..one.aims[0].clone()
        })
        .to_vec();
        for (name, matching) in [("over one grey", one), ("over eight greys", eight)] {
            let id = BenchmarkId::new(format!("{owned}, {} colours", matching.grid.size()), name);
            group.bench_function(id, |bench| {
                bench.iter(|| nearest_mixes(&paints, black_box(&matching)));
            });
        }
    }
    group.finish();
}

/// So many paints of colours and opacities that look random; always the same.
fn many_paints(count: u32) -> PaintBox {
    let mut text =
        "format = \"velatura-paints/1\"\n[cards]\nblack = \"#1c1c1c\"\nwhite = \"#f0f0f0\"\n"
            .to_owned();
    // Steps by irrational numbers fill the unit interval evenly (Weyl 1916).
    let spread = |index: u32, step: f64| (f64::from(index) * step).fract();
    for index in 0..count {
        let channels = [2_f64.sqrt(), 3_f64.sqrt(), 5_f64.sqrt()];
        let over_white = Linear(channels.map(|step| 0.01 + 0.8 * spread(index, step)));
        let hides = 0.02 + 0.9 * spread(index, 7_f64.sqrt());
        let over_black = Linear(over_white.0.map(|part| part * hides));
        text += &format!(
            "[[paint]]\nname = \"paint {index}\"\nover_white = \"{}\"\nover_black = \"{}\"\n",
            over_white.encoded(),
            over_black.encoded()
        );
    }
    let source = SourceText::new("paints.toml", text);
    calibrate(&read_paints_file(&source).expect("right").value).value
}

fn many(criterion: &mut Criterion) {
    let job = demo_job(&built_in_session());
    let ground = job.ground();
    let colour = |hex: &str| hex.parse::<Encoded>().expect("a colour");
    let mut group = criterion.benchmark_group("paints");
    group.sample_size(10);
    for count in [50, 100, 200] {
        let paints = many_paints(count);
        let over = Substrate::of_colour(colour("#c0c0c0").linear(), paints.cards.specular);
        let matching = Matching::new(&paints, colour("#5fa8a0").lab(), over);
        group.bench_function(BenchmarkId::new("match", count), |bench| {
            bench.iter(|| nearest_mixes(&paints, black_box(&matching)));
        });
        let opposing = Opposing {
            scheme: &job.schemes[0],
            scheme_paints: &job.paints,
            ground: &ground,
            paints: &paints,
            grid: Grid::of_owned(&paints),
            way: Way::Negative,
            undercoat: Undercoat::Flipped,
            parts: &[],
            kept: &[],
        };
        group.bench_function(BenchmarkId::new("oppose", count), |bench| {
            bench.iter(|| oppose(black_box(&opposing)));
        });
        let wish = Exploring {
            paints: &paints,
            ground: &ground,
            undercoat: SimulatedUndercoat::AsPhotographed,
            team: "",
            count: 10,
            seed: 1,
            most_paints: 4,
            max_parts: 10,
            parts: &[],
            mood: None,
            kept: &[],
            against: None,
        };
        group.bench_function(BenchmarkId::new("explore", count), |bench| {
            bench.iter(|| explore(black_box(&wish)));
        });
    }
    group.finish();
}

criterion_group!(benches, matching, many);
criterion_main!(benches);
