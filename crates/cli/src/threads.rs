//! The threads that share the work: no more than the machine runs at once, whatever the environment asks for.

use std::thread::available_parallelism;

use rayon::ThreadPoolBuilder;
use velatura_document::Diagnostic;
use velatura_pipeline::Error;

/// The variable by which users of rayon ask for fewer threads.
const WANTED: &str = "RAYON_NUM_THREADS";

/// Makes the threads; where none can be made, all work is done in this one.
///
/// # Errors
/// [`Error::Machine`] if not even that is possible.
pub(crate) fn make_threads() -> Result<(), Error> {
    let most = available_parallelism().map_or(1, usize::from);
    let wanted = std::env::var(WANTED).ok();
    ThreadPoolBuilder::new()
        .num_threads(count(wanted.as_deref(), most))
        .build_global()
        .or_else(|_| {
            let alone = ThreadPoolBuilder::new().num_threads(1).use_current_thread();
            alone.build_global()
        })
        .map_err(|error| {
            Error::machine(
                Diagnostic::error("", format!("no thread can be started: {error}"))
                    .within("starting; nothing was written")
                    .expected("room for another thread")
                    .help("end other programs, or raise the limit on threads")
                    .caused_by(error),
            )
        })
}

/// The wanted number, kept between 1 and `most`; `most` if the variable is not set or is not a number.
fn count(wanted: Option<&str>, most: usize) -> usize {
    let wanted = wanted.and_then(|wanted| wanted.parse().ok());
    wanted
        .filter(|wanted| *wanted > 0)
        .map_or(most, |wanted: usize| wanted.min(most))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fewer_threads_can_be_asked_for_and_more_cannot() {
        for (wanted, made) in [
            (None, 8),
            (Some("1"), 1),
            (Some("8"), 8),
            (Some("99999"), 8),
            (Some("0"), 8),
            (Some("many"), 8),
            (Some("99999999999999999999999"), 8),
        ] {
            assert_eq!(count(wanted, 8), made, "{wanted:?}");
        }
    }
}
