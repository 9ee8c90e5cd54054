//! Time of each part: kernel, ground, tables, whole render. Run with `cargo bench -p velatura-tests`.

#![allow(missing_docs, reason = "a bench: its entry is made by a macro")]

mod enlarged;

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use enlarged::{ground, large_job, plate, rendered};
use velatura_document::SourceText;
use velatura_pipeline::figure::{read_figure_file, underpainting};
use velatura_pipeline::gpu::Gpu;
use velatura_pipeline::shaders::apply::twin::apply;
use velatura_pipeline::{Backend, Cancel, Run, planes};
use velatura_tests::{DEMO, built_in_session, demo_job, read_from_root};

fn speed(criterion: &mut Criterion) {
    let job = demo_job(&built_in_session());
    let run = Run::new(&job, &Cancel::default());
    let schemes = run.plan(&job.schemes).expect("the demo has tables");

    let mut group = criterion.benchmark_group("kernel");
    let small = ground(&job, 1);
    let pixels = small.subject.region.len();
    group.throughput(Throughput::Elements(pixels as u64));
    let mut out = vec![[0.0_f32; 4]; pixels];
    let views = schemes[0].views();
    group.bench_function("apply, one megapixel × one scheme, one thread", |bench| {
        bench.iter(|| apply(&planes(&small), &views, black_box(&mut out)));
    });
    group.finish();

    let mut group = criterion.benchmark_group("stages");
    group.sample_size(10);
    group.bench_function("tables, ten schemes", |bench| {
        bench.iter(|| run.plan(&job.schemes))
    });
    for megapixels in [3, 12] {
        let plate = plate(&job, megapixels);
        group.bench_function(format!("ground, {megapixels} MP"), |bench| {
            bench.iter_batched(
                || plate.clone(),
                |plate| underpainting(plate, &job.figure, None),
                criterion::BatchSize::PerIteration,
            );
        });
    }
    let source = SourceText::from_bytes(DEMO, read_from_root(DEMO).expect("the demo is there"))
        .expect("text");
    group.bench_function("figure.toml", |bench| {
        bench.iter(|| read_figure_file(black_box(&source)))
    });
    group.finish();
}

/// Ten schemes without encoding, on the processor and on a device where there is one (`VELATURA_ADAPTER` picks it). For a
/// device against its own copy see the bench `device`.
fn backends(criterion: &mut Criterion) {
    let wanted = std::env::var("VELATURA_ADAPTER").ok();
    let mut backends = vec![("processor".to_owned(), Backend::cpu())];
    match Gpu::open(wanted.as_deref()) {
        Ok(gpu) => backends.push((gpu.name().to_owned(), Backend::gpu(gpu))),
        Err(why) => println!("no device is measured: {why}"),
    }
    let mut group = criterion.benchmark_group("ten schemes without encoding");
    group.sample_size(10);
    for megapixels in [12, 48, 100] {
        for (name, backend) in &backends {
            let session = velatura::session().backend(backend.clone());
            let job = large_job(&session.build().expect("built-in stages"), megapixels);
            let run = Run::new(&job, &Cancel::default());
            let schemes = run.plan(&job.schemes).expect("the demo has tables");
            group.throughput(Throughput::Elements(
                10 * job.underpainting.subject.region.len() as u64,
            ));
            group.bench_function(format!("{megapixels} MP, {name}"), |bench| {
                bench.iter(|| rendered(&job, &schemes));
            });
        }
    }
    group.finish();
}

criterion_group!(benches, speed, backends);
criterion_main!(benches);
