//! Descriptions of components are untrusted text.

use serde_json::json;

use super::cores::{Core, SAME_PIXELS};
use super::{attached, message};

fn good() -> Core {
    Core::finish(SAME_PIXELS)
}

fn reported(found: &str, expected: &str) -> String {
    format!(
        "error: stages/dust.wasm: {found}\n  in: its `describe`\n  expected: {expected}\n  help: remove the plugin, or ask its author to fix it"
    )
}

#[test]
fn a_description_comes_through() {
    let core = Core {
        parameters: r#"{"type":"object","properties":{"grain":{"type":"number","default":0.5}}}"#
            .to_owned(),
        reach_px: Some(3),
        ..good()
    };
    let said = attached(&core.bytes()).unwrap().description;
    assert_eq!(
        (
            said.name.as_str(),
            said.version.as_str(),
            said.takes.as_str()
        ),
        ("dust", "1.0.0", "a frame")
    );
    assert_eq!(said.reach_px, Some(3));
    assert_eq!(
        said.parameters["properties"]["grain"]["default"],
        json!(0.5)
    );
    let whole = Core {
        reach_px: None,
        ..good()
    };
    let said = attached(&whole.bytes()).unwrap().description;
    assert_eq!((said.reach_px, said.parameters), (None, json!({})));
}

#[test]
fn names_are_plain() {
    let expected = "a-z, 0-9 and \"-\", beginning with a letter, at most 40";
    for (name, shown) in [
        ("", ""),
        ("Dust", "Dust"),
        ("1dust", "1dust"),
        ("-dust", "-dust"),
        ("dust/../x", "dust/../x"),
        ("dùst", "dùst"),
        ("dust\u{1b}[31m\n", "dust[31m"),
        (&"d".repeat(41), &"d".repeat(41)),
        (&"d".repeat(4000), &format!("{}…", "d".repeat(40))),
    ] {
        let core = Core {
            name: name.to_owned(),
            ..good()
        };
        assert_eq!(
            message(&core),
            reported(&format!("its name is \"{shown}\""), expected)
        );
    }
    let longest = Core {
        name: "d".repeat(40),
        ..good()
    };
    assert!(attached(&longest.bytes()).is_ok(), "40 letters are allowed");
}

#[test]
fn escapes_and_length_are_taken_from_what_is_shown() {
    let core = Core {
        takes: format!("\u{1b}]0;title\u{7}a frame\u{202e}\n{}", "x".repeat(400)),
        version: "1.0.0\u{1b}[2J".to_owned(),
        ..good()
    };
    let said = attached(&core.bytes()).unwrap().description;
    assert_eq!(said.version, "1.0.0[2J");
    assert_eq!(said.takes.chars().count(), 300);
    assert!(
        said.takes.starts_with("]0;titlea frame xxx"),
        "{}",
        said.takes
    );
    assert!(said.takes.ends_with("x…"), "{}", said.takes);
}

#[test]
fn words_that_show_nothing_are_no_words() {
    let core = Core {
        version: "\u{1b}\u{200e} ".to_owned(),
        ..good()
    };
    assert_eq!(
        message(&core),
        reported("its `version` has no visible character", "a few words")
    );
}

#[test]
fn parameters_are_a_json_object() {
    let expected = "a JSON Schema, an object of at most 64 KiB; or nothing";
    for (parameters, found) in [
        (
            "[]".to_owned(),
            "the schema of its parameters is no JSON object",
        ),
        (
            r#"{"properties":{"grain":{"type":"number"}}}"#.to_owned(),
            "the schema of its parameters does not say \"type\": \"object\"",
        ),
        (
            r#"{"type":"object","description":"\u001b[2J"}"#.to_owned(),
            "its `parameters` have the control character U+001B",
        ),
        (
            r#"{"type":"object","properties":{"a\u202eb":{}}}"#.to_owned(),
            "its `parameters` have the control character U+202E",
        ),
        (
            "{\"a\": \u{1b}}".to_owned(),
            "its `parameters` are not JSON: expected value at line 1 column 7",
        ),
        (
            "[".repeat(60_000),
            "its `parameters` are not JSON: recursion limit exceeded at line 1 column 128",
        ),
        (" ".repeat(65_537), "its `parameters` have 65,537 bytes"),
    ] {
        let core = Core {
            parameters,
            ..good()
        };
        assert_eq!(message(&core), reported(found, expected));
    }
    let longest = Core {
        parameters: format!("{{}}{}", " ".repeat(65_534)),
        ..good()
    };
    assert!(attached(&longest.bytes()).is_ok(), "64 KiB are allowed");
}
