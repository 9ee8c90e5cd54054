//! Runs the fuzz targets for long: `cargo run -p velatura-tests --example soak -- --cases 100000 --seed 7`.
//!
//! In: the number of cases of all targets together, a seed, and maybe the names of some targets. Out: one line per target with
//! the number of cases. A case that fails is written to `target/soak`, with its seed and what went wrong; move it to
//! `tests/fuzz/cases` once it is fixed, and it runs with every test. The case that is running is always in that folder, so
//! that a run that aborts leaves it there as well.

mod kit;
mod targets;

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use kit::case::Case;
use kit::{Target, run_case, seed_of};

/// A case that runs for longer hangs, or is far too slow for its size.
const HANGS: Duration = Duration::from_secs(120);
/// More than that are not worth keeping from one run.
const MOST_FAILURES: usize = 20;

struct Options {
    cases: u64,
    seed: u64,
    only: Vec<String>,
}

fn options() -> Result<Options, String> {
    let mut options = Options {
        cases: 10_000,
        seed: 1,
        only: Vec::new(),
    };
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        let mut number = || -> Result<u64, String> {
            let value = words.next().unwrap_or_default();
            value
                .parse()
                .map_err(|_| format!("{word} needs a whole number"))
        };
        match word.as_str() {
            "--cases" => options.cases = number()?,
            "--seed" => options.seed = number()?,
            name if targets::all().iter().any(|target| target.name == name) => {
                options.only.push(word);
            }
            _ => {
                let names: Vec<&str> = targets::all().iter().map(|target| target.name).collect();
                return Err(format!(
                    "usage: soak [--cases N] [--seed N] [TARGET…]\ntargets: {}",
                    names.join(", ")
                ));
            }
        }
    }
    Ok(options)
}

/// The case that is running, and since when.
type Running = Arc<Mutex<Option<(Case, u64, Instant)>>>;

fn main() -> ExitCode {
    let options = match options() {
        Ok(options) => options,
        Err(usage) => {
            eprintln!("{usage}");
            return ExitCode::from(2);
        }
    };
    let folder = velatura_tests::root().join("target/soak");
    std::fs::create_dir_all(&folder).expect("the folder for cases can be made");
    let chosen: Vec<Target> = targets::all()
        .into_iter()
        .filter(|target| {
            options.only.is_empty() || options.only.iter().any(|name| name == target.name)
        })
        .collect();
    let shares: u64 = chosen.iter().map(|target| target.share).sum();
    let running: Running = Arc::default();
    watch_for_hangs(Arc::clone(&running), folder.clone());
    kit::silence_panics();
    println!("seed {}", options.seed);
    let mut failures = 0;
    for target in &chosen {
        let cases = (options.cases * target.share).div_ceil(shares);
        let begun = Instant::now();
        let failed = soak(target, cases, options.seed, &folder, &running);
        println!(
            "{:<10} {cases:>8} cases, {failed} failed, {:.0} s",
            target.name,
            begun.elapsed().as_secs_f64()
        );
        failures += failed;
        if failures >= MOST_FAILURES {
            println!("stopped after {failures} failures");
            break;
        }
    }
    if failures == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

/// Runs one target, and returns how many cases failed.
fn soak(target: &Target, cases: u64, seed: u64, folder: &Path, running: &Running) -> usize {
    let mut failed = 0;
    let current = folder.join(format!("running-{}.case", target.name));
    for number in 0..cases {
        let case = target.case(seed_of(seed, number));
        std::fs::write(&current, case.to_bytes()).expect("the running case can be written");
        *lock(running) = Some((case.clone(), number, Instant::now()));
        let result = run_case(target, &case);
        *lock(running) = None;
        if let Err(why) = result {
            let path = folder.join(format!("{}-{seed}-{number}.case", target.name));
            std::fs::write(&path, case.to_bytes()).expect("the case can be written");
            println!(
                "FAILED {} seed {seed} case {number}: {why}\n  kept as {}",
                target.name,
                path.display()
            );
            failed += 1;
            if failed >= MOST_FAILURES {
                break;
            }
        }
    }
    // What is left after a run that ended is no finding.
    let _ = std::fs::remove_file(current);
    failed
}

fn watch_for_hangs(running: Running, folder: PathBuf) {
    std::thread::spawn(move || {
        loop {
            std::thread::sleep(Duration::from_secs(1));
            let hangs = lock(&running).clone();
            let Some((case, number, since)) = hangs.filter(|(_, _, since)| since.elapsed() > HANGS)
            else {
                continue;
            };
            let path = folder.join(format!("hangs-{}-{number}.case", case.target));
            std::fs::write(&path, case.to_bytes()).expect("the case can be written");
            println!(
                "HANGS {} case {number} for {:.0} s\n  kept as {}",
                case.target,
                since.elapsed().as_secs_f64(),
                path.display()
            );
            std::process::exit(1);
        }
    });
}

fn lock<T>(mutex: &Mutex<T>) -> std::sync::MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
