//! What a figure file says of its parts reaches `explore` and `oppose`: mixes that stay, and natural colours of its own.

use serde_json::Value;

use crate::desk::Desk;

const MORE_PAINTS: &str = r##"
[[paint]]
name = "Deep Eel"
over_black = "#1a3436"
over_white = "#3fafc3"

[[paint]]
name = "Fen Green"
over_black = "#24401e"
over_white = "#5f9a4c"

[[paint]]
name = "Skin Ochre"
over_black = "#8a6044"
over_white = "#d8a078"
"##;

/// A figure of a coat and a hood, and four paints.
fn desk() -> Desk {
    let desk = Desk::with_job();
    let paints = std::fs::read_to_string(desk.path("paints.toml")).unwrap();
    desk.write("paints.toml", &(paints + MORE_PAINTS));
    desk
}

/// Adds lines to the hood, the last region of the figure.
fn in_hood(desk: &Desk, lines: &str) {
    let figure = std::fs::read_to_string(desk.path("figure.toml")).unwrap();
    desk.write("figure.toml", &format!("{figure}{lines}\n"));
}

fn explored(desk: &Desk, more: &[&str]) -> Value {
    let call = ["explore", "figure.toml", "--count", "5", "--format", "json"];
    let output = desk.run(&[&call[..], more].concat());
    let reported = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{reported}");
    serde_json::from_slice(&output.stdout).unwrap()
}

/// The mixes of the hood in a schemes file.
fn hoods(explored: &Value) -> Vec<String> {
    let text = explored["schemes_toml"].as_str().unwrap();
    let lines: Vec<&str> = text.lines().collect();
    let hoods = lines.windows(2).filter(|two| two[0] == "region = \"hood\"");
    hoods.map(|two| two[1].to_owned()).collect()
}

#[test]
fn explore_keeps_the_mix_of_the_figure_file_as_it_keeps_that_of_the_call() {
    let desk = desk();
    let by_call = explored(&desk, &["--keep", "hood=Fen Green:2,medium:3"]);
    let free = explored(&desk, &[]);
    in_hood(&desk, "keep = { \"Fen Green\" = 2, medium = 3 }");
    let by_file = explored(&desk, &[]);
    assert_eq!(by_file["schemes_toml"], by_call["schemes_toml"]);
    let kept = hoods(&by_file);
    assert_eq!(kept.len(), 5);
    assert!(
        kept.iter()
            .all(|mix| mix == "mix = { \"Fen Green\" = 2, medium = 3 }"),
        "{kept:?}"
    );
    // Must differ: without it, and with another mix in the call, which wins.
    assert_ne!(free["schemes_toml"], by_file["schemes_toml"]);
    let other = hoods(&explored(&desk, &["--keep", "hood=Deep Eel:1"]));
    assert!(
        other.iter().all(|mix| mix == "mix = { \"Deep Eel\" = 1 }"),
        "{other:?}"
    );
}

#[test]
fn oppose_leaves_the_part_as_the_scheme_has_it() {
    let desk = desk();
    desk.replace(
        "schemes.toml",
        "film = 1.0",
        "film = 1.0\n\n[[scheme.coat]]\nregion = \"hood\"\nmix = { \"Fen Green\" = 1 }",
    );
    let call = [
        "oppose",
        "figure.toml",
        "--scheme",
        "Foglight",
        "--format",
        "json",
    ];
    let opposed = |more: &[&str]| -> Value {
        let output = desk.run(&[&call[..], more].concat());
        assert!(output.status.success(), "{output:?}");
        serde_json::from_slice(&output.stdout).unwrap()
    };
    let by_call = opposed(&["--keep", "hood"]);
    let free = opposed(&[]);
    in_hood(&desk, "keep = { \"Deep Eel\" = 1 }");
    // What stays is the scheme's own colour, not the mix of the figure file.
    assert_eq!(opposed(&[])["schemes_toml"], by_call["schemes_toml"]);
    assert_eq!(
        opposed(&["--all-parts"])["schemes_toml"],
        opposed(&["--all-parts", "--keep", "hood"])["schemes_toml"]
    );
    assert_ne!(free["schemes_toml"], by_call["schemes_toml"]);
}

#[test]
fn a_kept_mix_of_unknown_paints_is_an_error_for_explore_and_check_alone() {
    let desk = desk();
    in_hood(&desk, "keep = { \"Fen Grene\" = 2 }");
    let expected = "error: figure.toml:16:10: no paint is called \"Fen Grene\"
   | keep = { \"Fen Grene\" = 2 }
   |          ^^^^^^^^^^^
  in: `keep` of region \"hood\"
  expected: a paint in paints.toml (4 paints), or medium
  help: did you mean \"Fen Green\"?";
    let reported = |call: &[&str]| {
        let output = desk.run(call);
        let reported = String::from_utf8(output.stderr).unwrap();
        (output.status.code(), reported.contains(expected), reported)
    };
    for call in [&["explore", "figure.toml"][..], &["check", "figure.toml"]] {
        let (status, named, all) = reported(call);
        assert_eq!((status, named), (Some(1), true), "{call:?}: {all}");
    }
    // A picture of a finished scheme needs no such mix.
    let (status, named, all) = reported(&["render", "figure.toml", "--out", "out", "--sheet-only"]);
    assert_eq!((status, named), (Some(0), false), "{all}");
}

#[test]
fn natural_colours_of_the_figure_file_are_those_that_explore_uses() {
    let desk = desk();
    // Without the blue, only one paint makes green.
    desk.replace("paints.toml", "\"Deep Eel\"", "\"Deep Eel\"\nowned = false");
    in_hood(&desk, "is = \"skin\"");
    let usual = hoods(&explored(&desk, &[]));
    assert!(
        usual
            .iter()
            .all(|mix| mix.contains("Skin Ochre") || mix.contains("Oil Amber")),
        "{usual:?}"
    );
    in_hood(
        &desk,
        "[[material]]\nis = \"skin\"\nlightness = [20, 80]\nchroma = [8, 60]\nhue = [110, 160]",
    );
    let green = hoods(&explored(&desk, &[]));
    assert!(
        !green.is_empty() && green.iter().all(|mix| mix.contains("Fen Green")),
        "{green:?}"
    );
}
