//! The whole demo through both backends.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use velatura_document::Diagnostic;
use velatura_pipeline::gpu::Gpu;
use velatura_pipeline::stage::{AttachPoint, Finish, FrameBand, Stage, StageInfo};
use velatura_pipeline::{
    AnyStage, Backend, BackendKind, BackendUsed, Cancel, Job, Parameters, RegionSums, Run, Session,
    SessionBuilder,
};
use velatura_tests::demo_job;

use crate::Apart;

/// What a run of the demo gave.
pub(crate) struct Rendered {
    pub(crate) job: Job,
    pub(crate) pictures: Vec<Vec<[u8; 3]>>,
    pub(crate) sums: Vec<RegionSums>,
    pub(crate) used: BackendUsed,
}

/// The demo's first schemes, by the built-in stages.
pub(crate) fn rendered(backend: &Backend, budget_bytes: usize, schemes: usize) -> Rendered {
    rendered_with(
        Session::builder().built_in_stages(),
        backend,
        budget_bytes,
        schemes,
    )
}

fn rendered_with(
    builder: SessionBuilder,
    backend: &Backend,
    budget_bytes: usize,
    schemes: usize,
) -> Rendered {
    let session = builder
        .backend(backend.clone())
        .budget_bytes(budget_bytes)
        .build()
        .unwrap();
    let job = demo_job(&session);
    let run = Run::on_backend(&job, &Cancel::default(), schemes).unwrap();
    let planned = run.plan(&job.schemes[..schemes]).unwrap();
    let mut pictures = vec![Vec::new(); planned.len()];
    let sums = run.render(&planned, &mut pictures, &|_| ()).unwrap();
    let used = run.backend_used();
    Rendered {
        job,
        pictures,
        sums,
        used,
    }
}

pub(crate) fn apart(found: &[Vec<[u8; 3]>], expected: &[Vec<[u8; 3]>]) -> Apart {
    let pairs = found.iter().zip(expected);
    pairs.fold(Apart::default(), |apart, (found, expected)| {
        apart.and(Apart::between(found, expected))
    })
}

/// At most one code apart, on at most a thousandth of the pixels, which nobody can see.
pub(crate) const SHARE: f64 = 1e-3;

const USUAL_BUDGET: usize = velatura_pipeline::DEFAULT_BUDGET_BYTES;
/// All of the demo's schemes.
const ALL: usize = 10;

pub(crate) fn the_demo_is_the_same_on_both(gpu: Gpu) {
    let device = Backend::gpu(gpu);
    let from_device = rendered(&device, USUAL_BUDGET, ALL);
    let from_cpu = rendered(&Backend::cpu(), USUAL_BUDGET, ALL).pictures;
    let used = &from_device.used;
    assert_eq!((used.kind, &*used.notes), (BackendKind::Gpu, &[][..]));
    let Rendered {
        job,
        pictures: from_device,
        sums: device_sums,
        ..
    } = &from_device;
    assert_eq!(job.schemes.len(), ALL);
    let found = apart(from_device, &from_cpu);
    println!("{}: the demo, {found:?}", used.name);
    assert!(
        found.pixels > 10_000_000 && found.within(SHARE),
        "{found:?}"
    );

    // The sums belong to the codes that were written, whichever backend made them.
    for (sums, picture) in device_sums.iter().zip(from_device) {
        for (region, pixels) in (0..job.underpainting.subject.regions.len()).zip(1_u8..) {
            let here = || {
                let places = job.underpainting.subject.region.iter().zip(picture);
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

    // Must fail: two schemes swapped.
    let mut exchanged = from_device.clone();
    exchanged.swap(0, 1);
    assert!(!apart(&exchanged, &from_cpu).within(SHARE));

    // Row bands of another height give the same bytes.
    let low = rendered(&device, 5 << 20, ALL);
    assert!(low.pictures == *from_device && low.sums == *device_sums);
}

/// A finish that only the processor can run: every coated pixel half as bright.
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

pub(crate) fn a_scheme_with_a_finish_of_ones_own_goes_to_the_processor_and_says_so(gpu: Gpu) {
    let called = Arc::new(AtomicUsize::new(0));
    let with_dusk = || {
        let dusk = AnyStage::Finish(Box::new(Dusk(Arc::clone(&called))));
        Session::builder().built_in_stages().stage(dusk)
    };
    let device = Backend::gpu(gpu);
    let mixed = rendered_with(with_dusk(), &device, USUAL_BUDGET, ALL);
    assert!(called.load(Ordering::Relaxed) > 0);
    assert_eq!(mixed.used.kind, BackendKind::Gpu);
    assert_eq!(
        mixed.used.notes,
        ["scheme \"Foglight\": ran on the processor: the finish \"dusk\" runs only there"]
    );
    let from_cpu = rendered_with(with_dusk(), &Backend::cpu(), USUAL_BUDGET, ALL);
    assert!(apart(&mixed.pictures, &from_cpu.pictures).within(SHARE));
    let foglight = mixed
        .job
        .schemes
        .iter()
        .position(|scheme| scheme.name == "Foglight")
        .unwrap();
    assert_eq!(mixed.pictures[foglight], from_cpu.pictures[foglight]);
    // Must fail: without the finish the picture differs.
    let without = rendered(&device, USUAL_BUDGET, ALL);
    let apart = Apart::between(&without.pictures[foglight], &from_cpu.pictures[foglight]);
    assert!(!apart.within(SHARE));
}
