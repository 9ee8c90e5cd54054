//! Stopping on request: the first signal ends the run between two row bands and leaves nothing behind.

use std::process::ExitCode;

use signal_hook::consts::{SIGINT, SIGTERM};
use velatura_document::Diagnostic;
use velatura_pipeline::{Cancel, Error};

/// A cancellation triggered by interrupt and termination signals.
pub(crate) fn cancel_on_signal() -> Result<Cancel, Error> {
    let cancel = Cancel::default();
    for signal in [SIGINT, SIGTERM] {
        let number = usize::try_from(signal).unwrap_or(1);
        signal_hook::flag::register_usize(signal, cancel.flag(), number).map_err(|error| {
            let found = format!("signals cannot be watched: {error}; nothing was written");
            Error::machine(Diagnostic::error("", found).caused_by(error))
        })?;
    }
    Ok(cancel)
}

/// The exit status of a stopped run: 128 plus the signal's number, as in shells (130 or 143).
pub(crate) fn exit_code(cancel: &Cancel) -> ExitCode {
    ExitCode::from(u8::try_from(128 + cancel.reason()).unwrap_or(130))
}
