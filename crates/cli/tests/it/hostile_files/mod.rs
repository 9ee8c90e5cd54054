//! Files from strangers: whatever is in them, nothing controls the terminal, and messages stay short.

#[cfg(unix)]
mod outputs;
#[cfg(unix)]
mod pipes;

use std::process::Output;

use crate::desk::Desk;

const LAYOUT: &str = r#"format = "velatura-layout/1"

[[field]]
name = "NAME"
"#;

/// Clears a screen, rings, turns the direction of writing, sets a title, and the same begun with one byte (C1).
const NASTY: &str = r"Eel\u001b[2J\u0007\u202e\u001b]0;x\u0007\u009b31m\u2066";

/// A job in which paint, scheme, team and figure are called `name`, and a layout of one field.
fn desk(name: &str) -> Desk {
    let desk = Desk::with_job();
    desk.write("layout.toml", &LAYOUT.replace("NAME", name));
    desk.replace("figure.toml", "Test figure", name);
    desk.replace("paints.toml", "Oil Amber", name);
    desk.replace("schemes.toml", "Oil Amber", name);
    let with_team = format!("\"{name}\"\nteam = \"{name}\"");
    desk.replace("schemes.toml", "\"Foglight\"", &with_team);
    desk
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
    let desk = desk(NASTY);
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
        let output = desk.run(call);
        for text in both(&output) {
            assert_eq!(commands_in(&text), [], "{call:?}: {text:?}");
            shown += usize::from(text.contains("Eel\\u001b[2J\\u0007\\u202e"));
        }
    }
    // Must be there: the name in its harmless form, or nothing was looked at.
    assert!(
        shown >= 10,
        "{shown} of {} calls show the name",
        calls.len()
    );
}

#[test]
fn json_stays_json_whatever_the_names() {
    let desk = desk(NASTY);
    let raw: String = serde_json::from_str(&format!("\"{NASTY}\"")).unwrap();
    let [reported, errors] =
        both(&desk.run(&["check", "--paints", "paints.toml", "--format", "json"]));
    assert_eq!(commands_in(&reported), [], "{reported:?}");
    let reported: serde_json::Value =
        serde_json::from_str(&reported).unwrap_or_else(|why| panic!("{why}: {errors}"));
    let found = reported["problems"][0]["found"].as_str().unwrap();
    assert!(found.contains("Eel\\u001b[2J"), "{found}");
    let [_, reported] = both(&desk.run(&["check", &raw, "--only", "x", "--format", "json"]));
    assert_eq!(commands_in(&reported), []);
    serde_json::from_str::<serde_json::Value>(&reported).unwrap();
}

#[test]
fn a_hundred_thousand_wrong_lines_give_as_many_messages_as_one_can_read() {
    let desk = desk("Eel");
    let text = format!("format = \"velatura-paints/1\"\n{}", "!\n".repeat(100_000));
    std::fs::write(desk.path("paints.toml"), text).unwrap();
    let output = desk.run(&["check", "paints.toml"]);
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
