//! What a call costs: a fresh instance and the values in and out, for row bands of two sizes and a call with next to none.
//!
//! The finish gives its pixels back as they came, so what is measured is the host's own share. For comparison there is a plain copy
//! of the same number of bytes, to compare with on any machine.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    reason = "criterion's macros make undocumented functions; a bench may fail loudly"
)]

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use std::hint::black_box;
use velatura_pipeline::figure::SimulatedUndercoat;
use velatura_pipeline::scheme::{Scheme, Varnish};
use velatura_pipeline::shaders::Planes;
use velatura_pipeline::stage::FrameBand;
use velatura_pipeline::{AnyStage, Parameters};
use velatura_plugin_host::{Limits, attach};

#[path = "../src/tests/cores.rs"]
#[allow(dead_code, reason = "the tests use more of it")]
mod cores;

fn calls(criterion: &mut Criterion) {
    let bytes = cores::Core::finish(cores::SAME_PIXELS).bytes();
    criterion.bench_function("attach", |bench| {
        bench.iter(|| attach(&bytes, "same.wasm", &Limits::default()).unwrap());
    });
    let AnyStage::Finish(finish) = attach(&bytes, "same.wasm", &Limits::default())
        .unwrap()
        .stage
    else {
        panic!("no finish");
    };
    let scheme = Scheme {
        name: "Foglight".to_owned(),
        team: "Lamplighters".to_owned(),
        undercoat: SimulatedUndercoat::AsPhotographed,
        finish: Varnish::Matte,
        regions: Vec::new(),
        stages: Vec::new(),
    };
    for (width, rows) in [(4, 1), (4096, 8), (4096, 128)] {
        let count = width * rows;
        let plane = vec![20_000u16; count];
        let region = vec![1u8; count];
        let mut pixels = vec![[0.25f32, 0.5, 0.75, 1.0]; count];
        let mut group = criterion.benchmark_group(format!("{count} pixels"));
        group.throughput(Throughput::Elements(count as u64));
        group.bench_function("component", |bench| {
            bench.iter(|| {
                let mut band = FrameBand {
                    width,
                    first_row: 0,
                    picture_rows: rows,
                    px_per_mm: 20.0,
                    planes: Planes {
                        substrate: &plane,
                        relief: &plane,
                        light: &plane,
                        region: &region,
                        light_unit: 1.0 / 65535.0,
                    },
                    pixels: &mut pixels,
                };
                finish
                    .finish(&scheme, &mut band, &Parameters::default())
                    .unwrap();
            });
        });
        // 23 bytes a pixel go in and 16 come out.
        let from = vec![1u8; 39 * count];
        let mut to = vec![0u8; 39 * count];
        group.bench_function("plain copy", |bench| {
            bench.iter(|| black_box(&mut to).copy_from_slice(black_box(&from)));
        });
        group.finish();
    }
}

criterion_group!(benches, calls);
criterion_main!(benches);
