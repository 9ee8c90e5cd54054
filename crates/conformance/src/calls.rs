//! Calls to a stage under test: panics caught, results compared. In: a call. Out: its result, with the checks that it passed noted.

use std::panic::{AssertUnwindSafe, catch_unwind};

use velatura_document::Diagnostic;

use super::report::{Check, Report};
use velatura_pipeline::stage::StageInfo;

/// Threads that call at once.
const THREADS: usize = 4;

/// The result of a call, or that it panicked, in words.
pub(super) fn guarded<T>(call: impl FnOnce() -> T) -> Result<T, String> {
    catch_unwind(AssertUnwindSafe(call)).map_err(|panic| {
        let words = panic
            .downcast_ref::<&str>()
            .map(|words| (*words).to_owned())
            .or_else(|| panic.downcast_ref::<String>().cloned());
        format!("it panicked: {}", words.unwrap_or_default())
    })
}

/// The result of a call that may refuse, with the refusal in words.
pub(super) fn answer<T>(call: impl FnOnce() -> Result<T, Diagnostic>) -> Result<T, String> {
    guarded(call)?.map_err(|problem| format!("it returned an error: {}", problem.found))
}

/// Like [`answer`], for several problems at once.
pub(super) fn answers<T>(call: impl FnOnce() -> Result<T, Vec<Diagnostic>>) -> Result<T, String> {
    guarded(call)?.map_err(|problems| {
        let found: Vec<&str> = problems.iter().map(|one| one.found.as_str()).collect();
        format!("it returned an error: {}", found.join("; "))
    })
}

/// Repeats one call and checks that it works, returns the same the second time, and on several threads at once. `None` if it
/// does not work at all.
pub(super) fn repeated<T: Send + Sync>(
    report: &mut Report,
    info: &StageInfo,
    call: impl Fn() -> Result<T, String> + Sync,
    same: impl Fn(&T, &T) -> bool,
) -> Option<T> {
    let first = match call() {
        Ok(first) => first,
        Err(words) => {
            report.made(Check::Works, Err(words));
            return None;
        }
    };
    report.made(Check::Works, Ok(()));
    if !info.deterministic {
        report.note("it declares that it is not deterministic, so results were not compared");
        return Some(first);
    }
    let differs = |other: &Result<T, String>, when: &str| match other {
        Ok(other) if same(&first, other) => Ok(()),
        Ok(_) => Err(format!("{when} the same input gave a different result")),
        Err(words) => Err(format!("{when} {words}")),
    };
    let steady = report.made(Check::SameAgain, differs(&call(), "the second time"));
    // If the result differs even on one thread, more threads add nothing.
    if steady {
        let others: Vec<Result<T, String>> = std::thread::scope(|scope| {
            let threads: Vec<_> = (0..THREADS).map(|_| scope.spawn(&call)).collect();
            let joined = threads.into_iter().map(|thread| {
                let ended = thread.join();
                ended.unwrap_or_else(|_| Err("it panicked".to_owned()))
            });
            joined.collect()
        });
        for other in &others {
            report.made(Check::ManyThreads, differs(other, "on another thread"));
        }
    }
    Some(first)
}
