//! The short run: some cases of every target with a fixed seed, all kept cases, and proof that the checks can fail.

use std::path::Path;

use velatura_document::{Diagnostic, Error};
use velatura_tests::root;

use crate::kit::case::Case;
use crate::kit::{Target, oracle, run_case, seed_of};
use crate::targets;

/// The seed of the short run.
const SEED: u64 = 20_261_130;

fn run(name: &str, cases: u64) {
    let target = target(name);
    for number in 0..cases {
        let case = target.case(seed_of(SEED, number));
        if let Err(why) = run_case(&target, &case) {
            panic!(
                "{name}, seed {SEED}, case {number}: {why}\n{}",
                case.shown()
            );
        }
    }
}

fn target(name: &str) -> Target {
    let found = targets::all().into_iter().find(|one| one.name == name);
    found.unwrap_or_else(|| panic!("no target is called {name}"))
}

macro_rules! short_runs {
    ($($test:ident: $target:literal, $cases:literal;)*) => {
        $(#[test]
        fn $test() {
            run($target, $cases);
        })*

        #[test]
        fn every_target_has_a_short_run() {
            let run = [$($target),*];
            let all: Vec<&str> = targets::all().iter().map(|target| target.name).collect();
            assert_eq!(run, all[..]);
        }
    };
}

short_runs! {
    changed_figure_files: "figure", 60;
    changed_paints_files: "paints", 120;
    changed_schemes_files: "schemes", 30;
    changed_jobs: "job", 24;
    changed_pictures: "pictures", 40;
    changed_strokes: "strokes", 100;
    changed_layouts: "layout", 300;
    changed_cards: "card", 12;
    changed_imports: "import", 300;
    changed_spectra: "spectrum", 300;
    values_of_calls: "calls", 300;
    searches_with_changed_paints: "search", 8;
    pairs_of_changed_jobs: "pair", 4;
    changed_plugins: "plugin", 8;
    writes_that_fail: "faults", 16;
}

#[test]
fn every_case_that_once_failed() {
    let folder = root().join("tests/fuzz/cases");
    let mut cases = 0;
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|kind| kind == "case"))
        .collect();
    paths.sort();
    for path in paths {
        let case = read(&path);
        if let Err(why) = run_case(&target(&case.target), &case) {
            panic!("{}: {why}\n{}", path.display(), case.shown());
        }
        cases += 1;
    }
    assert_eq!(cases, KEPT, "kept cases");
}

/// How many cases are kept.
const KEPT: usize = 1;

fn read(path: &Path) -> Case {
    let bytes = std::fs::read(path).unwrap();
    Case::from_bytes(&bytes).unwrap_or_else(|why| panic!("{}: {why}", path.display()))
}

#[test]
fn a_case_survives_its_file() {
    for target in targets::all() {
        let case = target.case(seed_of(SEED, 1));
        assert_eq!(Case::from_bytes(&case.to_bytes()).as_ref(), Ok(&case));
    }
}

#[test]
fn the_checks_can_fail() {
    let good = Diagnostic::error("a.toml", "wrong").expected("right");
    assert_eq!(oracle::diagnostics(std::slice::from_ref(&good)), Ok(()));
    for wrong in [
        Diagnostic::error("", "wrong").expected("right"),
        Diagnostic::error("a.toml", "").expected("right"),
        Diagnostic::error("a.toml", "wrong"),
        Diagnostic::error("a.toml", "NaN is not a number").expected("right"),
    ] {
        assert!(
            oracle::diagnostics(&[good.clone(), wrong.clone()]).is_err(),
            "{wrong}"
        );
    }
    assert!(oracle::diagnostics(&vec![good.clone(); 1000]).is_err());
    assert!(oracle::error(&Error::input(good)).is_ok());
    assert!(oracle::error(&Error::Input(Vec::new())).is_err());
    assert!(oracle::finite("a", [1.0, f64::NAN]).is_err());
    assert!(oracle::page("<p>a</b>").is_err());
    assert!(oracle::json("{\"a\": null}", &[]).is_err());
    assert!(oracle::json("{\"a\": null}", &["a"]).is_ok());
    // A panic is a failure of its case, not the end of the run.
    let panics = Target {
        name: "panics",
        share: 1,
        make: |_| Case::of("panics"),
        run: |_| panic!("on purpose"),
    };
    let why = run_case(&panics, &panics.case(1)).unwrap_err();
    assert!(why.contains("on purpose"), "{why}");
}
