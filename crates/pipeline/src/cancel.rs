//! A flag to stop a run from outside, between two row bands.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Shared between the run and the code that may stop it: 0 at first, then the reason as a number.
#[derive(Debug, Clone, Default)]
pub struct Cancel(Arc<AtomicUsize>);

impl Cancel {
    /// Requests a stop.
    pub fn stop(&self) {
        self.0.store(1, Ordering::Relaxed);
    }

    /// Whether a stop was requested.
    #[must_use]
    pub fn is_stopped(&self) -> bool {
        self.reason() != 0
    }

    /// The reason: 0 if no stop was requested, otherwise 1 or the number of a signal.
    #[must_use]
    pub fn reason(&self) -> usize {
        self.0.load(Ordering::Relaxed)
    }

    /// The number itself, for a signal handler to store its signal in.
    #[must_use]
    pub fn flag(&self) -> Arc<AtomicUsize> {
        Arc::clone(&self.0)
    }
}
