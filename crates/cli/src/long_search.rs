//! A long search: a bar on a terminal, and an end when a signal asks for it.

use std::process::ExitCode;

use velatura_pipeline::Error;
use velatura_pipeline::scheme::Watch;

use crate::progress::Bar;
use crate::signals;

/// What a search found, or the exit status if a signal stopped it.
///
/// # Errors
/// Those of the search.
pub(crate) fn watched<T>(
    what: &'static str,
    search: impl FnOnce(&Watch<'_>) -> Result<T, Error>,
) -> Result<Result<T, ExitCode>, Error> {
    let cancel = signals::cancel();
    let bar = Bar::new(what);
    let (stopped, progress) = (|| cancel.is_stopped(), |done| bar.set(done));
    let found = search(&Watch::new(&stopped, &progress));
    bar.clear();
    match found {
        Ok(found) if !cancel.is_stopped() => Ok(Ok(found)),
        Ok(_) | Err(Error::Cancelled) => Ok(Err(signals::exit_code(&cancel))),
        Err(error) => Err(error),
    }
}
