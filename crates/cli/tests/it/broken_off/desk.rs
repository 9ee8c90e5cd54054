//! A folder with a small demo figure and card, the commands that write files there, and what they write when nothing happens.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use image::imageops::FilterType;
use velatura_tests::root;

/// Commands that write files.
pub(super) const CALLS: [&str; 4] = [
    "render figure.toml --out out",
    "pair figure.toml:Foglight 'figure.toml:Gull Morning' --out out",
    "regions lamplighter.jpg --strokes strokes.png --out new.png --overlay look.png",
    "swatch card.jpg --layout layout.toml --out new.toml --overlay look.png --force",
];

/// The demo on a sixteenth of its pixels, or less.
pub(super) fn desk() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let from = root().join("demo_images/lamplighter");
    for name in ["figure.toml", "paints.toml", "schemes.toml"] {
        fs::copy(from.join(name), folder.path().join(name)).unwrap();
    }
    for name in [
        "lamplighter.jpg",
        "primed.jpg",
        "lamplighter-mask.png",
        "strokes.png",
    ] {
        let picture = image::open(from.join(name)).unwrap();
        let filter = match name.ends_with(".png") {
            true => FilterType::Nearest,
            false => FilterType::Triangle,
        };
        let small = picture.resize_exact(120, 180, filter);
        small.save(folder.path().join(name)).unwrap();
    }
    let from = root().join("demo_images/card");
    for name in ["card.jpg", "layout.toml"] {
        fs::copy(from.join(name), folder.path().join(name)).unwrap();
    }
    folder
}

/// A call through a shell that sets a limit first.
pub(super) fn command(folder: &Path, limit: &str, call: &str) -> Command {
    let velatura = env!("CARGO_BIN_EXE_velatura");
    let mut command = Command::new("sh");
    command
        .args(["-c", &format!("{limit} exec {velatura} {call}")])
        .current_dir(folder)
        .env("XDG_DATA_HOME", folder.join("home"))
        .env("XDG_STATE_HOME", folder.join("home"));
    command
}

pub(super) fn run(folder: &Path, limit: &str, call: &str) -> Output {
    command(folder, limit, call).output().unwrap()
}

/// Every file below a folder with its bytes, and every folder; the times in a report differ from run to run.
pub(super) fn listing(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    list(folder, folder, &mut found);
    found
}

fn list(root: &Path, folder: &Path, found: &mut BTreeMap<String, Vec<u8>>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.strip_prefix(root).unwrap().display().to_string();
        if path.is_dir() {
            list(root, &path, found);
            found.insert(name + "/", Vec::new());
            continue;
        }
        let mut bytes = fs::read(&path).unwrap();
        if name.ends_with("report.json") {
            let mut report: serde_json::Value = serde_json::from_slice(&bytes).unwrap();
            report["timings_ms"] = serde_json::Value::Null;
            bytes = report.to_string().into_bytes();
        }
        found.insert(name, bytes);
    }
}

/// Removes what the commands write.
pub(super) fn cleared(folder: &Path) {
    let _ = fs::remove_dir_all(folder.join("out"));
    for name in ["new.png", "new.toml", "look.png"] {
        let _ = fs::remove_file(folder.join(name));
    }
}

/// The folder before a call, and after it when nothing happens. The results are removed again.
pub(super) fn before_and_after(folder: &Path, call: &str) -> [BTreeMap<String, Vec<u8>>; 2] {
    cleared(folder);
    let before = listing(folder);
    let output = run(folder, "", call);
    assert_eq!(
        output.status.code(),
        Some(0),
        "{call}: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    let after = listing(folder);
    assert!(after.len() > before.len(), "{call} writes nothing");
    cleared(folder);
    [before, after]
}
