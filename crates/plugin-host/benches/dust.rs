//! What a finish costs outside of the program: the example stage dust as a component and as the same plain function in
//! process, over 12 megapixels, in the pieces that the pipeline makes (8 rows) and in larger ones.
//!
//! One core. The ratio is taken in turns within one run, so that whatever else the machine does meets both.

#![allow(
    missing_docs,
    dead_code,
    unreachable_pub,
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "criterion's macros make undocumented functions; a bench may fail loudly, and prints a ratio"
)]

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use std::time::{Duration, Instant};
use velatura_pipeline::figure::SimulatedUndercoat;
use velatura_pipeline::scheme::{Scheme, Varnish};
use velatura_pipeline::shaders::Planes;
use velatura_pipeline::stage::{Finish, FrameBand};
use velatura_pipeline::{AnyStage, Parameters};
use velatura_plugin_host::{Limits, attach};

#[path = "../example-plugins/dust/src/lib.rs"]
mod dust_source;

use dust_source::{Dust, Rows};

const WIDTH: usize = 4000;
const HEIGHT: usize = 3000;
const PX_PER_MM: f64 = 93.75;
const PARAMETERS: &str = r##"{"amount":0.4,"colour":"#9c8f78","from":0.6,"grain":0.3}"##;
/// Turns of the ratio.
const TURNS: usize = 15;

/// The planes of a picture, and one piece of it as the pipeline holds it.
struct Picture {
    plane: Vec<u16>,
    light: Vec<u16>,
    region: Vec<u8>,
    pixels: Vec<[f32; 4]>,
}

impl Picture {
    /// Relief of every height in no order; one pixel in ten is bare.
    fn new() -> Self {
        let count = 0..WIDTH * HEIGHT;
        let noise = |place: usize| u16::try_from(place * 40_503 % 65_521).unwrap();
        Self {
            plane: count.clone().map(noise).collect(),
            light: count
                .clone()
                .map(|place| 30_000 + noise(place) / 4)
                .collect(),
            region: count.map(|place| u8::from(place % 10 != 0)).collect(),
            pixels: (0..WIDTH * 128)
                .map(|place| [0.25, 0.5, 0.75, f32::from(u8::from(place % 10 != 0))])
                .collect(),
        }
    }

    /// All pieces of so many rows, one after the other.
    fn by_pieces(&mut self, rows: usize, mut work: impl FnMut(&mut FrameBand<'_>)) {
        for first_row in (0..HEIGHT).step_by(rows) {
            let places = first_row * WIDTH..(first_row + rows).min(HEIGHT) * WIDTH;
            work(&mut FrameBand {
                width: WIDTH,
                first_row,
                picture_rows: HEIGHT,
                px_per_mm: PX_PER_MM,
                planes: Planes {
                    substrate: &self.plane[places.clone()],
                    relief: &self.plane[places.clone()],
                    light: &self.light[places.clone()],
                    region: &self.region[places.clone()],
                    light_unit: 1.0 / 65535.0,
                },
                pixels: &mut self.pixels[..places.len()],
            });
        }
    }
}

fn in_process(band: &mut FrameBand<'_>) {
    #[allow(clippy::cast_possible_truncation, reason = "as the host hands it over")]
    let px_per_mm = band.px_per_mm as f32;
    let rows = Rows {
        width: band.width,
        first_row: band.first_row,
        picture_rows: band.picture_rows,
        px_per_mm,
        light_unit: band.planes.light_unit,
        relief: band.planes.relief,
        light: band.planes.light,
    };
    Dust::read(PARAMETERS)
        .unwrap()
        .settle(&rows, band.pixels.as_flattened_mut());
}

fn component() -> impl Fn(&mut FrameBand<'_>) {
    let bytes = include_bytes!("../example-plugins/dust/dust.wasm");
    let attached = attach(bytes, "dust.wasm", &Limits::default()).unwrap();
    let AnyStage::Finish(stage) = attached.stage else {
        panic!("no finish");
    };
    let parameters = Parameters(serde_json::from_str(PARAMETERS).unwrap());
    let scheme = Scheme {
        name: "Foglight".to_owned(),
        team: "Lamplighters".to_owned(),
        undercoat: SimulatedUndercoat::AsPhotographed,
        finish: Varnish::Matte,
        regions: Vec::new(),
        stages: Vec::new(),
    };
    move |band| apply(stage.as_ref(), &scheme, band, &parameters)
}

fn apply(stage: &dyn Finish, scheme: &Scheme, band: &mut FrameBand<'_>, parameters: &Parameters) {
    stage.finish(scheme, band, parameters).unwrap();
}

fn time(mut work: impl FnMut()) -> Duration {
    let start = Instant::now();
    work();
    start.elapsed()
}

fn dust(criterion: &mut Criterion) {
    let mut picture = Picture::new();
    let component = component();
    for rows in [8, 128] {
        let mut ratios: Vec<f64> = (0..TURNS)
            .map(|_| {
                let inside = time(|| picture.by_pieces(rows, in_process));
                let outside = time(|| picture.by_pieces(rows, &component));
                outside.as_secs_f64() / inside.as_secs_f64()
            })
            .collect();
        ratios.sort_by(f64::total_cmp);
        println!(
            "12 megapixels in pieces of {rows} rows: component / in process {:.2} (middle of {TURNS}; {:.2} to {:.2})",
            ratios[TURNS / 2],
            ratios[0],
            ratios[TURNS - 1]
        );
        let mut group = criterion.benchmark_group(format!("dust, pieces of {rows} rows"));
        group.throughput(Throughput::Elements((WIDTH * HEIGHT) as u64));
        group.sample_size(10);
        group.bench_function("in process", |bench| {
            bench.iter(|| picture.by_pieces(rows, in_process));
        });
        group.bench_function("component", |bench| {
            bench.iter(|| picture.by_pieces(rows, &component));
        });
        group.finish();
    }
}

criterion_group!(benches, dust);
criterion_main!(benches);
