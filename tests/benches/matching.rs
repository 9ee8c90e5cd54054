//! How long a match takes: six paints, three of them per mix, ten parts, four films. Run with
//! `cargo bench -p velatura-tests --bench matching`.

#![allow(missing_docs, reason = "a bench: its entry is made by a macro")]

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use velatura_document::SourceText;
use velatura_pipeline::optics::calibrate::{PaintBox, calibrate};
use velatura_pipeline::optics::colour::Encoded;
use velatura_pipeline::optics::paints_file::read_paints_file;
use velatura_pipeline::scheme::Substrate;
use velatura_pipeline::scheme::matching::{Aim, Matching, nearest_mixes};
use velatura_tests::read_from_root;

const PAINTS: &str = "demo_images/lamplighter/paints.toml";

fn paints() -> PaintBox {
    let bytes = read_from_root(PAINTS).expect("the demo is there");
    let source = SourceText::from_bytes(PAINTS, bytes).expect("text");
    calibrate(&read_paints_file(&source).0.expect("the demo is right")).0
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

criterion_group!(benches, matching);
criterion_main!(benches);
