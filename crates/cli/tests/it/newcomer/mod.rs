//! The command as a newcomer runs it: the README's commands on the demo, their files, and what must stay the same.

mod from_photos;

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Output};

use velatura_tests::{DEMO, picture, root};

/// Largest difference of a code value between the sheet and its golden picture, and the share of pixels that may differ by
/// more than one: processors may fuse a multiplication and an addition, which moves a code by one at most.
const GOLDEN_CODES: u8 = 2;
const GOLDEN_SHARE: f64 = 0.001;

fn velatura(arguments: &[&str], threads: &str) -> Output {
    Command::new(env!("CARGO_BIN_EXE_velatura"))
        .args(arguments)
        .env("RAYON_NUM_THREADS", threads)
        .current_dir(root())
        .output()
        .unwrap()
}

fn rendered(folder: &Path, more: &[&str], threads: &str) -> Output {
    let mut arguments = vec!["render", DEMO, "--out", folder.to_str().unwrap()];
    arguments.extend(more);
    let output = velatura(&arguments, threads);
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    output
}

/// Every file below a folder with its bytes.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut open = vec![folder.to_owned()];
    while let Some(next) = open.pop() {
        for entry in std::fs::read_dir(next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else {
                let name = path
                    .strip_prefix(folder)
                    .unwrap()
                    .to_string_lossy()
                    .replace('\\', "/");
                found.insert(name, std::fs::read(&path).unwrap());
            }
        }
    }
    found
}

#[test]
fn the_first_command_of_the_readme_makes_what_it_names_with_any_number_of_threads() {
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    assert!(
        readme.contains(&format!(
            "cargo run --release --no-default-features -- render {DEMO} --out out"
        )),
        "the README's command"
    );
    assert!(readme.contains("cargo test --workspace"));

    let scratch = tempfile::tempdir().unwrap();
    let (one, two) = (scratch.path().join("one"), scratch.path().join("two"));
    let reported = rendered(&one, &[], "1");
    rendered(&two, &[], "2");
    let reported = String::from_utf8(reported.stdout).unwrap();
    assert!(
        reported.contains("sheet.png")
            && reported.contains("previews")
            && reported.contains("report.json"),
        "{reported}"
    );

    let (one, two) = (files(&one), files(&two));
    let names: Vec<&str> = one.keys().map(String::as_str).collect();
    assert_eq!(
        names
            .iter()
            .filter(|name| name.starts_with("previews/"))
            .count(),
        10,
        "{names:?}"
    );
    assert_eq!(names.len(), 13, "{names:?}");
    for name in names.iter().filter(|name| **name != "report.json") {
        assert!(
            one[*name] == two[*name],
            "{name} differs between one thread and two"
        );
    }
    let report: serde_json::Value = serde_json::from_slice(&one["report.json"]).unwrap();
    assert_eq!(report["figure"], "Lamplighter with a pole");
    assert_eq!(report["backend"]["kind"], "cpu");
    assert_eq!(report["undercoat"]["light_share"]["from"], "measured");
    for scheme in report["schemes"].as_array().unwrap() {
        let path = scheme["preview"].as_str().unwrap();
        assert!(
            one.contains_key(path),
            "{path} is in the report but was not written"
        );
        let regions = scheme["regions"].as_array().unwrap();
        assert_eq!(regions.len(), 8);
        assert!(regions.iter().all(|region| region["pixels"].as_u64().unwrap() > 0 && region["basis"].is_string()));
    }
    assert!(report["timings_ms"]["ground"].as_f64().unwrap() > 0.0);
}

#[test]
fn a_small_sheet_looks_as_it_did() {
    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().join("out");
    rendered(
        &out,
        &["--sheet-only", "--only", "Foglight", "--long-edge", "480"],
        "2",
    );
    assert_eq!(
        files(&out).keys().map(String::as_str).collect::<Vec<_>>(),
        ["report.json", "sheet.png"]
    );
    let (width, actual) = {
        let sheet = image::open(out.join("sheet.png")).unwrap().into_rgb8();
        (
            sheet.width() as usize,
            sheet.pixels().map(|pixel| pixel.0).collect::<Vec<_>>(),
        )
    };
    let kept = root().join("target/golden/small-sheet.png");
    std::fs::create_dir_all(kept.parent().unwrap()).unwrap();
    std::fs::copy(out.join("sheet.png"), &kept).unwrap();
    if std::env::var("VELATURA_UPDATE").is_ok_and(|what| what == "small-sheet") {
        std::fs::copy(&kept, root().join("tests/golden/small-sheet.png")).unwrap();
        panic!("the golden picture was replaced: look at it, then run without VELATURA_UPDATE");
    }
    let (golden_width, golden) = picture("tests/golden/small-sheet.png");
    assert_eq!(
        (width, actual.len()),
        (golden_width, golden.len()),
        "the sheet has another size"
    );
    let (worst, share) = difference(&actual, &golden);
    assert!(
        worst <= GOLDEN_CODES && share <= GOLDEN_SHARE,
        "differs by up to {worst} codes, {:.2} % of pixels; the sheet as made lies in {}",
        share * 100.0,
        kept.display()
    );
    // Must fail: the same sheet one row lower.
    assert!(difference(&actual[width..], &golden[..golden.len() - width]).0 > GOLDEN_CODES);
}

/// The largest difference in codes, and the share of pixels that differ by more than one.
#[allow(clippy::cast_precision_loss, reason = "small pictures")]
fn difference(a: &[[u8; 3]], b: &[[u8; 3]]) -> (u8, f64) {
    let of = |a: &[u8; 3], b: &[u8; 3]| {
        a.iter()
            .zip(b)
            .map(|(a, b)| a.abs_diff(*b))
            .max()
            .unwrap_or(0)
    };
    let each: Vec<u8> = a.iter().zip(b).map(|(a, b)| of(a, b)).collect();
    let off = each.iter().filter(|difference| **difference > 1).count();
    (
        each.iter().copied().max().unwrap_or(0),
        off as f64 / each.len() as f64,
    )
}

#[test]
fn help_and_plugins_speak() {
    let help = velatura(&["--help"], "1");
    let help = String::from_utf8(help.stdout).unwrap();
    for command in ["render", "check", "plugins"] {
        assert!(help.contains(command), "{help}");
    }
    let plugins = velatura(&["plugins", "--format", "json"], "1");
    let plugins: serde_json::Value = serde_json::from_slice(&plugins.stdout).unwrap();
    let points: Vec<&str> = plugins
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["attach_point"].as_str().unwrap())
        .collect();
    assert_eq!(
        points,
        [
            "intake",
            "ground",
            "regions",
            "scheme-source",
            "coat-model",
            "finish",
            "sheet"
        ]
    );
}

#[cfg(unix)]
#[test]
fn an_interrupted_run_leaves_nothing_behind() {
    use std::os::unix::process::ExitStatusExt;

    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().join("out");
    let mut child = Command::new(env!("CARGO_BIN_EXE_velatura"))
        .args(["render", DEMO, "--out", out.to_str().unwrap()])
        .current_dir(root())
        .stdout(std::process::Stdio::null())
        .spawn()
        .unwrap();
    // The folder appears when the previews begin, which is the moment to interrupt.
    while !out.join("previews").exists() && child.try_wait().unwrap().is_none() {
        std::thread::yield_now();
    }
    let sent = Command::new("kill")
        .args(["-TERM", &child.id().to_string()])
        .status()
        .unwrap();
    assert!(sent.success());
    let status = child.wait().unwrap();
    assert_eq!(status.code(), Some(143), "{status:?} {:?}", status.signal());
    assert!(!out.exists(), "{:?}", files(&out).keys());
}

#[test]
fn a_device_that_is_not_there_is_the_machines_fault_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let asked = |backend: &str| {
        Command::new(env!("CARGO_BIN_EXE_velatura"))
            .current_dir(root())
            .args(["render", DEMO, "--sheet-only", "--backend", backend])
            .arg("--out")
            .arg(&out)
            .env("VELATURA_ADAPTER", "no such adapter")
            .output()
            .unwrap()
    };
    let refused = asked("gpu");
    let reported = String::from_utf8(refused.stderr).unwrap();
    assert_eq!(refused.status.code(), Some(3), "{reported}");
    assert!(
        reported.contains("VELATURA_ADAPTER") && reported.contains("\"no such adapter\""),
        "{reported}"
    );
    assert!(!out.exists());
    // Must fail: the processor needs none.
    assert!(asked("auto").status.success() && out.join("report.json").exists());
}
