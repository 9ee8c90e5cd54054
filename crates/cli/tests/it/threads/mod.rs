//! The number of threads: never more than the processor runs, and the same results where none can be started.

#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    reason = "everything here is a test: it may fail loudly"
)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use image::{GrayImage, Luma, Rgb, RgbImage};

const FIGURE: &str = r##"format = "velatura-figure/1"
name = "Test figure"
photo = "photo.png"
mask = "mask.png"
[undercoat]
kind = "plain"
white = "#808080"
[[region]]
name = "coat"
mask_colour = "#e6194b"
"##;

const PAINTS: &str = r##"format = "velatura-paints/1"
[cards]
black = "#1c1c1c"
white = "#f0f0f0"
[[paint]]
name = "Oil Amber"
over_black = "#4d3718"
over_white = "#f4a520"
[[paint]]
name = "Deep Eel"
over_black = "#1a3436"
over_white = "#3fafc3"
"##;

const SCHEMES: &str = r#"format = "velatura-schemes/1"
[[scheme]]
name = "Foglight"
[[scheme.coat]]
region = "coat"
mix = { "Oil Amber" = 3, medium = 7 }
"#;

/// A folder that any user may read, with the command and a small figure in it.
struct Desk {
    folder: tempfile::TempDir,
    command: PathBuf,
}

impl Desk {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let command = folder.path().join("velatura");
        std::fs::copy(env!("CARGO_BIN_EXE_velatura"), &command).unwrap();
        open_to_all(folder.path());
        for (name, text) in [
            ("figure.toml", FIGURE),
            ("paints.toml", PAINTS),
            ("schemes.toml", SCHEMES),
        ] {
            std::fs::write(folder.path().join(name), text).unwrap();
        }
        let photo = GrayImage::from_pixel(24, 40, Luma([0x80]));
        photo.save(folder.path().join("photo.png")).unwrap();
        let mask = RgbImage::from_pixel(24, 40, Rgb([0xe6, 0x19, 0x4b]));
        mask.save(folder.path().join("mask.png")).unwrap();
        Self { folder, command }
    }

    /// The command through `before`, which starts it.
    fn run(&self, before: &[&str], threads: Option<&str>, arguments: &[&str]) -> Output {
        let command = self.command.to_str().unwrap();
        let words: Vec<&str> = before.iter().copied().chain([command]).collect();
        let mut call = Command::new(words[0]);
        call.args(&words[1..])
            .args(arguments)
            .current_dir(self.folder.path())
            .env_remove("RAYON_NUM_THREADS")
            .env("HOME", self.folder.path());
        if let Some(threads) = threads {
            call.env("RAYON_NUM_THREADS", threads);
        }
        call.output()
            .unwrap_or_else(|error| panic!("{}: {error}", words[0]))
    }
}

#[cfg(unix)]
fn open_to_all(folder: &Path) {
    use std::os::unix::fs::PermissionsExt;
    std::fs::set_permissions(folder, std::fs::Permissions::from_mode(0o777)).unwrap();
}

#[cfg(not(unix))]
fn open_to_all(_: &Path) {}

const MATCH: [&str; 7] = [
    "match", "--target", "#a0a050", "--over", "#e0e0e0", "--format", "json",
];
const RENDER: [&str; 4] = ["render", "figure.toml", "--out", "out"];

fn succeeded(output: &Output) -> &[u8] {
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{:?} {errors}", output.status);
    &output.stdout
}

#[test]
fn any_number_of_threads_gives_the_same_result() {
    let desk = Desk::new();
    let usual = desk.run(&[], None, &MATCH);
    assert!(succeeded(&usual).len() > 100);
    for threads in ["1", "2", "0", "99999", "many"] {
        let output = desk.run(&[], Some(threads), &MATCH);
        assert!(succeeded(&output) == succeeded(&usual), "{threads}");
    }
}

/// `prlimit` is part of util-linux, which every Linux has.
#[cfg(target_os = "linux")]
#[test]
fn a_hundred_thousand_threads_are_not_started() {
    let desk = Desk::new();
    // Each thread reserves 2 MiB of addresses for its stack, so so many of them would need 200 GB.
    let limited = ["prlimit", "--as=8000000000"];
    succeeded(&desk.run(&limited, Some("99999"), &MATCH));
    succeeded(&desk.run(&limited, Some("99999"), &RENDER));
}

/// The limit does not hold for root, so root becomes another user first: `setpriv` is part of util-linux too.
#[cfg(target_os = "linux")]
#[test]
fn where_no_thread_can_be_started_the_main_one_does_the_work() {
    use std::os::unix::fs::MetadataExt;

    let desk = Desk::new();
    let root = std::fs::metadata("/proc/self").unwrap().uid() == 0;
    let other_user = [
        "setpriv",
        "--reuid=65534",
        "--regid=65534",
        "--clear-groups",
    ];
    let before = if root { other_user.as_slice() } else { &[] };
    let usual = desk.run(before, None, &MATCH);
    for processes in ["--nproc=1", "--nproc=2", "--nproc=3"] {
        let limited: Vec<&str> = before
            .iter()
            .copied()
            .chain(["prlimit", processes])
            .collect();
        let output = desk.run(&limited, Some("4"), &MATCH);
        assert!(succeeded(&output) == succeeded(&usual), "{processes}");
        let output = desk.run(&limited, Some("4"), &RENDER);
        succeeded(&output);
        std::fs::remove_dir_all(desk.folder.path().join("out")).unwrap();
    }
    // Must fail: the limit is one, so a shell cannot start a second process under it.
    let shell: Vec<&str> = before
        .iter()
        .copied()
        .chain(["prlimit", "--nproc=1", "sh", "-c", "/bin/true & wait $!"])
        .collect();
    let forked = Command::new(shell[0]).args(&shell[1..]).output().unwrap();
    assert!(!forked.status.success(), "{forked:?}");
}
