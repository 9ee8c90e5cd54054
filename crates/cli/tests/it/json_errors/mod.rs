//! With `--format json` every failure is JSON on standard error, one object in each line, and keeps its exit status.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use velatura_tests::{DEMO, root};

fn command(arguments: &[&str], folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_velatura"));
    command.args(arguments).current_dir(folder);
    command
}

/// The only problem of a call that fails with this status and prints nothing else.
fn problem(output: &Output, status: i32) -> Value {
    let text = String::from_utf8(output.stderr.clone()).unwrap();
    assert_eq!(output.status.code(), Some(status), "{text}");
    assert_eq!(String::from_utf8_lossy(&output.stdout), "", "{text}");
    // A graphics driver may print lines of its own.
    let lines: Vec<&str> = text.lines().filter(|line| line.starts_with('{')).collect();
    assert_eq!(lines.len(), 1, "{text}");
    let value: Value = serde_json::from_str(lines[0]).unwrap();
    assert_eq!(value["severity"], "error", "{text}");
    assert!(!value["found"].as_str().unwrap().is_empty(), "{text}");
    value
}

fn demo(name: &str) -> String {
    root()
        .join(DEMO)
        .with_file_name(name)
        .to_string_lossy()
        .into_owned()
}

const JSON: [&str; 2] = ["--format", "json"];

#[test]
fn wrong_input_is_json() {
    let folder = tempfile::tempdir().unwrap();
    let strokes = demo("strokes.png");
    let call = [
        &["regions", "gone.jpg", "--strokes", strokes.as_str()][..],
        &["--out", "mask.png"],
        &JSON[..],
    ]
    .concat();
    let found = problem(&command(&call, folder.path()).output().unwrap(), 1);
    assert_eq!(found["file"], "gone.jpg");
    assert!(!folder.path().join("mask.png").exists());
}

#[test]
fn a_wrong_call_is_json_and_its_help_names_options() {
    let folder = tempfile::tempdir().unwrap();
    let call = [
        &["predict", "--coat", "Oil Amber:1", "--over", "#808080"][..],
        &JSON[..],
    ]
    .concat();
    let found = problem(&command(&call, folder.path()).output().unwrap(), 2);
    assert_eq!(found["help"], "name the file: --paints FILE");
    // Hints of libraries get the command's words in JSON as well.
    std::fs::write(folder.path().join("out"), "a file").unwrap();
    let (photo, strokes) = (demo("lamplighter.jpg"), demo("strokes.png"));
    let call = [
        &["regions", photo.as_str(), "--strokes", &strokes][..],
        &["--out", "out/mask.png"],
        &JSON[..],
    ]
    .concat();
    let found = problem(&command(&call, folder.path()).output().unwrap(), 2);
    assert_eq!(found["help"], "choose another --out");
}

#[test]
fn usage_errors_are_json_only_if_json_is_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let wrong = ["render", "a.toml", "--out", "out", "--columns", "-3"];
    for json in [&JSON[..], &["--format=json"]] {
        let call = [&wrong[..], json].concat();
        let found = problem(&command(&call, folder.path()).output().unwrap(), 2);
        let text = found["found"].as_str().unwrap();
        assert!(text.contains("-3 is not in 1..=1000"), "{text}");
        assert!(
            found["help"].as_str().unwrap().contains("--help"),
            "{found}"
        );
    }
    let output = command(&wrong, folder.path()).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    let text = String::from_utf8(output.stderr).unwrap();
    assert!(text.starts_with("error: invalid value '-3'"), "{text}");
    // Help and version are not errors, and stay text.
    let help = command(&["render", "--help", "--format", "json"], folder.path())
        .output()
        .unwrap();
    assert_eq!(help.status.code(), Some(0));
    assert!(String::from_utf8(help.stdout).unwrap().contains("Usage:"));
}

/// The machine refuses the name of the second file after the first is in place: file names have at most 255 bytes on common
/// file systems (`NAME_MAX` in limits.h of Linux, from memory).
#[cfg(unix)]
#[test]
fn a_failure_half_way_lists_what_was_written_so_far() {
    let folder = tempfile::tempdir().unwrap();
    let (photo, strokes) = (demo("lamplighter.jpg"), demo("strokes.png"));
    let long = format!("{}.png", "x".repeat(300));
    let call = [
        &["regions", photo.as_str(), "--strokes", &strokes][..],
        &["--out", "mask.png", "--overlay", &long],
        &JSON[..],
    ]
    .concat();
    let found = problem(&command(&call, folder.path()).output().unwrap(), 3);
    assert_eq!(found["file"], long);
    assert_eq!(
        found["in"],
        "writing the files; only these were written: mask.png"
    );
    let left: Vec<PathBuf> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    assert_eq!(left, [folder.path().join("mask.png")]);
}

/// `/dev/full` refuses every write, like a full disk.
#[cfg(target_os = "linux")]
#[test]
fn a_fault_of_the_machine_is_json() {
    let folder = tempfile::tempdir().unwrap();
    let call = [&["devices"], &JSON[..]].concat();
    let full = std::fs::File::options().write(true).open("/dev/full");
    let output = command(&call, folder.path())
        .stdout(full.unwrap())
        .output()
        .unwrap();
    let found = problem(&output, 3);
    assert_eq!(found["file"], "standard output");
}

#[test]
fn a_reader_that_has_gone_away_is_no_error() {
    let folder = tempfile::tempdir().unwrap();
    for call in [&["plugins", "--format", "json"][..], &["--help"]] {
        let mut child = command(call, folder.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{call:?}");
        assert_eq!(String::from_utf8_lossy(&output.stderr), "", "{call:?}");
    }
}
