//! A device that fails: the picture is complete anyway, and the report says so in one line.

use velatura_pipeline::gpu::{Gpu, InjectedFault};
use velatura_pipeline::{Backend, BackendKind};

use crate::picture::{SHARE, apart, rendered};

/// Small enough that the demo takes many row bands.
const SMALL_BUDGET: usize = 4 << 20;

/// Renders the demo's first three schemes on a device that fails at a row band.
fn with_fault(gpu: Gpu, fault: InjectedFault, row_band: usize, word: &str) {
    gpu.inject(fault, row_band);
    let name = gpu.name().to_owned();
    let failing = Backend::gpu(gpu);
    let found = rendered(&failing, SMALL_BUDGET, 3);
    let notes = &found.used.notes;
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
    assert_eq!(found.used.kind, expected);
    assert_eq!(row_band == 0, notes[0].ends_with("at row 0"), "{notes:?}");

    let from_cpu = rendered(&Backend::cpu(), SMALL_BUDGET, 3);
    assert!(apart(&found.pictures, &from_cpu.pictures).within(SHARE));
    let counted = |sums: &[velatura_pipeline::RegionSums]| -> u64 {
        sums.iter().map(|sums| sums.pixels(0)).sum()
    };
    assert_eq!(
        counted(&found.sums),
        counted(&from_cpu.sums),
        "no row twice, none left out"
    );

    // A later run does not try the device again. No row is lost, and its own notes say why.
    let again = rendered(&failing, SMALL_BUDGET, 3);
    assert!(again.pictures == from_cpu.pictures);
    assert_eq!(again.used.kind, BackendKind::Cpu);
    assert_eq!(again.used.notes.len(), 1);
    assert!(again.used.notes[0].starts_with(&format!("ran on the processor: {name}: {word}")));
}

pub(crate) fn a_device_that_is_lost_midway_is_made_up_for(gpu: Gpu) {
    with_fault(gpu, InjectedFault::Lost, 5, "device lost");
}

pub(crate) fn a_device_that_is_lost_at_once_has_done_nothing(gpu: Gpu) {
    with_fault(gpu, InjectedFault::Lost, 0, "device lost");
}

pub(crate) fn a_device_without_memory_is_made_up_for(gpu: Gpu) {
    with_fault(gpu, InjectedFault::OutOfMemory, 3, "out of device memory");
}

pub(crate) fn a_device_that_refuses_a_command_is_made_up_for(gpu: Gpu) {
    with_fault(gpu, InjectedFault::Validation, 4, "refused");
}
