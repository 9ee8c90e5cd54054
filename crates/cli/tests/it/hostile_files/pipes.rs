//! Pipes, devices and sockets where files are expected: every command ends, and says what it found.

use std::io::Write;
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

use super::{both, desk};

/// Far more than any of these calls takes: a call that is still there hangs.
const HANGS: Duration = Duration::from_secs(100);

fn start(folder: &Path, arguments: &[&str], input: Stdio) -> Child {
    Command::new(env!("CARGO_BIN_EXE_velatura"))
        .args(arguments)
        .current_dir(folder)
        .env("XDG_DATA_HOME", folder.join("home"))
        .env("XDG_STATE_HOME", folder.join("home"))
        .stdin(input)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

fn ended(mut child: Child, what: &str) -> Output {
    let begun = Instant::now();
    while child.try_wait().unwrap().is_none() {
        if begun.elapsed() > HANGS {
            child.kill().unwrap();
            panic!("{what} hangs");
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    child.wait_with_output().unwrap()
}

fn made(what: &str, path: &Path) {
    let status = Command::new(what).arg(path).status().unwrap();
    assert!(status.success(), "{what}");
}

/// Every way to name a file that is read; "FILE" stands for its path.
const CALLS: [&[&str]; 19] = [
    &["check", "FILE"],
    &["check", "--paints", "FILE"],
    &["check", "in-figure.toml"],
    &["render", "FILE", "--out", "out"],
    &["render", "figure.toml", "--paints", "FILE", "--out", "out"],
    &["render", "figure.toml", "--schemes", "FILE", "--out", "out"],
    &["render", "in-figure.toml", "--out", "out"],
    &["explore", "FILE"],
    &["oppose", "FILE", "--scheme", "Eel"],
    &[
        "predict", "--paints", "FILE", "--coat", "Eel:1", "--over", "#808080",
    ],
    &["predict", "--coat", "Eel:1", "--over", "spectrum:FILE"],
    &[
        "match", "--paints", "FILE", "--target", "#805020", "--over", "#e0e0e0",
    ],
    &["match", "--target", "FILE@1,1,2,2", "--over", "#e0e0e0"],
    &["import", "FILE", "--out", "new.toml"],
    &["swatch", "FILE", "--layout", "layout.toml"],
    &["swatch", "photo.png", "--layout", "FILE"],
    &[
        "regions",
        "FILE",
        "--strokes",
        "mask.png",
        "--out",
        "new.png",
    ],
    &[
        "regions",
        "photo.png",
        "--strokes",
        "FILE",
        "--out",
        "new.png",
    ],
    &["plugins", "--plugin", "FILE"],
];

/// Calls every command with a file; each must end with status 1 and with these words in its message.
fn all_refuse(folder: &Path, file: &str, found: &str) {
    // As photo, as mask and as plugin of a figure file.
    let figure = std::fs::read_to_string(folder.join("figure.toml")).unwrap();
    std::thread::scope(|scope| {
        for (number, old) in ["\"photo.png\"", "\"mask.png\""].iter().enumerate() {
            let name = format!("figure-{number}.toml");
            let text = figure.replace(old, &format!("\"{file}\""));
            std::fs::write(folder.join(&name), text).unwrap();
            scope.spawn(move || refuses(folder, &["check", &name], found));
        }
        let text = figure.replace(
            "[undercoat]",
            &format!("plugins = [\"{file}\"]\n[undercoat]"),
        );
        std::fs::write(folder.join("in-figure.toml"), text).unwrap();
        for call in CALLS {
            scope.spawn(move || {
                let call: Vec<String> =
                    call.iter().map(|word| word.replace("FILE", file)).collect();
                let call: Vec<&str> = call.iter().map(String::as_str).collect();
                refuses(folder, &call, found);
            });
        }
    });
    for output in ["out", "new.toml", "new.png"] {
        assert!(!folder.join(output).exists(), "{output} was written");
    }
}

fn refuses(folder: &Path, call: &[&str], found: &str) {
    let output = ended(start(folder, call, Stdio::null()), &format!("{call:?}"));
    let [_, reported] = both(&output);
    assert_eq!(output.status.code(), Some(1), "{call:?}: {reported}");
    assert!(reported.contains(found), "{call:?}: {reported}");
    for part in ["error: ", "\n  expected: ", "\n  help: "] {
        assert!(reported.contains(part), "{call:?}: {reported}");
    }
}

#[test]
fn a_pipe_that_nobody_writes_to_hangs_no_command() {
    let folder = desk("Eel");
    made("mkfifo", &folder.path().join("pipe"));
    all_refuse(
        folder.path(),
        "pipe",
        "pipe: this is a pipe that nobody writes to",
    );
}

#[test]
fn an_endless_device_fills_no_memory() {
    all_refuse(
        desk("Eel").path(),
        "/dev/zero",
        "/dev/zero: this is a device",
    );
}

#[test]
fn a_folder_is_no_file() {
    let folder = desk("Eel");
    std::fs::create_dir(folder.path().join("sub")).unwrap();
    all_refuse(folder.path(), "sub", "sub: this is a folder");
}

#[test]
fn a_pipe_in_the_folder_of_plugins_hangs_nothing() {
    let folder = desk("Eel");
    let plugins = folder.path().join("home/velatura/plugins");
    std::fs::create_dir_all(&plugins).unwrap();
    made("mkfifo", &plugins.join("x.wasm"));
    for call in [
        &["plugins"][..],
        &["render", "figure.toml", "--out", "out", "--sheet-only"],
    ] {
        let output = ended(
            start(folder.path(), call, Stdio::null()),
            &format!("{call:?}"),
        );
        let [_, reported] = both(&output);
        assert_eq!(output.status.code(), Some(0), "{call:?}: {reported}");
        assert!(
            reported.contains("x.wasm: this is not a regular file"),
            "{reported}"
        );
        assert!(reported.starts_with("warning: "), "{reported}");
    }
}

#[test]
fn files_come_through_a_pipe_that_somebody_writes_to_also_if_they_are_read_twice() {
    let folder = desk("Eel");
    // A path in a file is relative to the file, and this one is in no folder of ours.
    let at = |name: &str| folder.path().join(name).display().to_string();
    let figure = std::fs::read_to_string(folder.path().join("figure.toml")).unwrap();
    let figure = figure
        .replace("photo.png", &at("photo.png"))
        .replace("mask.png", &at("mask.png"));
    let (paints, schemes, out) = (at("paints.toml"), at("schemes.toml"), at("out"));
    let call = [
        "render",
        "/dev/stdin",
        "--paints",
        &paints,
        "--schemes",
        &schemes,
        "--out",
        &out,
        "--sheet-only",
    ];
    let mut child = start(folder.path(), &call, Stdio::piped());
    let mut input = child.stdin.take().unwrap();
    input.write_all(figure.as_bytes()).unwrap();
    drop(input);
    let output = ended(child, "render");
    assert_eq!(output.status.code(), Some(0), "{}", both(&output)[1]);
    assert!(folder.path().join("out/sheet.png").is_file());
}

#[cfg(target_os = "linux")]
#[test]
fn no_more_threads_are_made_than_the_machine_runs() {
    let folder = desk("Eel");
    let mut child = Command::new(env!("CARGO_BIN_EXE_velatura"))
        .args(["check", "/dev/stdin"])
        .current_dir(folder.path())
        .env("RAYON_NUM_THREADS", "99999")
        .stdin(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    // More than a pipe holds: the command has its threads by the time it reads.
    input.write_all(&[b'#'; 300_000]).unwrap();
    let status = std::fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap();
    child.kill().unwrap();
    child.wait().unwrap();
    let threads = status
        .lines()
        .find_map(|line| line.strip_prefix("Threads:"));
    let threads: usize = threads.unwrap().trim().parse().unwrap();
    let most = std::thread::available_parallelism().unwrap().get();
    // Those that share the work, the main one, and the one that watches for signals.
    assert!(threads <= most + 2, "{threads} threads for {most}");
}

#[test]
fn a_command_that_waits_for_a_pipe_hears_a_signal() {
    let folder = desk("Eel");
    // A pair knows its figures by the ending of their names.
    std::os::unix::fs::symlink("/dev/stdin", folder.path().join("in.toml")).unwrap();
    for (call, signal, status) in [
        (&["check", "/dev/stdin"][..], "-TERM", 143),
        (&["render", "/dev/stdin", "--out", "out"], "-INT", 130),
        (
            &["pair", "in.toml:Eel", "figure.toml:Eel", "--out", "out"],
            "-TERM",
            143,
        ),
        (&["import", "/dev/stdin", "--out", "new.toml"], "-TERM", 143),
    ] {
        let mut child = start(folder.path(), call, Stdio::piped());
        let mut input = child.stdin.take().unwrap();
        // More than a pipe holds: once all of it is written, the command is reading and then waits for the rest.
        input.write_all(&[b'#'; 300_000]).unwrap();
        let killed = Command::new("kill")
            .args([signal, &child.id().to_string()])
            .status();
        assert!(killed.unwrap().success());
        let output = ended(child, &format!("{call:?}"));
        assert_eq!(output.status.code(), Some(status), "{call:?}");
        drop(input);
        assert!(!folder.path().join("out").exists());
    }
}
