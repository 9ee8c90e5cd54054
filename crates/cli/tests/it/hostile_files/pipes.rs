//! Pipes, devices and sockets where files are expected: every command ends, and says what it found.

use std::io::Write;
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

use super::{both, desk};
use crate::desk::Desk;

/// Far more than any of these calls takes: a call that is still there hangs.
const HANGS: Duration = Duration::from_secs(100);

fn start(desk: &Desk, arguments: &[&str], input: Stdio) -> Child {
    desk.command(arguments)
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
fn all_refuse(desk: &Desk, file: &str, found: &str) {
    // As photo, as mask and as plugin of a figure file.
    let figure = std::fs::read_to_string(desk.path("figure.toml")).unwrap();
    std::thread::scope(|scope| {
        for (number, old) in ["\"photo.png\"", "\"mask.png\""].iter().enumerate() {
            let name = format!("figure-{number}.toml");
            let text = figure.replace(old, &format!("\"{file}\""));
            std::fs::write(desk.path(&name), text).unwrap();
            scope.spawn(move || refuses(desk, &["check", &name], found));
        }
        let text = figure.replace(
            "[undercoat]",
            &format!("plugins = [\"{file}\"]\n[undercoat]"),
        );
        std::fs::write(desk.path("in-figure.toml"), text).unwrap();
        for call in CALLS {
            scope.spawn(move || {
                let call: Vec<String> =
                    call.iter().map(|word| word.replace("FILE", file)).collect();
                let call: Vec<&str> = call.iter().map(String::as_str).collect();
                refuses(desk, &call, found);
            });
        }
    });
    for output in ["out", "new.toml", "new.png"] {
        assert!(!desk.path(output).exists(), "{output} was written");
    }
}

fn refuses(desk: &Desk, call: &[&str], found: &str) {
    let output = ended(start(desk, call, Stdio::null()), &format!("{call:?}"));
    let [_, reported] = both(&output);
    assert_eq!(output.status.code(), Some(1), "{call:?}: {reported}");
    assert!(reported.contains(found), "{call:?}: {reported}");
    for part in ["error: ", "\n  expected: ", "\n  help: "] {
        assert!(reported.contains(part), "{call:?}: {reported}");
    }
}

#[test]
fn a_pipe_that_nobody_writes_to_hangs_no_command() {
    let desk = desk("Eel");
    made("mkfifo", &desk.path("pipe"));
    all_refuse(&desk, "pipe", "pipe: this is a pipe that nobody writes to");
}

#[test]
fn an_endless_device_fills_no_memory() {
    all_refuse(&desk("Eel"), "/dev/zero", "/dev/zero: this is a device");
}

#[test]
fn a_folder_is_no_file() {
    let desk = desk("Eel");
    std::fs::create_dir(desk.path("sub")).unwrap();
    all_refuse(&desk, "sub", "sub: this is a folder");
}

#[test]
fn a_pipe_in_the_folder_of_plugins_hangs_nothing() {
    let desk = desk("Eel");
    let plugins = desk.path("home/velatura/plugins");
    std::fs::create_dir_all(&plugins).unwrap();
    made("mkfifo", &plugins.join("x.wasm"));
    for call in [
        &["plugins"][..],
        &["render", "figure.toml", "--out", "out", "--sheet-only"],
    ] {
        let output = ended(start(&desk, call, Stdio::null()), &format!("{call:?}"));
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
    let desk = desk("Eel");
    // A path in a file is relative to the file, and this one is in no folder of ours.
    let at = |name: &str| desk.path(name).display().to_string();
    let figure = std::fs::read_to_string(desk.path("figure.toml")).unwrap();
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
    let mut child = start(&desk, &call, Stdio::piped());
    let mut input = child.stdin.take().unwrap();
    input.write_all(figure.as_bytes()).unwrap();
    drop(input);
    let output = ended(child, "render");
    assert_eq!(output.status.code(), Some(0), "{}", both(&output)[1]);
    assert!(desk.path("out/sheet.png").is_file());
}

#[cfg(target_os = "linux")]
#[test]
fn no_more_threads_are_made_than_the_machine_runs() {
    let desk = desk("Eel");
    let mut child = desk
        .command(&["check", "/dev/stdin"])
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
    let desk = desk("Eel");
    // A pair knows its figures by the ending of their names.
    std::os::unix::fs::symlink("/dev/stdin", desk.path("in.toml")).unwrap();
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
        let mut child = start(&desk, call, Stdio::piped());
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
        assert!(!desk.path("out").exists());
    }
}
