//! The backend of the work: the processor, or a device with the processor as fallback. Chooses one, and says why not the other.
//!
//! In: the caller's choice, the amount of work. Out: a device or none; the run's log says why if the processor did what a
//! device could have done.

use std::sync::{Arc, OnceLock};

use serde::Serialize;

use crate::gpu::{AdapterKind, Gpu, adapters};
use crate::run_log::RunLog;
use velatura_document::{Diagnostic, Error, Hint};

/// Pixels × schemes per thread of the processor above which a device is worth its start.
///
/// Measured, see `BENCHMARKS.md`: a device takes up to a second to start, and a thread renders this much in that time.
pub const LEAST_DEVICE_WORK_PER_THREAD: u64 = 100_000_000;

/// Which backend the caller wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum BackendChoice {
    /// A device if there is one and it makes the work faster, otherwise the processor.
    #[default]
    Auto,
    /// The processor.
    Cpu,
    /// A device, even a software renderer.
    Gpu,
}

/// A processor or a device.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum BackendKind {
    /// The processor.
    Cpu,
    /// A device: a graphics card, or a software renderer.
    Gpu,
}

/// The backend that did the work of a run.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BackendUsed {
    /// A device that failed before its first row did no work.
    pub kind: BackendKind,
    /// The device's name, or the number of the processor's threads.
    pub name: String,
    /// Why the processor did what a device could have done, one line each. Not written if there is none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
}

/// The backend of a session's runs. Clones share the device, which is opened at most once.
#[derive(Debug, Clone, Default)]
pub struct Backend(Arc<Shared>);

#[derive(Debug, Default)]
struct Shared {
    choice: BackendChoice,
    adapter: Option<String>,
    device: OnceLock<Result<Gpu, String>>,
}

impl Backend {
    /// A backend of the caller's choice; `adapter` is part of an adapter's name. A device is opened when it is first needed.
    #[must_use]
    pub fn new(choice: BackendChoice, adapter: Option<String>) -> Self {
        Self(Arc::new(Shared {
            choice,
            adapter,
            device: OnceLock::new(),
        }))
    }

    /// The processor.
    #[must_use]
    pub fn cpu() -> Self {
        Self::new(BackendChoice::Cpu, None)
    }

    /// An open device, with the processor for everything it cannot do.
    #[must_use]
    pub fn gpu(device: Gpu) -> Self {
        Self(Arc::new(Shared {
            choice: BackendChoice::Gpu,
            adapter: None,
            device: OnceLock::from(Ok(device)),
        }))
    }

    /// The device for this many pixels × schemes; `None` for the processor. The log gets the reason if a device could have done
    /// it.
    ///
    /// # Errors
    /// [`Error::Machine`] if a device is required and there is none.
    pub(crate) fn device(&self, work: u64, log: &RunLog) -> Result<Option<&Gpu>, Error> {
        let because = |why: &str| log.note_backend(format!("ran on the processor: {why}"));
        let threads = rayon::current_num_threads();
        let least = LEAST_DEVICE_WORK_PER_THREAD * threads as u64;
        let device = match self.0.choice {
            BackendChoice::Cpu => return Ok(None),
            BackendChoice::Auto if work < least => {
                because(&format!(
                    "{} million pixels in all schemes; with {threads} processor threads a graphics card is faster only above {} million",
                    work.div_ceil(1_000_000),
                    least / 1_000_000
                ));
                return Ok(None);
            }
            BackendChoice::Auto | BackendChoice::Gpu => self.opened(),
        };
        match (device, self.0.choice) {
            (Err(why), BackendChoice::Gpu) => Err(no_device(why, self.0.adapter.as_deref())),
            (Err(why), _) => {
                because(why);
                Ok(None)
            }
            (Ok(device), BackendChoice::Auto) if device.kind() == AdapterKind::Software => {
                because(&format!("{} is a software renderer", device.name()));
                Ok(None)
            }
            (Ok(device), _) => match device.fault() {
                // It failed in an earlier run and is not used again.
                Some(why) => {
                    because(&format!("{}: {why}", device.name()));
                    Ok(None)
                }
                None => Ok(Some(device)),
            },
        }
    }

    fn opened(&self) -> Result<&Gpu, &str> {
        let device = self
            .0
            .device
            .get_or_init(|| Gpu::open(self.0.adapter.as_deref()));
        device.as_ref().map_err(String::as_str)
    }

    /// The backend that did the work of a run, from its log.
    pub(crate) fn used(&self, log: &RunLog) -> BackendUsed {
        let device = match self.0.device.get() {
            Some(Ok(device)) if log.device_has_worked() => Some(device.name().to_owned()),
            _ => None,
        };
        BackendUsed {
            kind: match device {
                Some(_) => BackendKind::Gpu,
                None => BackendKind::Cpu,
            },
            name: device.unwrap_or_else(|| format!("{} threads", rayon::current_num_threads())),
            notes: log.backend_notes(),
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
        let help = Hint::OtherAdapter
            .or(Hint::AutomaticBackend)
            .or(Hint::ListDevices);
        problem = problem
            .within(format!("the requested adapter, \"{name}\""))
            .help(help);
    }
    Error::machine(problem)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn little_work_stays_on_the_processor_and_the_log_says_so() {
        let log = RunLog::default();
        let backend = Backend::new(BackendChoice::Auto, None);
        assert!(backend.device(3_000_000, &log).unwrap().is_none());
        let used = backend.used(&log);
        assert_eq!(used.kind, BackendKind::Cpu);
        let [note] = used.notes.try_into().unwrap();
        let expected = "ran on the processor: 3 million pixels in all schemes; with ";
        assert!(note.starts_with(expected), "{note}");
        // Must fail: a requested processor needs no reason.
        let log = RunLog::default();
        assert!(Backend::cpu().device(3_000_000, &log).unwrap().is_none());
        assert!(log.backend_notes().is_empty());
    }

    #[test]
    fn an_adapter_that_nobody_has_is_the_machines_fault() {
        let log = RunLog::default();
        let wanted = Some("no such adapter".to_owned());
        let backend = Backend::new(BackendChoice::Gpu, wanted.clone());
        let error = backend.device(u64::MAX, &log).unwrap_err();
        assert!(matches!(error, Error::Machine(_)));
        let text = error.to_string();
        for part in [
            "a graphics card is required, but no usable adapter is called",
            "in: ",
            "expected: ",
            "help: ",
        ] {
            assert!(text.contains(part), "{text}");
        }
        let auto = Backend::new(BackendChoice::Auto, wanted);
        assert!(auto.device(u64::MAX, &log).unwrap().is_none());
        assert!(auto.used(&log).notes[0].contains("no usable adapter is called"));
    }
}
