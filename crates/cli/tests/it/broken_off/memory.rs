//! Too little memory, at any amount: exit status 0 or 3, and no file that is not whole; never a crash.
//!
//! A shortage that the program notices leaves nothing. Where a small buffer finds no memory the runtime ends the program; then
//! temporary files may be left, and the next run removes them.

use super::desk::{CALLS, before_and_after, cleared, desk, listing, run};
use super::kills::in_place_is_whole;
use super::{Chance, times};

/// Least limit in MB for which the program starts at all.
fn least(folder: &std::path::Path) -> u64 {
    let starts = |megabytes: u64| {
        let limit = format!("ulimit -v {};", megabytes * 1000);
        run(folder, &limit, "--version").status.success()
    };
    (10..2000)
        .step_by(2)
        .find(|limit| starts(*limit))
        .expect("the program starts")
}

#[test]
fn a_limit_on_memory_at_any_amount() {
    let folder = desk();
    let folder = folder.path();
    let least = least(folder);
    let mut chance = Chance(6);
    for call in CALLS {
        let [before, after] = before_and_after(folder, call);
        let mut refused = 0;
        for number in 0..times(6) {
            let more = if number % 2 == 0 { 40 } else { 400 };
            let megabytes = least + chance.below(more);
            let output = run(folder, &format!("ulimit -v {};", megabytes * 1000), call);
            let message = String::from_utf8_lossy(&output.stderr);
            let what = format!("{call} with {megabytes} MB, {least} of them to start: {message}");
            let found = listing(folder);
            match output.status.code() {
                Some(0) => assert!(found == after, "{what}"),
                Some(3) => {
                    refused += 1;
                    assert!(message.contains("memory"), "{what}");
                    in_place_is_whole(&found, &before, &after, &what);
                    if message.starts_with("error: ") {
                        assert!(found == before, "{what}: {:?}", found.keys());
                    }
                    let next = run(folder, "", call);
                    assert!(
                        next.status.success() && listing(folder) == after,
                        "{what}, then again"
                    );
                }
                other => panic!("{other:?}: {what}"),
            }
            cleared(folder);
        }
        assert!(refused > 0, "{call}: no limit was too low");
    }
}
