//! What does the work: the processor, or a device with the processor behind it. Which one, and why not the other.
//!
//! In: what the caller wants, how much work there is. Out: a backend, with a line for the report wherever the processor
//! did what a device could have done.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use serde::Serialize;

use crate::gpu::{AdapterKind, Gpu, adapters};
use velatura_document::{Diagnostic, Error, Hint};

/// Pixels × schemes per thread of the processor from which a device pays for its start.
///
/// Measured, see `BENCHMARKS.md`: a device takes up to a second to start, in which a thread renders this much.
pub const LEAST_DEVICE_WORK_PER_THREAD: u64 = 100_000_000;

/// What the caller wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum BackendChoice {
    /// A device where there is one that pays, else the processor.
    #[default]
    Auto,
    /// The processor.
    Cpu,
    /// A device, software ones too.
    Gpu,
}

/// A processor or a device.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum BackendKind {
    /// The processor.
    Cpu,
    /// A device: a graphics card, or software that acts as one.
    Gpu,
}

/// What does the work of a run. Clones are the same backend: they share the device and the notes.
#[derive(Debug, Clone, Default)]
pub struct Backend(Arc<Shared>);

#[derive(Debug, Default)]
struct Shared {
    device: Option<Gpu>,
    device_has_worked: AtomicBool,
    notes: Mutex<Vec<String>>,
}

impl Backend {
    /// The processor.
    #[must_use]
    pub fn cpu() -> Self {
        Self::default()
    }

    /// An open device, with the processor for whatever it cannot do.
    #[must_use]
    pub fn gpu(device: Gpu) -> Self {
        Self(Arc::new(Shared {
            device: Some(device),
            ..Shared::default()
        }))
    }

    /// What the caller wants for so many pixels × schemes; `adapter` is part of an adapter's name.
    ///
    /// # Errors
    /// [`Error::Machine`] if a device is wanted and there is none.
    pub fn choose(choice: BackendChoice, adapter: Option<&str>, work: u64) -> Result<Self, Error> {
        let threads = rayon::current_num_threads();
        let least = LEAST_DEVICE_WORK_PER_THREAD * threads as u64;
        match choice {
            BackendChoice::Cpu => Ok(Self::cpu()),
            BackendChoice::Gpu => Gpu::open(adapter)
                .map(Self::gpu)
                .map_err(|why| no_device(&why, adapter)),
            BackendChoice::Auto if work < least => Ok(Self::cpu_because(&format!(
                "{} million pixels in all schemes; with {threads} processor threads a graphics card is faster only above {} million",
                work.div_ceil(1_000_000),
                least / 1_000_000
            ))),
            BackendChoice::Auto => Ok(match Gpu::open(adapter) {
                Err(why) => Self::cpu_because(&why),
                Ok(device) if device.kind() == AdapterKind::Software => {
                    Self::cpu_because(&format!("{} is a software renderer", device.name()))
                }
                Ok(device) => Self::gpu(device),
            }),
        }
    }

    fn cpu_because(why: &str) -> Self {
        let backend = Self::cpu();
        backend.note(format!("ran on the processor: {why}"));
        backend
    }

    /// What did the work; a device that failed before it gave anything did none.
    #[must_use]
    pub fn kind(&self) -> BackendKind {
        if self.0.device_has_worked.load(Ordering::Relaxed) {
            BackendKind::Gpu
        } else {
            BackendKind::Cpu
        }
    }

    /// The device's name, or the number of the processor's threads.
    #[must_use]
    pub fn name(&self) -> String {
        match (&self.0.device, self.kind()) {
            (Some(device), BackendKind::Gpu) => device.name().to_owned(),
            _ => format!("{} threads", rayon::current_num_threads()),
        }
    }

    /// Where the processor did what a device could have done, and why; a line each.
    #[must_use]
    pub fn notes(&self) -> Vec<String> {
        let notes = self.0.notes.lock().unwrap_or_else(PoisonError::into_inner);
        notes.clone()
    }

    /// The device, unless it has failed.
    pub(crate) fn device(&self) -> Option<&Gpu> {
        self.0.device.as_ref().filter(|gpu| gpu.fault().is_none())
    }

    /// Tells that a row band came from the device.
    pub(crate) fn device_worked(&self) {
        self.0.device_has_worked.store(true, Ordering::Relaxed);
    }

    /// Keeps a line for the report; the same line once.
    pub(crate) fn note(&self, line: String) {
        let mut notes = self.0.notes.lock().unwrap_or_else(PoisonError::into_inner);
        if !notes.contains(&line) {
            notes.push(line);
        }
    }

    /// Keeps a line about the device's failure.
    pub(crate) fn note_failure(&self, row: usize) {
        if let Some((name, why)) = self
            .0
            .device
            .as_ref()
            .and_then(|gpu| Some((gpu.name(), gpu.fault()?)))
        {
            self.note(format!(
                "{name}: {why}; the processor took over at row {row}"
            ));
        }
    }
}

fn no_device(why: &str, adapter: Option<&str>) -> Error {
    let found: Vec<String> = adapters(None)
        .into_iter()
        .map(|adapter| format!("\"{}\"", adapter.name))
        .collect();
    let expected = if found.is_empty() {
        "a graphics driver: Vulkan on Linux, Metal on a Mac, DirectX 12 on Windows".to_owned()
    } else {
        format!("one of {}", found.join(", "))
    };
    let mut problem = Diagnostic::error(
        "",
        format!("a graphics card is required, but {why}; nothing was written"),
    )
    .expected(expected)
    .help(Hint::AutomaticBackend.or(Hint::ListDevices));
    if let Some(name) = adapter {
        problem = problem.within(format!("the requested adapter, \"{name}\""));
    }
    Error::machine(problem)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn little_work_stays_on_the_processor_and_says_so() {
        let backend = Backend::choose(BackendChoice::Auto, None, 3_000_000).unwrap();
        assert_eq!(backend.kind(), BackendKind::Cpu);
        let [note] = backend.notes().try_into().unwrap();
        let expected = "the processor did the work: 3 million pixels in all schemes: beside ";
        assert!(note.starts_with(expected), "{note}");
        // Must fail: the processor that was asked for needs no reason.
        let asked_for = Backend::choose(BackendChoice::Cpu, None, 3_000_000).unwrap();
        assert!(asked_for.notes().is_empty());
    }

    #[test]
    fn an_adapter_that_nobody_has_is_the_machines_fault() {
        let wanted = Some("no such adapter");
        let error = Backend::choose(BackendChoice::Gpu, wanted, u64::MAX).unwrap_err();
        assert!(matches!(error, Error::Machine(_)));
        let text = error.to_string();
        for part in [
            "the work must run on a device, but no usable adapter is called",
            "in: ",
            "expected: ",
            "help: ",
        ] {
            assert!(text.contains(part), "{text}");
        }
        let auto = Backend::choose(BackendChoice::Auto, wanted, u64::MAX).unwrap();
        assert_eq!(auto.kind(), BackendKind::Cpu);
        assert!(auto.notes()[0].contains("no usable adapter is called"));
    }
}
