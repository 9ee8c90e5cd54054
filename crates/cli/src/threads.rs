//! The threads that all work shares: at most as many as the processor runs at once, fewer where the machine gives no more.
//!
//! In: `RAYON_NUM_THREADS`, the variable of the library that shares work out; the processor. Out: the global pool, made
//! before any work. The threads are started first and handed to the pool then, so that making the pool cannot fail half-way:
//! the library makes a global pool only once. Where not even one thread starts, the main thread does all work.

use std::io;
use std::num::NonZero;
use std::sync::Mutex;
use std::sync::mpsc::{Sender, channel};
use std::thread;

use rayon::{ThreadBuilder, ThreadPoolBuilder};
use velatura_document::Diagnostic;
use velatura_pipeline::Error;

/// The variable that asks for fewer threads.
const VARIABLE: &str = "RAYON_NUM_THREADS";

/// Makes the global pool.
///
/// # Errors
/// [`Error::Machine`] if there can be no pool at all.
pub(crate) fn make_pool() -> Result<(), Error> {
    let processor = thread::available_parallelism().map_or(1, NonZero::get);
    let wanted = wanted(std::env::var(VARIABLE).ok().as_deref(), processor);
    let started = started(wanted, |work| {
        thread::Builder::new().spawn(work).map(|_| ())
    });
    let made = if started.is_empty() {
        let alone = ThreadPoolBuilder::new().num_threads(1);
        alone.use_current_thread().build_global()
    } else {
        let count = started.len();
        let waiting = Mutex::new(started);
        ThreadPoolBuilder::new()
            .num_threads(count)
            .spawn_handler(|work: ThreadBuilder| {
                let next = waiting.lock().ok().and_then(|mut waiting| waiting.pop());
                let taken = next.is_some_and(|thread| thread.send(work).is_ok());
                let gone = || io::Error::other("a thread has ended too early");
                taken.then_some(()).ok_or_else(gone)
            })
            .build_global()
    };
    made.map_err(|error| {
        let found = format!("no thread can be started: {error}; nothing was written");
        Error::machine(
            Diagnostic::error("", found)
                .expected("at least one thread")
                .help("end other programs, or allow more processes")
                .caused_by(error),
        )
    })
}

/// How many threads to start: as many as the variable says, at most the processor's, at least one. Without a number there
/// (0 is none either) all of the processor's.
fn wanted(variable: Option<&str>, processor: usize) -> usize {
    let asked = variable.and_then(|text| text.trim().parse::<usize>().ok());
    match asked {
        Some(asked) if asked > 0 => asked.min(processor),
        // A number too large to be read is still a number.
        _ => processor,
    }
}

/// Starts so many threads that wait for their work; as many as can be started, maybe none. A thread that gets no work ends.
fn started(
    wanted: usize,
    mut spawn: impl FnMut(Box<dyn FnOnce() + Send>) -> io::Result<()>,
) -> Vec<Sender<ThreadBuilder>> {
    let mut threads = Vec::new();
    for _ in 0..wanted {
        let (give, take) = channel::<ThreadBuilder>();
        let work = Box::new(move || {
            if let Ok(work) = take.recv() {
                work.run();
            }
        });
        match spawn(work) {
            Ok(()) => threads.push(give),
            Err(_) => break,
        }
    }
    threads
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_variable_asks_for_fewer_threads_and_never_for_more() {
        assert_eq!(wanted(None, 8), 8);
        assert_eq!(wanted(Some("3"), 8), 3);
        assert_eq!(wanted(Some("99999"), 8), 8);
        assert_eq!(wanted(Some("99999999999999999999999999"), 8), 8);
        for no_number in ["", "0", "many", "-1"] {
            assert_eq!(wanted(Some(no_number), 8), 8, "{no_number}");
        }
    }

    #[test]
    fn as_many_threads_are_used_as_can_be_started() {
        for possible in [0, 1, 3] {
            let mut left = possible;
            let threads = started(5, |work| {
                if left == 0 {
                    return Err(io::Error::from(io::ErrorKind::WouldBlock));
                }
                left -= 1;
                thread::Builder::new().spawn(work).map(|_| ())
            });
            assert_eq!(threads.len(), possible);
        }
    }
}
