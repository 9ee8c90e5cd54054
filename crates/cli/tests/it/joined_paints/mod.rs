//! Several paints files in one call: all commands take them, and a paint that two of them name is an error.

#[cfg(unix)]
use std::process::Stdio;
#[cfg(unix)]
use std::time::{Duration, Instant};

use crate::desk::Desk;

const BOTH: [&str; 4] = ["--paints", "paints.toml", "--paints", "more.toml"];

const MORE: &str = r##"format = "velatura-paints/1"

[cards]
black = "#242424"
white = "#e8e8e8"

[[paint]]
name = "Deep Eel"
over_black = "#1a3436"
over_white = "#3fafc3"

[[paint.tint]]
with = "Oil Amber"
parts = [1, 1]
over_black = "#3c4a22"
over_white = "#8fa04a"
"##;

/// A job with a scheme that needs the paints of both files.
fn desk() -> Desk {
    let desk = Desk::with_job();
    desk.write("more.toml", MORE);
    let schemes = std::fs::read_to_string(desk.path("schemes.toml")).unwrap();
    let coat = "\n[[scheme.coat]]\nregion = \"hood\"\nmix = { \"Deep Eel\" = 1, medium = 2 }\n";
    desk.write("schemes.toml", &(schemes + coat));
    desk
}

fn run(desk: &Desk, call: &[&str], paints: &[&str]) -> (Option<i32>, String) {
    let output = desk.run(&[call, paints].concat());
    let shown = [output.stdout, output.stderr].concat();
    (output.status.code(), String::from_utf8(shown).unwrap())
}

#[test]
fn every_command_that_reads_paints_takes_several_files() {
    for call in [
        &["render", "figure.toml", "--out", "out"][..],
        &["card", "figure.toml"],
        &["check", "figure.toml", "schemes.toml"],
        &[
            "predict",
            "--coat",
            "Deep Eel:1,Oil Amber:1",
            "--over",
            "#808080",
        ],
        &["match", "--target", "Deep Eel", "--over", "#808080"],
    ] {
        let desk = desk();
        let (status, shown) = run(&desk, call, &BOTH);
        assert_eq!(status, Some(0), "{call:?}: {shown}");
        // Must fail: one file lacks the paint of the other.
        let alone = &BOTH[..2];
        let (status, shown) = run(&desk, call, alone);
        assert!(status != Some(0), "{call:?}: {shown}");
        assert!(shown.contains("Deep Eel"), "{call:?}: {shown}");
    }
}

/// The scheme's paints and those to match with are two lists; without the first, the scheme is read with the figure's own file.
#[test]
fn oppose_takes_several_files_for_either_side() {
    let desk = desk();
    let oppose = ["oppose", "figure.toml", "--scheme", "Foglight"];
    let scheme = [
        "--scheme-paints",
        "paints.toml",
        "--scheme-paints",
        "more.toml",
    ];
    let (status, shown) = run(&desk, &oppose, &scheme);
    assert_eq!(status, Some(0), "{shown}");
    let (status, shown) = run(&desk, &oppose, &[&scheme[..], &BOTH].concat());
    assert_eq!(status, Some(0), "{shown}");
    let (status, shown) = run(&desk, &oppose, &BOTH);
    assert_eq!(status, Some(1), "{shown}");
    assert!(shown.contains("no paint is called \"Deep Eel\""), "{shown}");
    // Without a file of the figure's own, the one list is for both.
    std::fs::rename(desk.path("paints.toml"), desk.path("old.toml")).unwrap();
    let moved = ["--paints", "old.toml", "--paints", "more.toml"];
    let (status, shown) = run(&desk, &oppose, &moved);
    assert_eq!(status, Some(0), "{shown}");
}

#[test]
fn pair_and_new_take_several_files_too() {
    let desk = desk();
    let teams = [
        "pair",
        "figure.toml:Foglight",
        "figure.toml:Foglight",
        "--out",
        "out",
    ];
    let paints = [
        "--first-paints",
        "paints.toml",
        "--first-paints",
        "more.toml",
        "--second-paints",
        "paints.toml",
        "--second-paints",
        "more.toml",
    ];
    let (status, shown) = run(&desk, &teams, &paints);
    assert_eq!(status, Some(0), "{shown}");
    let (status, shown) = run(&desk, &teams, &paints[..4]);
    assert_eq!(status, Some(1), "{shown}");
    let strokes = image::RgbaImage::from_fn(40, 30, |x, y| {
        image::Rgba(match (x, y) {
            (5..15, 10..20) => [255, 0, 0, 255],
            (25..35, 10..20) => [0, 0, 255, 255],
            (_, 0..3) => [0, 0, 0, 255],
            _ => [0; 4],
        })
    });
    strokes.save(desk.path("strokes.png")).unwrap();
    let new = [
        "new",
        "photo.png",
        "--strokes",
        "strokes.png",
        "--out",
        "mine",
    ];
    let (status, shown) = run(&desk, &new, &BOTH);
    assert_eq!(status, Some(0), "{shown}");
    let schemes = std::fs::read_to_string(desk.path("mine/schemes.toml")).unwrap();
    assert!(
        schemes.contains("Oil Amber") && schemes.contains("Deep Eel"),
        "{schemes}"
    );
}

#[test]
fn what_explore_and_oppose_write_names_all_files() {
    let desk = desk();
    let explore = [
        "explore",
        "figure.toml",
        "--count",
        "1",
        "--out",
        "tried.toml",
    ];
    let (status, shown) = run(&desk, &explore, &BOTH);
    assert_eq!(status, Some(0), "{shown}");
    let render =
        "render figure.toml --schemes tried.toml --paints paints.toml --paints more.toml --out";
    assert!(shown.contains(render), "{shown}");
    let text = std::fs::read_to_string(desk.path("tried.toml")).unwrap();
    assert!(
        text.contains("from paints.toml and more.toml with seed 1"),
        "{text}"
    );
    // None of them may be overwritten.
    let over = ["explore", "figure.toml", "--force", "--out", "more.toml"];
    let (status, shown) = run(&desk, &over, &BOTH);
    assert_eq!(status, Some(2), "{shown}");
    assert_eq!(
        std::fs::read_to_string(desk.path("more.toml")).unwrap(),
        MORE
    );
}

#[test]
fn a_paint_in_two_files_is_an_error_with_both_places() {
    let desk = desk();
    desk.write(
        "more.toml",
        &MORE
            .replace("Deep Eel", "Oil Amber")
            .replace("with = \"Oil Amber\"", "with = \"Gull\""),
    );
    let expected = "error: more.toml:8:8: two paints are called \"Oil Amber\"
   | name = \"Oil Amber\"
   |        ^^^^^^^^^^^
  in: paint \"Oil Amber\"
  expected: a different name for every paint
  help: the other is in line 8 of paints.toml: remove one of them, or rename it

error: more.toml:13:8: no other paint is called \"Gull\"
   | with = \"Gull\"
   |        ^^^^^^
  in: paint \"Oil Amber\"
  expected: the name of another paint in paints.toml or more.toml
  help: add that paint, or remove the tint";
    let predict = ["predict", "--coat", "Oil Amber:1", "--over", "#808080"];
    desk.stops(&[&predict[..], &BOTH].concat(), 1, expected);
    let (status, shown) = run(&desk, &["check"], &BOTH);
    assert_eq!(status, Some(1), "{shown}");
    assert!(
        shown.contains("paints.toml: OK") && shown.contains("more.toml: 2 errors"),
        "{shown}"
    );
    // A paint that is the same in both files is no exception, nor is the same file twice.
    desk.write(
        "more.toml",
        &std::fs::read_to_string(desk.path("paints.toml")).unwrap(),
    );
    let (status, shown) = run(&desk, &predict, &BOTH);
    assert_eq!(status, Some(1), "{shown}");
    assert!(shown.contains("line 8 of paints.toml"), "{shown}");
    let twice = ["--paints", "paints.toml", "--paints", "paints.toml"];
    let (status, shown) = run(&desk, &predict, &twice);
    assert_eq!(status, Some(1), "{shown}");
    assert!(
        shown.contains("error: paints.toml: this file is named twice"),
        "{shown}"
    );
}

#[test]
fn messages_about_unknown_paints_name_all_files() {
    let desk = desk();
    let predict = ["predict", "--coat", "Deep Ell:1", "--over", "#808080"];
    let (status, shown) = run(&desk, &predict, &BOTH);
    assert_eq!(status, Some(2), "{shown}");
    assert!(
        shown.contains("expected: a paint in paints.toml or more.toml (2 paints), or medium"),
        "{shown}"
    );
}

/// Each file is photographed on its own cards: what a paint dries to must not depend on the cards of another file.
#[test]
fn a_paint_dries_alike_alone_and_joined() {
    let desk = desk();
    desk.write("more.toml", MORE.split("[[paint.tint]]").next().unwrap());
    let predict = [
        "predict",
        "--coat",
        "Deep Eel:1",
        "--over",
        "#808080",
        "--format",
        "json",
    ];
    let colour = |paints: &[&str]| {
        let (status, shown) = run(&desk, &predict, paints);
        assert_eq!(status, Some(0), "{shown}");
        let json: serde_json::Value = serde_json::from_str(&shown).unwrap();
        json["results"][0]["lab"].clone()
    };
    let alone = colour(&BOTH[2..]);
    assert_eq!(colour(&BOTH), alone);
    // Must differ: the same codes over the cards of the other file.
    let cards = |text: &str| {
        text.replace("#242424", "#1c1c1c")
            .replace("#e8e8e8", "#f0f0f0")
    };
    let own = std::fs::read_to_string(desk.path("more.toml")).unwrap();
    desk.write("more.toml", &cards(&own));
    assert_ne!(colour(&BOTH), alone);
}

#[cfg(unix)]
#[test]
fn watch_renders_again_after_a_save_of_any_paints_file() {
    let desk = desk();
    let render = [
        "render",
        "figure.toml",
        "--out",
        "out",
        "--sheet-only",
        "--watch",
    ];
    let mut child = desk
        .command(&[&render[..], &BOTH].concat())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let hood = || {
        let bytes = std::fs::read(desk.path("out/report.json")).unwrap_or_default();
        let report: serde_json::Value = serde_json::from_slice(&bytes).unwrap_or_default();
        report["schemes"][0]["regions"][1]["mean_srgb"].clone()
    };
    let wait_until = |what: &str, is_there: &dyn Fn(&serde_json::Value) -> bool| {
        let begun = Instant::now();
        while !is_there(&hood()) {
            assert!(
                begun.elapsed() < Duration::from_secs(100),
                "{what}: {}",
                hood()
            );
            std::thread::sleep(Duration::from_millis(50));
        }
        hood()
    };
    let first = wait_until("the first render", &|hood| !hood.is_null());
    desk.replace("more.toml", "#3fafc3", "#c34f3f");
    desk.replace("more.toml", "#1a3436", "#36201a");
    wait_until("a render with the new paint", &|hood| {
        !hood.is_null() && *hood != first
    });
    child.kill().unwrap();
    child.wait().unwrap();
}
