//! Time without a clock in this crate: the program passes one in, so the same code runs where there is none.

use std::fmt;
use std::sync::Arc;
use std::time::Duration;

/// A source of time for the timings in reports.
#[derive(Clone)]
pub struct Clock(Arc<dyn Fn() -> Duration + Send + Sync>);

impl Clock {
    /// A clock from a function that gives the time since any fixed moment.
    #[must_use]
    pub fn new(now: impl Fn() -> Duration + Send + Sync + 'static) -> Self {
        Self(Arc::new(now))
    }

    /// A stopped clock: every timing is 0.
    #[must_use]
    pub fn stopped() -> Self {
        Self::new(|| Duration::ZERO)
    }

    /// The time since its moment.
    #[must_use]
    pub fn now(&self) -> Duration {
        (self.0)()
    }
}

impl Default for Clock {
    fn default() -> Self {
        Self::stopped()
    }
}

impl fmt::Debug for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Clock({:?})", self.now())
    }
}

/// How long each step took, in the order in which they began. If a step is repeated because a stage failed, both times are
/// added.
#[derive(Debug, Clone)]
pub struct Timings {
    clock: Clock,
    last: Duration,
    steps: Vec<(&'static str, Duration)>,
}

impl Timings {
    /// Starts the first step.
    #[must_use]
    pub fn start(clock: &Clock) -> Self {
        Self {
            clock: clock.clone(),
            last: clock.now(),
            steps: Vec::new(),
        }
    }

    /// Ends a step; the next one starts.
    pub fn lap(&mut self, step: &'static str) {
        let now = self.clock.now();
        let took = now.saturating_sub(self.last);
        match self.steps.iter_mut().find(|(known, _)| *known == step) {
            Some((_, time)) => *time += took,
            None => self.steps.push((step, took)),
        }
        self.last = now;
    }

    /// Each step and its time.
    #[must_use]
    pub fn steps(&self) -> &[(&'static str, Duration)] {
        &self.steps
    }
}
