//! The cost of a finish as a plugin: the example dust as a component and as the same plain function in process, on the demo
//! enlarged to 12 megapixels. Run with `cargo bench -p velatura-tests --bench finish`.
//!
//! Two ratios, each alternating within one run, so that other load on the machine affects both: of the stage alone, on one
//! thread, in the pieces that the pipeline makes and with each frame new from the kernel; and of all ten schemes without
//! encoding.

#![allow(
    missing_docs,
    reason = "a bench: its entry is made by a macro, it may fail loudly, and prints ratios"
)]

#[path = "../../crates/plugin-host/example-plugins/dust/src/lib.rs"]
#[allow(dead_code, unreachable_pub, reason = "a crate of its own")]
mod dust_source;
#[allow(dead_code, reason = "other benches use more of it")]
mod enlarged;
#[path = "../plugins/in_process.rs"]
mod in_process;

use std::time::{Duration, Instant};

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use enlarged::{large_job, rendered};
use in_process::InProcess;
use velatura_pipeline::figure::Underpainting;
use velatura_pipeline::parameters::defaults;
use velatura_pipeline::shaders::apply::twin::apply;
use velatura_pipeline::stage::{Finish, FrameBand, Stage};
use velatura_pipeline::{AnyStage, Cancel, Job, Parameters, PlannedScheme, Run, planes};
use velatura_plugin_host::{Limits, attach};
use velatura_tests::read_from_root;

const MEGAPIXELS: usize = 12;
/// Rows of a piece, as in the pipeline.
const ROWS: usize = 8;
/// Turns of a ratio.
const TURNS: usize = 9;

fn component() -> Box<dyn Finish> {
    let path = "crates/plugin-host/example-plugins/dust/dust.wasm";
    let attached = attach(&read_from_root(path).unwrap(), path, &Limits::default()).unwrap();
    match attached.stage {
        AnyStage::Finish(stage) => stage,
        stage => panic!("no finish: {stage:?}"),
    }
}

/// One scheme's picture, piece by piece.
struct Picture<'a> {
    planes: &'a Underpainting,
    scheme: &'a PlannedScheme,
    parameters: &'a Parameters,
}

impl Picture<'_> {
    /// The time of a finish on the whole picture, without that of the kernel.
    fn time(&self, finish: &dyn Finish) -> Duration {
        let (width, height) = (
            self.planes.subject.width as usize,
            self.planes.subject.height as usize,
        );
        let views = self.scheme.views();
        let mut frame = vec![[0.0_f32; 4]; ROWS * width];
        let mut time = Duration::ZERO;
        for first_row in (0..height).step_by(ROWS) {
            let places = first_row * width..(first_row + ROWS).min(height) * width;
            let pixels = &mut frame[..places.len()];
            let whole = planes(self.planes);
            let rows = whole.slice(places);
            apply(&rows, &views, pixels);
            let mut band = FrameBand {
                width,
                first_row,
                picture_rows: height,
                px_per_mm: self.planes.px_per_mm,
                planes: rows,
                pixels,
            };
            let start = Instant::now();
            finish
                .finish(&self.scheme.scheme, &mut band, self.parameters)
                .unwrap();
            time += start.elapsed();
        }
        time
    }
}

/// All schemes of the enlarged demo with one more stage, or none.
struct Sheet {
    job: Job,
    schemes: Vec<PlannedScheme>,
}

impl Sheet {
    fn new(stage: Option<Box<dyn Finish>>) -> Self {
        let mut builder = velatura::session();
        if let Some(stage) = stage {
            builder = builder.stage(AnyStage::Finish(stage));
        }
        let job = large_job(&builder.build().unwrap(), MEGAPIXELS);
        let schemes = Run::new(&job, &Cancel::default())
            .plan(&job.schemes)
            .unwrap();
        Self { job, schemes }
    }

    fn time(&self) -> Duration {
        let start = Instant::now();
        rendered(&self.job, &self.schemes);
        start.elapsed()
    }
}

/// Median, minimum and maximum of the turns.
fn reported(mut ratios: Vec<f64>) -> String {
    ratios.sort_by(f64::total_cmp);
    format!(
        "{:.2} (middle of {TURNS} turns; {:.2} to {:.2})",
        ratios[TURNS / 2],
        ratios[0],
        ratios[TURNS - 1]
    )
}

fn ratio(one: Duration, other: Duration) -> f64 {
    one.as_secs_f64() / other.as_secs_f64()
}

fn finish(criterion: &mut Criterion) {
    let inside = Sheet::new(Some(Box::new(InProcess)));
    let outside = Sheet::new(Some(component()));
    let bare = Sheet::new(None);
    let parameters = defaults(&InProcess.info().parameters).expect("each has a default");
    let picture = Picture {
        planes: &inside.job.underpainting,
        scheme: &inside.schemes[0],
        parameters: &parameters,
    };
    let component = component();

    let turns = || 0..TURNS;
    let alone = turns().map(|_| ratio(picture.time(&*component), picture.time(&InProcess)));
    println!(
        "stage alone, component / in process: {}",
        reported(alone.collect())
    );
    let sheets: Vec<[Duration; 3]> = turns()
        .map(|_| [&outside, &inside, &bare].map(|sheet| sheet.time()))
        .collect();
    let of = |one: usize, other: usize| {
        reported(
            sheets
                .iter()
                .map(|times| ratio(times[one], times[other]))
                .collect(),
        )
    };
    println!("ten schemes, component / in process: {}", of(0, 1));
    println!("ten schemes, component / no such stage: {}", of(0, 2));
    println!("ten schemes, in process / no such stage: {}", of(1, 2));

    let mut group = criterion.benchmark_group("dust on 12 megapixels, the stage alone");
    group.throughput(Throughput::Elements(
        inside.job.underpainting.subject.region.len() as u64,
    ));
    group.sample_size(10);
    let finishes: [(&str, &dyn Finish); 2] =
        [("in process", &InProcess), ("component", &*component)];
    for (name, finish) in finishes {
        group.bench_function(name, |bench| {
            bench.iter_custom(|turns| (0..turns).map(|_| picture.time(finish)).sum());
        });
    }
    group.finish();
}

criterion_group!(benches, finish);
criterion_main!(benches);
