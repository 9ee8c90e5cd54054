//! `velatura pair` as it is called: its files, the same bytes with any number of threads, and the messages about wrong calls.

use std::path::Path;
use std::process::{Command, Output};

use velatura_tests::{DEMO, root};

fn velatura(arguments: &[&str], threads: &str) -> Output {
    Command::new(env!("CARGO_BIN_EXE_velatura"))
        .args(arguments)
        .env("RAYON_NUM_THREADS", threads)
        .current_dir(root())
        .output()
        .unwrap()
}

fn reported(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn listing(folder: &Path) -> Vec<String> {
    let names = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = names
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn two_demo_schemes_are_compared_into_the_same_bytes_whatever_the_threads() {
    let scratch = tempfile::tempdir().unwrap();
    let (first, second) = (format!("{DEMO}:Foglight"), format!("{DEMO}:Wick & Ember"));
    let made = ["1", "2"].map(|threads| {
        let out = scratch.path().join(threads);
        let output = velatura(
            &["pair", &first, &second, "--out", out.to_str().unwrap()],
            threads,
        );
        assert!(output.status.success(), "{}", reported(&output.stderr));
        assert!(
            reported(&output.stdout)
                .starts_with("\"Foglight\" and \"Wick & Ember\" stand apart by ")
        );
        assert_eq!(listing(&out), ["pair.html", "pair.png", "report.json"]);
        out
    });
    for file in listing(&made[0]) {
        let [one, two] = made
            .each_ref()
            .map(|out| std::fs::read(out.join(&file)).unwrap());
        assert!(one == two, "{file} differs between one thread and two");
    }
    // The coat covers most of the figure, and the teams' coats are blue-green and red.
    let report = std::fs::read(made[0].join("report.json")).unwrap();
    let report: serde_json::Value = serde_json::from_slice(&report).unwrap();
    assert_eq!(report["format"], "velatura-pair/1");
    assert_eq!(report["verdict"]["grade"], "apart");
    for (team, scheme) in [(0, "Foglight"), (1, "Wick & Ember")] {
        let team = &report["teams"][team];
        assert_eq!(team["scheme"], scheme);
        assert_eq!(team["dominant"]["regions"][0], "coat");
        assert_eq!(
            (&team["height_mm"], &team["count"]),
            (&32.0.into(), &12.into())
        );
    }
}

#[test]
fn a_wrong_call_is_reported_what_was_meant_and_writes_nothing() {
    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().join("out");
    let stops = |first: &str, more: &[&str], expected: &[&str]| {
        let second = format!("{DEMO}:Foglight");
        let mut arguments = vec!["pair", first, &second, "--out", out.to_str().unwrap()];
        arguments.extend(more);
        let output = velatura(&arguments, "2");
        let reported = reported(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{reported}");
        for part in expected {
            assert!(reported.contains(part), "{part} is not in {reported}");
        }
        assert!(!out.exists());
    };
    stops(
        &format!("{DEMO}:Foglihgt"),
        &[],
        &[
            "no scheme is called \"Foglihgt\"",
            "help: did you mean \"Foglight\"?",
        ],
    );
    stops(
        DEMO,
        &[],
        &[
            "there are 10 schemes, and the name of one is missing",
            "\"Wick & Ember\"",
        ],
    );
    stops(
        "Foglight",
        &[],
        &[
            "this does not name a figure file",
            "expected: FIGURE.toml:SCHEME",
        ],
    );
    let right = format!("{DEMO}:Foglight");
    stops(&right, &["--severity", "1.5"], &["a number from 0 to 1"]);
    stops(
        &right,
        &["--screen-ppi", "9"],
        &["a number from 30 to 1200"],
    );
}
