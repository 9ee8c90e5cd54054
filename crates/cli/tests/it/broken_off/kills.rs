//! Killed at random moments: every file that is in place is whole, a signal that asks leaves nothing, and the next run cleans up.

use std::collections::BTreeMap;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use super::desk::{CALLS, before_and_after, cleared, command, desk, listing, run};
use super::{Chance, times};

/// A name that only a killed run leaves.
fn is_temporary(name: &str) -> bool {
    let file = name.rsplit('/').next().unwrap_or(name);
    file.starts_with(".velatura-") && file.ends_with(".tmp")
}

fn kill(child: &Child, signal: &str) {
    let _ = Command::new("kill")
        .args([signal, &child.id().to_string()])
        .stderr(Stdio::null())
        .status();
}

fn broken_off(call: &str, seed: u64) {
    let folder = desk();
    let folder = folder.path();
    let begun = Instant::now();
    let [before, after] = before_and_after(folder, call);
    let whole_time = begun.elapsed();
    let mut chance = Chance(seed);
    for number in 0..times(4) {
        let signal = ["-KILL", "-TERM"][number % 2];
        let share = chance.below(1_000_000);
        let moment = whole_time.mul_f64(0.000_001 * f64::from(u32::try_from(share).unwrap()));
        let mut child = command(folder, "", call)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(moment.max(Duration::from_millis(1)));
        kill(&child, signal);
        let status = child.wait().unwrap();
        let what = format!(
            "{call}, {signal} after {} ms of {}",
            moment.as_millis(),
            whole_time.as_millis()
        );
        let left = listing(folder);
        in_place_is_whole(&left, &before, &after, &what);
        if signal == "-TERM" {
            let expected = if status.success() { &after } else { &before };
            // The signal may come when all files are in place.
            assert!(
                left == *expected || left == after,
                "{what}: {:?}",
                left.keys()
            );
        }
        let next = run(folder, "", call);
        assert_eq!(
            next.status.code(),
            Some(0),
            "{what}: {}",
            String::from_utf8_lossy(&next.stderr)
        );
        let found = listing(folder);
        assert!(found == after, "{what}, and run again: {:?}", found.keys());
        cleared(folder);
    }
}

pub(super) fn in_place_is_whole(
    left: &BTreeMap<String, Vec<u8>>,
    before: &BTreeMap<String, Vec<u8>>,
    after: &BTreeMap<String, Vec<u8>>,
    what: &str,
) {
    for (name, bytes) in left {
        assert!(
            is_temporary(name) || after.get(name) == Some(bytes),
            "{what}: {name} is not whole"
        );
    }
    for (name, bytes) in before {
        assert!(left.get(name) == Some(bytes), "{what}: {name} was changed");
    }
}

#[test]
fn a_killed_render() {
    broken_off(CALLS[0], 1);
}

#[test]
fn a_killed_pair() {
    broken_off(CALLS[1], 2);
}

#[test]
fn killed_regions() {
    broken_off(CALLS[2], 3);
}

#[test]
fn a_killed_swatch() {
    broken_off(CALLS[3], 4);
}
