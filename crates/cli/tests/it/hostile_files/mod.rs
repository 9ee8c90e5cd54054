//! Files from strangers: whatever is in them, nothing controls the terminal, and messages stay short.

#[cfg(unix)]
mod outputs;
#[cfg(unix)]
mod pipes;

use std::process::{Command, Output};

const FIGURE: &str = r##"format = "velatura-figure/1"
name = "NAME"
photo = "photo.png"
mask = "mask.png"

[undercoat]
kind = "black-to-white"

[[region]]
name = "coat"
mask_colour = "#e6194b"
"##;

const PAINTS: &str = r##"format = "velatura-paints/1"

[cards]
black = "#1c1c1c"
white = "#f0f0f0"

[[paint]]
name = "NAME"
over_black = "#4d3718"
over_white = "#f4a520"
"##;

const SCHEMES: &str = r#"format = "velatura-schemes/1"

[[scheme]]
name = "NAME"
team = "NAME"

[[scheme.coat]]
region = "coat"
mix = { "NAME" = 3, medium = 7 }
"#;

const LAYOUT: &str = r#"format = "velatura-layout/1"

[[field]]
name = "NAME"
"#;

/// Clears a screen, rings, turns the direction of writing, sets a title, and the same begun with one byte (C1).
const NASTY: &str = r"Eel\u001b[2J\u0007\u202e\u001b]0;x\u0007\u009b31m\u2066";

/// A folder with the files of a job, of which every name is `name`.
fn desk(name: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (file, text) in [
        ("figure.toml", FIGURE),
        ("paints.toml", PAINTS),
        ("schemes.toml", SCHEMES),
        ("layout.toml", LAYOUT),
    ] {
        std::fs::write(folder.path().join(file), text.replace("NAME", name)).unwrap();
    }
    let photo = image::GrayImage::from_fn(40, 30, |x, y| {
        image::Luma([40 + u8::try_from(3 * x + 2 * y).unwrap()])
    });
    photo.save(folder.path().join("photo.png")).unwrap();
    let mask = image::RgbImage::from_pixel(40, 30, image::Rgb([0xe6, 0x19, 0x4b]));
    mask.save(folder.path().join("mask.png")).unwrap();
    folder
}

fn run(folder: &tempfile::TempDir, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_velatura"))
        .args(arguments)
        .current_dir(folder.path())
        .env("XDG_DATA_HOME", folder.path().join("home"))
        .env("XDG_STATE_HOME", folder.path().join("home"))
        .output()
        .unwrap()
}

/// What a terminal would obey in a text, tabs and line breaks apart.
fn commands_in(text: &str) -> Vec<char> {
    let turns = |c| matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    text.chars()
        .filter(|c| !matches!(c, '\n' | '\t') && (c.is_control() || turns(*c)))
        .collect()
}

fn both(output: &Output) -> [String; 2] {
    [&output.stdout, &output.stderr].map(|bytes| String::from_utf8(bytes.clone()).unwrap())
}

#[test]
fn no_name_in_a_file_and_no_argument_commands_the_terminal() {
    let folder = desk(NASTY);
    let raw: String = serde_json::from_str(&format!("\"{NASTY}\"")).unwrap();
    // The check looks for what it says: the name itself has all of it.
    assert_eq!(commands_in(&raw).len(), 7);
    let coat = format!("{raw}:1");
    let calls: &[&[&str]] = &[
        &[
            "check",
            "figure.toml",
            "schemes.toml",
            "layout.toml",
            "--paints",
            "paints.toml",
        ],
        &["render", "figure.toml", "--out", "out", "--sheet-only"],
        &["predict", "--coat", &coat, "--over", "#808080"],
        &["match", "--target", "#805020", "--over", "#e0e0e0"],
        &["explore", "figure.toml", "--count", "2"],
        &[
            "explore",
            "figure.toml",
            "--team",
            &raw,
            "--out",
            "new.toml",
        ],
        &["oppose", "figure.toml", "--scheme", &raw],
        &["predict", "--coat", "no:1", "--over", &raw],
        &["render", "figure.toml", "--out", "o", "--only", &raw],
        &["render", "figure.toml", "--out", "o", &raw],
        &["check", &raw],
        &[&raw],
    ];
    let mut shown = 0;
    for call in calls {
        let output = run(&folder, call);
        for text in both(&output) {
            assert_eq!(commands_in(&text), [], "{call:?}: {text:?}");
            shown += usize::from(text.contains("Eel\\u001b[2J\\u0007\\u202e"));
        }
    }
    // Must be there: the name in its harmless form, or nothing was looked at.
    assert!(shown >= 8, "{shown} of {} calls show the name", calls.len());
}

#[test]
fn json_stays_json_whatever_the_names() {
    let folder = desk(NASTY);
    let raw: String = serde_json::from_str(&format!("\"{NASTY}\"")).unwrap();
    let [reported, errors] = both(&run(
        &folder,
        &["check", "--paints", "paints.toml", "--format", "json"],
    ));
    assert_eq!(commands_in(&reported), [], "{reported:?}");
    let reported: serde_json::Value =
        serde_json::from_str(&reported).unwrap_or_else(|why| panic!("{why}: {errors}"));
    let found = reported["problems"][0]["found"].as_str().unwrap();
    assert!(found.contains("Eel\\u001b[2J"), "{found}");
    let [_, reported] = both(&run(
        &folder,
        &["check", &raw, "--only", "x", "--format", "json"],
    ));
    assert_eq!(commands_in(&reported), []);
    serde_json::from_str::<serde_json::Value>(&reported).unwrap();
}

#[test]
fn a_hundred_thousand_wrong_lines_give_as_many_messages_as_one_can_read() {
    let folder = desk("Eel");
    let text = format!("format = \"velatura-paints/1\"\n{}", "!\n".repeat(100_000));
    std::fs::write(folder.path().join("paints.toml"), text).unwrap();
    let output = run(&folder, &["check", "paints.toml"]);
    assert_eq!(output.status.code(), Some(1));
    let [_, reported] = both(&output);
    let heads: Vec<&str> = reported
        .lines()
        .filter(|line| line.starts_with("error: "))
        .collect();
    assert_eq!(heads.len(), 201, "{}", &reported[..2000]);
    for (index, head) in heads[..200].iter().enumerate() {
        assert!(
            head.starts_with(&format!("error: paints.toml:{}:", index + 2)),
            "{head}"
        );
    }
    // The parser finds one more at the end of the file.
    assert_eq!(
        heads[200],
        "error: paints.toml: 99,801 more problems are not shown"
    );
}
