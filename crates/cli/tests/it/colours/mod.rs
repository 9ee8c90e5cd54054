//! `predict` and `match` as a painter calls them: results, exit status, all of standard error, nothing written.

mod examples;
mod matched;
mod pictured;
mod predicted;

use std::process::Output;

use serde_json::Value;
use velatura_tests::root;

use crate::desk::Desk;

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

/// A folder with `paints.toml` in it.
fn desk() -> Desk {
    let desk = Desk::empty();
    desk.write("paints.toml", PAINTS);
    desk
}

impl Desk {
    /// A pipe gets no terminal codes, whatever the terminal supports.
    fn run_in_colour(&self, arguments: &[&str]) -> Output {
        self.command(arguments)
            .env("COLORTERM", "truecolor")
            .env_remove("NO_COLOR")
            .env("TERM", "xterm-256color")
            .output()
            .unwrap()
    }

    /// The JSON of a successful call without any message.
    fn json(&self, arguments: &[&str]) -> Value {
        let output = self.run_in_colour(&[arguments, &["--format", "json"]].concat());
        let reported = String::from_utf8(output.stderr).unwrap();
        assert_eq!((output.status.code(), reported.as_str()), (Some(0), ""));
        serde_json::from_slice(&output.stdout).unwrap()
    }

    /// The text of a successful call.
    fn text(&self, arguments: &[&str]) -> String {
        let output = self.run_in_colour(arguments);
        let reported = String::from_utf8(output.stderr).unwrap();
        assert_eq!((output.status.code(), reported.as_str()), (Some(0), ""));
        let text = String::from_utf8(output.stdout).unwrap();
        assert!(!text.contains('\x1b'), "terminal codes in a pipe: {text:?}");
        text
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
