//! Work without the interpreter lock, which Ctrl-C and other threads can stop.
//!
//! The work runs in a thread of its own. The calling thread waits, and gives Python the chance to handle signals several times a
//! second: the interpreter handles them in its main thread only.

use std::panic::resume_unwind;
use std::process;
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::thread;
use std::time::Duration;

use pyo3::prelude::*;
use velatura_document::{Diagnostic, Error};

use crate::errors::raised;

/// How often Python handles signals during work.
const PAUSE: Duration = Duration::from_millis(50);

/// The process in which work began: 0 before any work.
static FIRST_PROCESS: AtomicU32 = AtomicU32::new(0);

/// Stops work from another thread: pass it as `cancel=`, then call `stop`.
#[pyclass(frozen, module = "velatura")]
#[derive(Debug, Default)]
pub(crate) struct Cancel(velatura::Cancel);

#[pymethods]
impl Cancel {
    #[new]
    fn new() -> Self {
        Self::default()
    }

    /// Stop the work. It raises Cancelled.
    fn stop(&self) {
        self.0.stop();
    }

    /// Whether `stop` was called.
    #[getter]
    fn is_stopped(&self) -> bool {
        self.0.is_stopped()
    }
}

/// The flag of an optional argument, or a new one.
pub(crate) fn flag(cancel: Option<&Bound<'_, Cancel>>) -> velatura::Cancel {
    cancel.map_or_else(Default::default, |cancel| cancel.get().0.clone())
}

/// Does some work without the interpreter lock. Ctrl-C stops it through `cancel`.
///
/// # Errors
/// The exception of the work's error, or what a signal handler raised, KeyboardInterrupt for Ctrl-C.
pub(crate) fn without_lock<T: Send>(
    py: Python<'_>,
    cancel: &velatura::Cancel,
    work: impl FnOnce() -> Result<T, Error> + Send,
) -> PyResult<T> {
    begin().map_err(|error| raised(py, &error))?;
    let (result, interrupt) = py.detach(|| watched(cancel, work));
    match interrupt {
        Some(interrupt) => Err(interrupt),
        None => result.map_err(|error| raised(py, &error)),
    }
}

fn watched<T: Send>(
    cancel: &velatura::Cancel,
    work: impl FnOnce() -> Result<T, Error> + Send,
) -> (Result<T, Error>, Option<PyErr>) {
    thread::scope(|scope| {
        // Never sent through: it ends when the work does, panic or not.
        let (alive, ended) = channel::<()>();
        let worker = thread::Builder::new()
            .name("velatura".to_owned())
            .spawn_scoped(scope, move || {
                let _alive = alive;
                work()
            });
        let worker = match worker {
            Ok(worker) => worker,
            Err(error) => return (Err(no_thread(error)), None),
        };
        let mut interrupt = None;
        while let Err(RecvTimeoutError::Timeout) = ended.recv_timeout(PAUSE) {
            if interrupt.is_none()
                && let Err(raised) = Python::attach(|py| py.check_signals())
            {
                cancel.stop();
                interrupt = Some(raised);
            }
        }
        match worker.join() {
            Ok(result) => (result, interrupt),
            Err(panic) => resume_unwind(panic),
        }
    })
}

fn no_thread(error: std::io::Error) -> Error {
    let found = format!("no thread can be started: {error}; nothing was written");
    Error::machine(
        Diagnostic::error("", found)
            .expected("at least one thread")
            .help("end other programs, or allow more processes")
            .caused_by(error),
    )
}

/// Refuses work in a process that was forked after its parent had worked: the parent's threads are not in it, and it would wait
/// for them for ever.
fn begin() -> Result<(), Error> {
    let here = process::id();
    let first = FIRST_PROCESS.compare_exchange(0, here, Ordering::Relaxed, Ordering::Relaxed);
    match first {
        Err(first) if first != here => Err(Error::machine(
            Diagnostic::error(
                "",
                "this process was forked from one that had used velatura",
            )
            .expected("a process that was started fresh, or forked before the first use")
            .help("use multiprocessing.get_context(\"spawn\")"),
        )),
        _ => Ok(()),
    }
}
