//! Time, without a clock of our own: the caller lends one, so that the same code runs where there is none.

use std::fmt;
use std::time::Duration;

/// Tells the time since some moment.
pub struct Clock<'a>(&'a (dyn Fn() -> Duration + Sync));

impl<'a> Clock<'a> {
    /// A clock from a function that tells the time since any fixed moment.
    #[must_use]
    pub fn new(tell: &'a (dyn Fn() -> Duration + Sync)) -> Self {
        Self(tell)
    }

    /// The time since its moment.
    #[must_use]
    pub fn now(&self) -> Duration {
        (self.0)()
    }
}

impl Clock<'static> {
    /// A clock that stands still: every timing is 0.
    #[must_use]
    pub fn stopped() -> Self {
        Self(&|| Duration::ZERO)
    }
}

impl fmt::Debug for Clock<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Clock({:?})", self.now())
    }
}
