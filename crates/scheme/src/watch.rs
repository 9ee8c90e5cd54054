//! Watching a long search: whether to stop it, and how far it is.
//!
//! In: two functions of the caller's. Out: nothing of its own; searches call them between pieces of work, from any thread.

use std::fmt;

use velatura_document::Error;

/// What a long search asks and reports between pieces of work.
///
/// ```
/// use std::sync::atomic::{AtomicBool, Ordering};
/// use velatura_scheme::Watch;
///
/// let stop = AtomicBool::new(false);
/// let (stopped, progress) = (|| stop.load(Ordering::Relaxed), |done: f64| println!("{:.0} %", done * 100.0));
/// let watch = Watch::new(&stopped, &progress);
/// assert!(watch.go_on().is_ok());
/// stop.store(true, Ordering::Relaxed);
/// assert!(watch.go_on().is_err());
/// ```
#[derive(Clone, Copy)]
pub struct Watch<'a> {
    stopped: &'a (dyn Fn() -> bool + Sync),
    progress: &'a (dyn Fn(f64) + Sync),
}

impl Watch<'static> {
    /// Nobody stops the search or looks at its progress.
    #[must_use]
    pub fn nobody() -> Self {
        Self {
            stopped: &|| false,
            progress: &|_| (),
        }
    }
}

impl<'a> Watch<'a> {
    /// `stopped` returns whether to stop. `progress` gets the share of the work that is done, 0…1. The share grows, except that
    /// pieces which end at the same time may report in any order.
    #[must_use]
    pub fn new(stopped: &'a (dyn Fn() -> bool + Sync), progress: &'a (dyn Fn(f64) + Sync)) -> Self {
        Self { stopped, progress }
    }

    /// Whether the work goes on.
    ///
    /// # Errors
    /// [`Error::Cancelled`] if somebody stopped it.
    pub fn go_on(&self) -> Result<(), Error> {
        if (self.stopped)() {
            Err(Error::Cancelled)
        } else {
            Ok(())
        }
    }

    /// Reports the share of the work that is done, 0…1.
    pub fn report(&self, done: f64) {
        (self.progress)(done.clamp(0.0, 1.0));
    }
}

impl fmt::Debug for Watch<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Watch").finish_non_exhaustive()
    }
}
