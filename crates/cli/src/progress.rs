//! A progress bar, only on a terminal.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// Steps of the bar.
const STEPS: u64 = 1000;

/// A bar on standard error; invisible if that is not a terminal. Clones are the same bar.
#[derive(Debug, Clone)]
pub(crate) struct Bar(ProgressBar);

impl Bar {
    /// `what` is being done.
    pub(crate) fn new(what: &'static str) -> Self {
        let bar = ProgressBar::with_draw_target(Some(STEPS), ProgressDrawTarget::stderr());
        if let Ok(style) = ProgressStyle::with_template("{msg} {wide_bar} {percent} %") {
            bar.set_style(style);
        }
        bar.set_message(what);
        Self(bar)
    }

    /// Shows the share done, 0…1. It never goes back: pieces that are done at the same time may report in any order.
    pub(crate) fn set(&self, done: f64) {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss,
            reason = "0…1 times a thousand"
        )]
        let position = (done.clamp(0.0, 1.0) * STEPS as f64) as u64;
        if position > self.0.position() {
            self.0.set_position(position);
        }
    }

    /// Does something that prints, with the bar out of the way.
    pub(crate) fn hidden<T>(&self, print: impl FnOnce() -> T) -> T {
        self.0.suspend(print)
    }

    /// Removes it.
    pub(crate) fn clear(&self) {
        self.0.finish_and_clear();
    }
}
