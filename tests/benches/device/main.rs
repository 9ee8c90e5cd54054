//! A device against its own copy, and against the processor: `cargo bench -p velatura-tests --bench device`.
//!
//! Prints a table for `BENCHMARKS.md`. `VELATURA_ADAPTER` picks the adapter; arguments are sizes in megapixels. Kernel and
//! copy are timed in long batches by the clock, without upload or read-back; the copy moves as many bytes (read and
//! written) as the kernel has to. The median of several batches counts.

#![allow(
    missing_docs,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    clippy::print_stdout,
    reason = "a bench: picture sizes are small, and it prints its figures"
)]

mod enlarged;
mod kernel;

use std::time::Instant;

use velatura::{RenderOptions, planned_files, render};
use velatura_output::OutputFolder;
use velatura_pipeline::figure::Underpainting;
use velatura_pipeline::gpu::Gpu;
use velatura_pipeline::{
    Backend, Clock, JobFiles, PlannedScheme, Registry, RowSink, RunOptions, load, plan, run,
};
use velatura_tests::{demo_job, root};

/// Takes rows and drops them: what remains is the work without encoding.
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
    let registry = velatura::registry();
    let job = demo_job(&registry);
    let planned = plan(&registry, &job, &job.schemes).expect("the demo has tables");
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

    println!("\nrows without encoding, ten schemes: processor, device (its start apart)");
    for (size, planes) in sizes.iter().zip(&planes) {
        let device = Gpu::open(wanted.as_deref()).map(Backend::gpu);
        let cpu = rows(&registry, planes, &planned, &Backend::cpu());
        let gpu = device.map(|device| rows(&registry, planes, &planned, &device));
        println!(
            "{size:4} MP  {cpu:8.0} ms  {:8.0} ms",
            gpu.unwrap_or(f64::NAN)
        );
    }
    drop(planes);

    println!(
        "\nwhole job, photo and mask to sheet and ten PNG: processor, device with its start, auto"
    );
    for size in &sizes {
        let folder = tempfile::tempdir().expect("a folder to write into");
        enlarged::write_figure(&job, *size, folder.path());
        let mut line = format!("{size:4} MP");
        for choice in ["cpu", "gpu", "auto"] {
            // Twice: the first finds files and caches cold.
            let times: Vec<f64> = (0..2)
                .map(|_| whole_job(&registry, folder.path(), choice, wanted.as_deref()))
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
fn rows(
    registry: &Registry,
    planes: &Underpainting,
    planned: &[PlannedScheme],
    backend: &Backend,
) -> f64 {
    let options = RunOptions {
        backend: backend.clone(),
        ..RunOptions::default()
    };
    let mut times: Vec<f64> = (0..4)
        .map(|_| {
            let mut sinks: Vec<Nowhere> = planned.iter().map(|_| Nowhere).collect();
            let began = Instant::now();
            run(registry, planes, planned, &mut sinks, &options, &|_| ())
                .expect("nothing stops it");
            milliseconds(began)
        })
        .skip(1)
        .collect();
    for note in backend.notes() {
        println!("  {note}");
    }
    times.sort_by(f64::total_cmp);
    times[1]
}

/// Time from the files to the files, device start included.
fn whole_job(
    registry: &Registry,
    folder: &std::path::Path,
    choice: &str,
    wanted: Option<&str>,
) -> f64 {
    let began = Instant::now();
    let demo = |name: &str| {
        root()
            .join("demo_images/lamplighter")
            .join(name)
            .display()
            .to_string()
    };
    let files = JobFiles {
        figure: folder.join("figure.toml").display().to_string(),
        paints: demo("paints.toml"),
        schemes: Some(demo("schemes.toml")),
    };
    let read = |path: &str| {
        std::fs::read(path)
            .map_err(|error| velatura_document::Diagnostic::error(path, error.to_string()))
    };
    let tell = move || began.elapsed();
    let clock = Clock::new(&tell);
    let job = load(registry, &files, &read, &clock).expect("the demo's files are right");
    let work = job.underpainting.region.len() as u64 * job.schemes.len() as u64;
    let choice = match choice {
        "cpu" => velatura_pipeline::BackendChoice::Cpu,
        "gpu" => velatura_pipeline::BackendChoice::Gpu,
        _ => velatura_pipeline::BackendChoice::Auto,
    };
    let backend = Backend::choose(choice, wanted, work).expect("there is a device");
    let options = RenderOptions {
        run: RunOptions {
            backend,
            ..RunOptions::default()
        },
        ..RenderOptions::everything(&job)
    };
    let planned = planned_files(registry, &job, &options).expect("no stage has a table");
    let planned: Vec<&str> = planned.iter().map(String::as_str).collect();
    let out = tempfile::tempdir_in(folder).expect("a folder to write into");
    let output = OutputFolder::open(out.path(), &planned, &[]).expect("an empty folder");
    let report =
        render(registry, &job, &output, &options, &clock, &|_| ()).expect("nothing stops it");
    output.commit().expect("nothing stands in the way");
    let whole = milliseconds(began);
    if std::env::var_os("VELATURA_BENCH_STAGES").is_some() {
        println!("  {choice:?} {whole:.0} ms: {:?}", report.timings_ms);
    }
    whole
}
