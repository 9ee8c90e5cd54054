//! `predict` and `match` as a painter calls them: results, exit status, all of standard error, nothing written.

mod examples;
mod matched;
mod predicted;

use std::path::PathBuf;
use std::process::{Command, Output};

use serde_json::Value;
use velatura_tests::root;

/// A few paints: two with a tint, one without, one that is not owned, one with a comma in its name.
const PAINTS: &str = r##"format = "velatura-paints/1"

[cards]
black = "#1c1c1c"
white = "#f0f0f0"

[[paint]]
name = "Oil Amber"
over_black = "#4d3718"
over_white = "#f4a520"
[[paint.tint]]
with = "Gull White"
parts = [1, 4]
over_black = "#d4cdbd"
over_white = "#f4e0c1"

[[paint]]
name = "Deep Eel"
over_black = "#1a3436"
over_white = "#3fafc3"
[[paint.tint]]
with = "Gull White"
parts = [1, 4]
over_black = "#c4ced0"
over_white = "#cde3e5"

[[paint]]
name = "Gull White"
over_black = "#d8dad8"
over_white = "#f0f1ec"

[[paint]]
name = "Tar Violet"
over_black = "#140f28"
over_white = "#56208d"
owned = false

[[paint]]
name = "Bark, burnt"
over_black = "#543121"
over_white = "#8e4424"
"##;

/// A temporary folder with `paints.toml` in it.
struct Desk {
    folder: tempfile::TempDir,
}

impl Desk {
    fn new() -> Self {
        let desk = Self {
            folder: tempfile::tempdir().unwrap(),
        };
        desk.write("paints.toml", PAINTS);
        desk
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn write(&self, name: &str, text: &str) {
        std::fs::write(self.path(name), text).unwrap();
    }

    fn run(&self, arguments: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_velatura"))
            .args(arguments)
            // A pipe gets no terminal codes, whatever the terminal supports.
            .env("COLORTERM", "truecolor")
            .env_remove("NO_COLOR")
            .env("TERM", "xterm-256color")
            .current_dir(self.folder.path())
            .output()
            .unwrap()
    }

    fn listing(&self) -> Vec<String> {
        let mut names: Vec<String> = std::fs::read_dir(self.folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    /// The JSON of a successful call without any message.
    fn json(&self, arguments: &[&str]) -> Value {
        let output = self.run(&[arguments, &["--format", "json"]].concat());
        let told = String::from_utf8(output.stderr).unwrap();
        assert_eq!((output.status.code(), told.as_str()), (Some(0), ""));
        serde_json::from_slice(&output.stdout).unwrap()
    }

    /// The text of a successful call.
    fn text(&self, arguments: &[&str]) -> String {
        let output = self.run(arguments);
        let told = String::from_utf8(output.stderr).unwrap();
        assert_eq!((output.status.code(), told.as_str()), (Some(0), ""));
        let text = String::from_utf8(output.stdout).unwrap();
        assert!(!text.contains('\x1b'), "terminal codes in a pipe: {text:?}");
        text
    }

    /// A call that must stop with this status and this standard error, without a result and without new files.
    fn stops(&self, arguments: &[&str], status: i32, expected: &str) {
        let before = self.listing();
        let output = self.run(arguments);
        let told = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(status), "{told}");
        assert_eq!(
            told.trim_end(),
            expected.trim_end(),
            "expected:\n{expected}\nfound:\n{told}"
        );
        assert!(output.stdout.is_empty(), "a result in spite of an error");
        assert_eq!(self.listing(), before, "something was left behind");
    }
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is no number"))
}

fn keys(value: &Value) -> Vec<&str> {
    value
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect()
}
