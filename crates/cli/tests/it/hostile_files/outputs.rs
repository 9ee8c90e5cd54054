//! Output paths that would cost somebody a file, and writes that fail: nothing is lost, nothing is left behind.

use std::fs;
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::{Command, Output};

use super::{both, desk};
use crate::desk::Desk;

/// A call that is refused with this status and these words, and neither writes nor changes anything.
fn refused(desk: &Desk, call: &[&str], status: i32, found: &str) -> Output {
    let before = listing(desk.folder());
    let output = desk.run(call);
    let [_, reported] = both(&output);
    assert_eq!(output.status.code(), Some(status), "{call:?}: {reported}");
    assert!(reported.contains(found), "{call:?}: {reported}");
    assert_eq!(listing(desk.folder()), before, "{call:?}");
    output
}

/// Every path below a folder with its bytes; of a link or a pipe only the path.
fn listing(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let kind = entry.file_type().unwrap();
        let path = entry.path();
        let bytes = match kind.is_file() {
            true => fs::read(&path).unwrap(),
            false => Vec::new(),
        };
        if kind.is_dir() {
            found.extend(listing(&path));
        }
        found.push((path.display().to_string(), bytes));
    }
    found.sort();
    found
}

const ONE_FILE: &str = "two results would be written to this file";

#[test]
fn two_results_never_go_to_one_file_however_it_is_written() {
    let desk = desk("Eel");
    fs::create_dir(desk.path("sub")).unwrap();
    // Two links to a file that is not there yet, and one to a folder.
    symlink("new.toml", desk.path("link")).unwrap();
    symlink("sub/../new.toml", desk.path("other")).unwrap();
    symlink("sub", desk.path("also-sub")).unwrap();
    for (out, overlay) in [
        ("new.toml", "new.toml"),
        ("new.toml", "./new.toml"),
        ("sub/new.toml", "also-sub/new.toml"),
        ("new.toml", "link"),
        ("link", "other"),
    ] {
        let swatch = ["swatch", "photo.png", "--layout", "layout.toml"];
        let regions = ["regions", "photo.png", "--strokes", "mask.png"];
        for call in [swatch, regions] {
            let call = [&call[..], &["--out", out, "--overlay", overlay]].concat();
            refused(&desk, &call, 2, ONE_FILE);
        }
    }
    // Hard links of a file that is there.
    fs::write(desk.path("a.png"), "").unwrap();
    fs::hard_link(desk.path("a.png"), desk.path("b.png")).unwrap();
    let call = [
        "regions",
        "photo.png",
        "--strokes",
        "mask.png",
        "--out",
        "a.png",
        "--overlay",
        "b.png",
    ];
    refused(&desk, &call, 2, ONE_FILE);
}

#[test]
fn a_mask_replaces_a_mask_and_nothing_else_unless_it_is_forced() {
    let desk = desk("Eel");
    let call = |out: &'static str, more: &'static [&'static str]| {
        [
            &["regions", "photo.png", "--refine", "mask.png", "--out", out],
            more,
        ]
        .concat()
    };
    let found = "this file already exists, and is not in PNG format";
    refused(&desk, &call("paints.toml", &[]), 2, found);
    refused(
        &desk,
        &call("new.png", &["--overlay", "paints.toml"]),
        2,
        found,
    );
    let swatch = [
        "swatch",
        "photo.png",
        "--layout",
        "layout.toml",
        "--overlay",
        "paints.toml",
    ];
    refused(&desk, &swatch, 2, found);
    let card = ["swatch", "--template", "card.svg"];
    fs::write(desk.path("card.svg"), "my notes").unwrap();
    refused(&desk, &card, 2, "is not in SVG format");
    fs::remove_file(desk.path("card.svg")).unwrap();
    // What must go on: the first time, the next time, and where it is forced.
    for call in [
        call("new.png", &[]),
        call("new.png", &[]),
        call("paints.toml", &["--force"]),
        card.to_vec(),
        card.to_vec(),
    ] {
        let output = desk.run(&call);
        assert_eq!(
            output.status.code(),
            Some(0),
            "{call:?}: {}",
            both(&output)[1]
        );
    }
    assert!(
        fs::read(desk.path("paints.toml"))
            .unwrap()
            .starts_with(b"\x89PNG")
    );
}

#[test]
fn pipes_devices_and_names_of_the_system_are_no_outputs() {
    let desk = desk("Eel");
    let made = Command::new("mkfifo").arg(desk.path("pipe")).status();
    assert!(made.unwrap().success());
    let call = |out: &'static str| ["regions", "photo.png", "--refine", "mask.png", "--out", out];
    refused(&desk, &call("pipe"), 2, "pipe: this is not a regular file");
    refused(
        &desk,
        &call("/dev/null"),
        2,
        "/dev/null: this is not a regular file",
    );
    // Standard output of a test is a pipe. Where it is a file, the name must stay all the same.
    refused(&desk, &call("/dev/stdout"), 2, "/dev/stdout: this ");
    let file = fs::File::create(desk.path("redirected")).unwrap();
    let mut to_file = desk.command(&call("/dev/stdout"));
    let output = to_file.stdout(file).output().unwrap();
    let [_, reported] = both(&output);
    assert_eq!(output.status.code(), Some(2), "{reported}");
    assert!(
        reported.contains("/dev/stdout: this path belongs to the system"),
        "{reported}"
    );
    assert!(Path::new("/dev/stdout").is_symlink());
}

const RENDER: [&str; 4] = ["render", "figure.toml", "--out", "out"];

#[test]
fn previews_are_not_written_through_a_link() {
    let desk = desk("Eel");
    fs::create_dir_all(desk.path("out")).unwrap();
    fs::create_dir(desk.path("elsewhere")).unwrap();
    symlink("../elsewhere", desk.path("out/previews")).unwrap();
    refused(
        &desk,
        &RENDER,
        2,
        "out/previews: this is a link to another folder",
    );
    // A link in place of the whole folder is the user's own wish.
    symlink("elsewhere", desk.path("link")).unwrap();
    let output = desk.run(&["render", "figure.toml", "--out", "link"]);
    assert_eq!(output.status.code(), Some(0), "{}", both(&output)[1]);
    assert!(desk.path("elsewhere/sheet.png").is_file());
    symlink("nothing", desk.path("dangling")).unwrap();
    let call = ["render", "figure.toml", "--out", "dangling"];
    refused(
        &desk,
        &call,
        2,
        "dangling: this is a link that leads nowhere",
    );
}

#[test]
fn what_a_killed_run_left_is_removed_by_the_next() {
    let desk = desk("Eel");
    let mut child = Command::new("true").spawn().unwrap();
    let dead = child.id();
    child.wait().unwrap();
    fs::create_dir_all(desk.path("out/previews")).unwrap();
    let left =
        ["out", "out/previews"].map(|within| format!("{within}/.velatura-{dead}-AbCdEf.tmp"));
    // A run that is still going on: this test.
    let living = format!("out/.velatura-{}-AbCdEf.tmp", std::process::id());
    for name in left.iter().chain([&living]) {
        fs::write(desk.path(name), "half").unwrap();
    }
    let output = desk.run(&RENDER);
    assert_eq!(output.status.code(), Some(0), "{}", both(&output)[1]);
    for name in &left {
        assert!(!desk.path(name).exists(), "{name}");
    }
    assert!(desk.path(&living).exists());
}

#[test]
fn a_limit_on_the_size_of_files_ends_with_a_message_and_leaves_nothing() {
    let desk = desk("Eel");
    let velatura = env!("CARGO_BIN_EXE_velatura");
    for call in [
        "render figure.toml --out out",
        "regions photo.png --refine mask.png --out new.png --overlay look.png",
    ] {
        let before = listing(desk.folder());
        let output = Command::new("sh")
            .args(["-c", &format!("ulimit -f 0; exec {velatura} {call}")])
            .current_dir(desk.folder())
            .output()
            .unwrap();
        let [_, reported] = both(&output);
        assert_eq!(output.status.code(), Some(3), "{call}: {reported}");
        for part in [
            "File too large",
            "nothing was written",
            "\n  expected: ",
            "\n  help: ",
        ] {
            assert!(reported.contains(part), "{call}: {reported}");
        }
        assert_eq!(listing(desk.folder()), before, "{call}");
    }
}

#[test]
fn a_name_that_is_too_long_gets_the_whole_message() {
    let desk = desk("Eel");
    let long = "x".repeat(300);
    let output = refused(
        &desk,
        &["render", "figure.toml", "--out", &long],
        3,
        "nothing was written",
    );
    let [_, reported] = both(&output);
    assert!(
        reported.starts_with(&format!("error: {long}: ")),
        "{reported}"
    );
    assert!(
        reported.contains("\n  expected: a shorter name\n  help: choose a name of up to 255 bytes"),
        "{reported}"
    );
}
