//! A device that fails: the picture is whole all the same, and the report says so in one line.

use velatura_pipeline::gpu::Fault;
use velatura_pipeline::{Backend, BackendKind, Registry, plan};
use velatura_tests::demo_job;

use crate::device;
use crate::picture::{SHARE, apart, rendered};

/// Small enough that the demo takes many row bands.
const SMALL_BUDGET: usize = 4 << 20;

/// Renders the demo's first three schemes on a device that fails at a row band.
fn with_fault(fault: Fault, row_band: usize, word: &str) {
    let Some(gpu) = device() else { return };
    gpu.inject(fault, row_band);
    let name = gpu.name().to_owned();
    let registry = Registry::with_built_ins();
    let job = demo_job(&registry);
    let planned = plan(&registry, &job, &job.schemes[..3]).unwrap();
    let failing = Backend::gpu(gpu);
    let (pictures, sums) = rendered(&registry, &job, &planned, &failing, SMALL_BUDGET);
    let notes = failing.notes();
    assert_eq!(notes.len(), 1, "{notes:?}");
    println!("{}", notes[0]);
    assert!(
        notes[0].starts_with(&format!("{name}: {word}")),
        "{notes:?}"
    );
    let expected = if row_band == 0 {
        BackendKind::Cpu
    } else {
        BackendKind::Gpu
    };
    assert_eq!(failing.kind(), expected);
    assert_eq!(
        row_band == 0,
        notes[0].ends_with("from row 0 on"),
        "{notes:?}"
    );

    let (from_cpu, cpu_sums) = rendered(&registry, &job, &planned, &Backend::cpu(), SMALL_BUDGET);
    assert!(apart(&pictures, &from_cpu).within(SHARE));
    let counted = |sums: &[velatura_pipeline::RegionSums]| -> u64 {
        sums.iter().map(|sums| sums.pixels(0)).sum()
    };
    assert_eq!(
        counted(&sums),
        counted(&cpu_sums),
        "no row twice, none left out"
    );

    // The device is not tried again, and nothing is lost by that.
    let (again, _) = rendered(&registry, &job, &planned, &failing, SMALL_BUDGET);
    assert!(again == from_cpu);
    assert_eq!(failing.notes().len(), 1);
}

#[test]
fn a_device_that_is_lost_midway_is_made_up_for() {
    with_fault(Fault::Lost, 5, "device lost");
}

#[test]
fn a_device_that_is_lost_at_once_has_done_nothing() {
    with_fault(Fault::Lost, 0, "device lost");
}

#[test]
fn a_device_without_memory_is_made_up_for() {
    with_fault(Fault::OutOfMemory, 3, "out of device memory");
}

#[test]
fn a_device_that_refuses_a_command_is_made_up_for() {
    with_fault(Fault::Validation, 4, "refused");
}
