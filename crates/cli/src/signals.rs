//! Stopping on request. A signal asks the work to stop; work that does not hear it in time is ended, and its temporary files
//! are removed.

use std::process::ExitCode;
use std::sync::OnceLock;
#[cfg(unix)]
use std::sync::{Arc, atomic::AtomicBool};
use std::thread;
use std::time::{Duration, Instant};

use signal_hook::consts::{SIGINT, SIGTERM};
use velatura_document::Diagnostic;
use velatura_output::abandon_all;
use velatura_pipeline::{Cancel, Error};

/// How often to check whether a signal has arrived.
const PAUSE: Duration = Duration::from_millis(20);
/// How long work may take to stop. A render stops between two row bands, most often within a tenth of this.
const GRACE: Duration = Duration::from_millis(400);

static CANCEL: OnceLock<Cancel> = OnceLock::new();

/// Exit status of a program that its runtime ends, most often because a small buffer found no memory: the machine could not do
/// it. The runtime has printed why by then.
#[cfg(unix)]
const ENDED_BY_RUNTIME: i32 = 3;

/// Watches for interrupt and termination signals from now on, and makes a limit on the size of files an error of writing
/// rather than the end of the program.
pub(crate) fn watch() -> Result<(), Error> {
    let cancel = cancel();
    // If no thread can be started, signals keep their usual effect: they end the program.
    if thread::Builder::new()
        .name("signals".to_owned())
        .spawn(end_on_signal)
        .is_ok()
    {
        for signal in [SIGINT, SIGTERM] {
            let number = usize::try_from(signal).unwrap_or(1);
            signal_hook::flag::register_usize(signal, cancel.flag(), number)
                .map_err(not_watched)?;
        }
    }
    #[cfg(unix)]
    {
        use signal_hook::consts::{SIGABRT, SIGXFSZ};
        use signal_hook::flag::{register, register_conditional_shutdown};
        register(SIGXFSZ, Arc::default()).map_err(not_watched)?;
        let always = Arc::new(AtomicBool::new(true));
        register_conditional_shutdown(SIGABRT, ENDED_BY_RUNTIME, always).map_err(not_watched)?;
    }
    Ok(())
}

fn not_watched(error: std::io::Error) -> Error {
    let found = format!("signals cannot be watched: {error}; nothing was written");
    Error::machine(Diagnostic::error("", found).caused_by(error))
}

/// The cancellation that interrupt and termination signals set off.
pub(crate) fn cancel() -> Cancel {
    CANCEL.get_or_init(Cancel::default).clone()
}

/// Ends the program after a signal: at once where nothing hears it, and never with files half written.
fn end_on_signal() {
    let cancel = cancel();
    while !cancel.is_stopped() {
        thread::sleep(PAUSE);
    }
    let asked = Instant::now();
    while asked.elapsed() < GRACE {
        thread::sleep(PAUSE);
    }
    abandon_all();
    signal_hook::low_level::exit(status(&cancel).into());
}

/// 128 and the signal's number, as shells have it (130 or 143).
fn status(cancel: &Cancel) -> u8 {
    u8::try_from(128 + cancel.reason()).unwrap_or(130)
}

/// The exit status of a stopped run.
pub(crate) fn exit_code(cancel: &Cancel) -> ExitCode {
    ExitCode::from(status(cancel))
}
