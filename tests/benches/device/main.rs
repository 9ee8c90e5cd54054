//! A device against its own copy, and against the processor: `cargo bench -p velatura-tests --bench device`.
//!
//! Prints a table for `BENCHMARKS.md`. `VELATURA_ADAPTER` picks the adapter; arguments are sizes in megapixels. Kernel and copy
//! are timed in long batches by the clock, without upload or read-back; the copy moves as many bytes (read and written) as the
//! kernel must. The median of several batches counts.

#![allow(
    missing_docs,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    reason = "a bench: picture sizes are small, and it prints its figures"
)]

mod enlarged;
mod kernel;

use std::time::Instant;

use velatura::{
    Backend, BackendChoice, Cancel, DiskFiles, JobFiles, OutputFolder, RenderOptions, Session,
    render, running_clock,
};
use velatura_pipeline::figure::Underpainting;
use velatura_pipeline::gpu::Gpu;
use velatura_pipeline::{PlannedScheme, RowSink, Run};
use velatura_tests::{built_in_session, demo_job, root};

/// Accepts rows and drops them, which leaves the work without encoding.
struct Nowhere;

impl RowSink for Nowhere {
    fn rows(&mut self, rows: &[[u8; 3]]) -> Result<(), velatura_pipeline::Error> {
        std::hint::black_box(rows);
        Ok(())
    }
}

fn main() {
    let sizes: Vec<usize> = std::env::args()
        .filter_map(|argument| argument.parse().ok())
        .collect();
    let sizes = if sizes.is_empty() {
        vec![12, 48, 100]
    } else {
        sizes
    };
    let wanted = std::env::var("VELATURA_ADAPTER").ok();
    let began = Instant::now();
    let gpu = match Gpu::open(wanted.as_deref()) {
        Ok(gpu) => gpu,
        Err(why) => {
            println!("not run: {why}");
            return;
        }
    };
    println!(
        "{}; opened in {:.0} ms; {} processor threads",
        gpu.name(),
        milliseconds(began),
        rayon::current_num_threads()
    );
    let job = demo_job(&built_in_session());
    let planned = Run::new(&job, &Cancel::default())
        .plan(&job.schemes)
        .expect("the demo has tables");
    let planes: Vec<Underpainting> = sizes
        .iter()
        .map(|size| enlarged::planes(&job, *size))
        .collect();

    // Tables over a simulated undercoat are thousands of times as large: apart, ten schemes without one.
    let mut small = planned.clone();
    small.retain(|one| {
        one.views()
            .iter()
            .flatten()
            .all(|table| table.entries.len() < 1 << 18)
    });
    let small: Vec<PlannedScheme> = small.iter().cycle().take(10).cloned().collect();
    for (what, planned) in [
        ("ten schemes, none over a simulated undercoat", &small),
        (
            "the demo's ten schemes, two over a simulated undercoat",
            &planned,
        ),
    ] {
        println!("\nkernel, {what}");
        for (size, planes) in sizes.iter().zip(&planes) {
            kernel::measure(&gpu, planes, planned, *size);
        }
    }
    drop(gpu);
    drop(planes);

    println!("\nrows without encoding, ten schemes: processor, device (its start apart)");
    for size in &sizes {
        let on = |backend| {
            let session = velatura::session().backend(backend);
            rows(&session.build().expect("built-in stages"), *size)
        };
        let device = Gpu::open(wanted.as_deref()).map(Backend::gpu);
        let cpu = on(Backend::cpu());
        let gpu = device.map(on);
        println!(
            "{size:4} MP  {cpu:8.0} ms  {:8.0} ms",
            gpu.unwrap_or(f64::NAN)
        );
    }

    println!(
        "\nwhole job, photo and mask to sheet and ten PNG: processor, device with its start, auto"
    );
    for size in &sizes {
        let folder = tempfile::tempdir().expect("a folder to write into");
        enlarged::write_figure(&job, *size, folder.path());
        let mut line = format!("{size:4} MP");
        for choice in [BackendChoice::Cpu, BackendChoice::Gpu, BackendChoice::Auto] {
            // Run twice, because files and caches are cold at first.
            let times: Vec<f64> = (0..2)
                .map(|_| whole_job(folder.path(), choice, wanted.as_deref()))
                .collect();
            line += &format!("  {:8.0} ms", times[0].min(times[1]));
        }
        println!("{line}");
    }
}

fn milliseconds(began: Instant) -> f64 {
    began.elapsed().as_secs_f64() * 1e3
}

/// Time of a run, the median of three.
fn rows(session: &Session, megapixels: usize) -> f64 {
    let mut job = demo_job(session);
    job.underpainting = enlarged::planes(&job, megapixels);
    let mut notes = Vec::new();
    let mut times: Vec<f64> = (0..4)
        .map(|_| {
            let cancel = Cancel::default();
            let run = Run::on_backend(&job, &cancel, job.schemes.len()).expect("it is open");
            let planned = run.plan(&job.schemes).expect("the demo has tables");
            let mut sinks: Vec<Nowhere> = planned.iter().map(|_| Nowhere).collect();
            let began = Instant::now();
            run.render(&planned, &mut sinks, &|_| ())
                .expect("nothing stops it");
            notes = run.backend_used().notes;
            milliseconds(began)
        })
        .skip(1)
        .collect();
    for note in notes {
        println!("  {note}");
    }
    times.sort_by(f64::total_cmp);
    times[1]
}

/// Time from input files to output files, including device start.
fn whole_job(folder: &std::path::Path, choice: BackendChoice, wanted: Option<&str>) -> f64 {
    let began = Instant::now();
    let demo = |name: &str| root().join("demo_images/lamplighter").join(name);
    let files = JobFiles {
        figure: folder.join("figure.toml"),
        paints: vec![demo("paints.toml")],
        schemes: Some(demo("schemes.toml")),
    };
    let session = velatura::session()
        .backend(Backend::new(choice, wanted.map(str::to_owned)))
        .clock(running_clock())
        .build()
        .expect("built-in stages");
    let job = session
        .load_files(&DiskFiles, &files)
        .expect("the demo's files are right");
    let out = tempfile::tempdir_in(folder).expect("a folder to write into");
    let report = render(
        &job,
        &RenderOptions::default(),
        &OutputFolder::new(out.path()),
    )
    .expect("nothing stops it");
    let whole = milliseconds(began);
    if std::env::var_os("VELATURA_BENCH_STAGES").is_some() {
        println!("  {choice:?} {whole:.0} ms: {:?}", report.timings_ms);
    }
    whole
}
