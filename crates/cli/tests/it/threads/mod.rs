//! The number of threads: never more than the processor runs, and the same results where none can be started.

use std::path::Path;
use std::process::{Command, Output};

use crate::desk::Desk;

/// A second paint, so that there is something to mix; invented.
const SECOND_PAINT: &str = r##"
[[paint]]
name = "Deep Eel"
over_black = "#1a3436"
over_white = "#3fafc3"
"##;

/// A desk that any user may use, with a copy of the command on it.
fn open_desk() -> Desk {
    let desk = Desk::with_job();
    std::fs::copy(env!("CARGO_BIN_EXE_velatura"), desk.path("velatura")).unwrap();
    open_to_all(desk.folder());
    let paints = std::fs::read_to_string(desk.path("paints.toml")).unwrap();
    desk.write("paints.toml", &(paints + SECOND_PAINT));
    desk
}

impl Desk {
    /// Its own copy of the command through `before`, which starts it.
    fn run_through(&self, before: &[&str], threads: Option<&str>, arguments: &[&str]) -> Output {
        let command = self.path("velatura");
        let words: Vec<&str> = before
            .iter()
            .copied()
            .chain([command.to_str().unwrap()])
            .collect();
        let mut call = Command::new(words[0]);
        call.args(&words[1..])
            .args(arguments)
            .current_dir(self.folder())
            .env_remove("RAYON_NUM_THREADS")
            .env("HOME", self.folder());
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
    let desk = open_desk();
    let usual = desk.run_through(&[], None, &MATCH);
    assert!(succeeded(&usual).len() > 100);
    for threads in ["1", "2", "0", "99999", "many"] {
        let output = desk.run_through(&[], Some(threads), &MATCH);
        assert!(succeeded(&output) == succeeded(&usual), "{threads}");
    }
}

/// `prlimit` is part of util-linux, which every Linux has.
#[cfg(target_os = "linux")]
#[test]
fn a_hundred_thousand_threads_are_not_started() {
    let desk = open_desk();
    // Each thread reserves 2 MiB of addresses for its stack, so so many of them would need 200 GB.
    let limited = ["prlimit", "--as=8000000000"];
    succeeded(&desk.run_through(&limited, Some("99999"), &MATCH));
    succeeded(&desk.run_through(&limited, Some("99999"), &RENDER));
}

/// The limit does not hold for root, so root becomes another user first: `setpriv` is part of util-linux too.
#[cfg(target_os = "linux")]
#[test]
fn where_no_thread_can_be_started_the_main_one_does_the_work() {
    use std::os::unix::fs::MetadataExt;

    let desk = open_desk();
    let root = std::fs::metadata("/proc/self").unwrap().uid() == 0;
    let other_user = [
        "setpriv",
        "--reuid=65534",
        "--regid=65534",
        "--clear-groups",
    ];
    let before = if root { other_user.as_slice() } else { &[] };
    let usual = desk.run_through(before, None, &MATCH);
    for processes in ["--nproc=1", "--nproc=2", "--nproc=3"] {
        let limited: Vec<&str> = before
            .iter()
            .copied()
            .chain(["prlimit", processes])
            .collect();
        let output = desk.run_through(&limited, Some("4"), &MATCH);
        assert!(succeeded(&output) == succeeded(&usual), "{processes}");
        let output = desk.run_through(&limited, Some("4"), &RENDER);
        succeeded(&output);
        std::fs::remove_dir_all(desk.path("out")).unwrap();
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
