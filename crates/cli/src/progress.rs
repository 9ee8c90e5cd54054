//! A progress bar, and a spinner for waits of unknown length; only on a terminal.

use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// Steps of the bar.
const STEPS: u64 = 1000;

/// A bar on standard error; invisible if that is not a terminal. Clones are the same bar.
#[derive(Debug, Clone)]
pub(crate) struct Bar(ProgressBar);

impl Bar {
    pub(crate) fn new() -> Self {
        let bar = ProgressBar::with_draw_target(Some(STEPS), ProgressDrawTarget::stderr());
        if let Ok(style) = ProgressStyle::with_template("rendering {wide_bar} {percent} %") {
            bar.set_style(style);
        }
        Self(bar)
    }

    /// Shows the share done, 0…1.
    pub(crate) fn set(&self, done: f64) {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss,
            reason = "0…1 times a thousand"
        )]
        self.0
            .set_position((done.clamp(0.0, 1.0) * STEPS as f64) as u64);
    }

    /// Removes it.
    pub(crate) fn clear(&self) {
        self.0.finish_and_clear();
    }
}

/// A spinner on standard error, until this is dropped.
#[derive(Debug)]
pub(crate) struct Wait(ProgressBar);

impl Wait {
    pub(crate) fn new(what: String) -> Self {
        let sign = ProgressBar::with_draw_target(None, ProgressDrawTarget::stderr());
        sign.set_message(what);
        sign.enable_steady_tick(Duration::from_millis(120));
        Self(sign)
    }
}

impl Drop for Wait {
    fn drop(&mut self) {
        self.0.finish_and_clear();
    }
}
