//! The whole demo through both backends.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use velatura_document::Diagnostic;
use velatura_pipeline::stage::{AttachPoint, Finish, FrameBand, Stage, StageInfo};
use velatura_pipeline::{
    AnyStage, Backend, BackendKind, Job, Parameters, PlannedScheme, RegionSums, Registry,
    RunOptions, plan, run,
};
use velatura_tests::demo_job;

use crate::{Apart, device};

/// All schemes of a job, and their sums.
pub(crate) fn rendered(
    registry: &Registry,
    job: &Job,
    planned: &[PlannedScheme],
    backend: &Backend,
    budget_bytes: usize,
) -> (Vec<Vec<[u8; 3]>>, Vec<RegionSums>) {
    let mut pictures = vec![Vec::new(); planned.len()];
    let options = RunOptions {
        budget_bytes,
        backend: backend.clone(),
        ..RunOptions::default()
    };
    let sums = run(
        registry,
        &job.underpainting,
        planned,
        &mut pictures,
        &options,
        &|_| (),
    )
    .unwrap();
    (pictures, sums)
}

pub(crate) fn apart(found: &[Vec<[u8; 3]>], expected: &[Vec<[u8; 3]>]) -> Apart {
    let pairs = found.iter().zip(expected);
    pairs.fold(Apart::default(), |apart, (found, expected)| {
        apart.and(Apart::between(found, expected))
    })
}

/// At most one code apart, on at most a thousandth of the pixels: what a person can never see.
pub(crate) const SHARE: f64 = 1e-3;

const USUAL_BUDGET: usize = velatura_pipeline::DEFAULT_BUDGET_BYTES;

#[test]
fn the_demo_is_the_same_on_both() {
    let Some(gpu) = device() else { return };
    let registry = Registry::with_built_ins();
    let job = demo_job(&registry);
    let planned = plan(&registry, &job, &job.schemes).unwrap();
    let device = Backend::gpu(gpu);
    let (from_device, device_sums) = rendered(&registry, &job, &planned, &device, USUAL_BUDGET);
    let (from_cpu, _) = rendered(&registry, &job, &planned, &Backend::cpu(), USUAL_BUDGET);
    assert_eq!((device.kind(), device.notes()), (BackendKind::Gpu, vec![]));
    let found = apart(&from_device, &from_cpu);
    println!("{}: the demo, {found:?}", device.name());
    assert!(
        found.pixels > 10_000_000 && found.within(SHARE),
        "{found:?}"
    );

    // The sums are those of the very codes that came out, whoever made them.
    for (sums, picture) in device_sums.iter().zip(&from_device) {
        for (region, pixels) in (0..job.underpainting.regions.len()).zip(1_u8..) {
            let here = || {
                let places = job.underpainting.region.iter().zip(picture);
                places
                    .filter(|(region, _)| **region == pixels)
                    .map(|(_, code)| code)
            };
            assert_eq!(sums.pixels(region), here().count() as u64);
            let reds: f64 = here()
                .map(|code| velatura_optics::colour::Encoded(*code).linear().0[0])
                .sum();
            if let Some(mean) = sums.mean(region) {
                #[allow(clippy::cast_precision_loss, reason = "far fewer pixels than 2^53")]
                let expected = reds / sums.pixels(region) as f64;
                assert!((mean.0[0] - expected).abs() < 1e-6);
            }
        }
    }

    // Must fail: two schemes exchanged.
    let mut exchanged = from_device.clone();
    exchanged.swap(0, 1);
    assert!(!apart(&exchanged, &from_cpu).within(SHARE));

    // Row bands of another height give the same bytes.
    let (low, low_sums) = rendered(&registry, &job, &planned, &device, 5 << 20);
    assert!(low == from_device && low_sums == device_sums);
}

/// A finish that only the processor has: every coated pixel half as bright.
#[derive(Debug)]
struct Dusk(Arc<AtomicUsize>);

impl Stage for Dusk {
    fn info(&self) -> StageInfo {
        StageInfo::new(AttachPoint::Finish, "dusk", "1")
            .with_words("frame", "frame")
            .with_reach_px(0)
    }
}

impl Finish for Dusk {
    fn applies(&self, scheme: &velatura_pipeline::scheme::Scheme) -> bool {
        scheme.name == "Foglight"
    }

    fn finish(
        &self,
        _: &velatura_pipeline::scheme::Scheme,
        band: &mut FrameBand<'_>,
        _: &Parameters,
    ) -> Result<(), Diagnostic> {
        self.0.fetch_add(1, Ordering::Relaxed);
        for pixel in band.pixels.iter_mut() {
            for channel in &mut pixel[..3] {
                *channel *= 0.5;
            }
        }
        Ok(())
    }
}

#[test]
fn a_scheme_with_a_finish_of_ones_own_goes_to_the_processor_and_says_so() {
    let Some(gpu) = device() else { return };
    let called = Arc::new(AtomicUsize::new(0));
    let mut registry = Registry::with_built_ins();
    registry
        .register(AnyStage::Finish(Box::new(Dusk(Arc::clone(&called)))))
        .unwrap();
    let job = demo_job(&registry);
    let planned = plan(&registry, &job, &job.schemes).unwrap();
    let device = Backend::gpu(gpu);
    let (mixed, _) = rendered(&registry, &job, &planned, &device, USUAL_BUDGET);
    assert!(called.load(Ordering::Relaxed) > 0);
    assert_eq!(device.kind(), BackendKind::Gpu);
    assert_eq!(
        device.notes(),
        ["scheme \"Foglight\": the processor did the work: the finish \"dusk\" runs there only"]
    );
    let (from_cpu, _) = rendered(&registry, &job, &planned, &Backend::cpu(), USUAL_BUDGET);
    assert!(apart(&mixed, &from_cpu).within(SHARE));
    let foglight = planned
        .iter()
        .position(|one| one.scheme.name == "Foglight")
        .unwrap();
    assert_eq!(mixed[foglight], from_cpu[foglight]);
    // Must fail: without the finish the scheme is another picture.
    let plain = Registry::with_built_ins();
    let (without, _) = rendered(&plain, &job, &planned, &device, USUAL_BUDGET);
    assert!(!Apart::between(&without[foglight], &from_cpu[foglight]).within(SHARE));
}
