//! A flag by which someone outside stops a run between two row bands.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Shared between the run and whoever may stop it: 0 while nobody has, then the reason as a number.
#[derive(Debug, Clone, Default)]
pub struct Cancel(Arc<AtomicUsize>);

impl Cancel {
    /// Asks the run to stop.
    pub fn stop(&self) {
        self.0.store(1, Ordering::Relaxed);
    }

    /// Whether someone has asked.
    #[must_use]
    pub fn is_stopped(&self) -> bool {
        self.reason() != 0
    }

    /// Why: 0 while nobody has asked, else what was stored (1, or the number of a signal).
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
