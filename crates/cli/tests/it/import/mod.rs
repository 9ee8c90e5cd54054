//! `velatura import` and `velatura check --paints` as a painter calls them: exit status, messages, what is in the folder.

use std::path::Path;
use std::process::{Command, Output};

use velatura_tests::{DEMO, root};

use crate::desk::Desk;

const SAMPLES: &str = "crates/optics/tests/import-samples";

/// A folder with the sample files in it.
fn desk() -> Desk {
    let desk = Desk::empty();
    let mut copied = 0;
    for entry in std::fs::read_dir(root().join(SAMPLES)).unwrap() {
        let path = entry.unwrap().path();
        std::fs::copy(&path, desk.folder().join(path.file_name().unwrap())).unwrap();
        copied += 1;
    }
    assert_eq!(copied, 5, "sample files");
    desk
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_velatura"))
        .args(arguments)
        .current_dir(folder)
        .output()
        .unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

#[test]
fn measured_drawdowns_become_paints_that_check_finds_right() {
    let desk = desk();
    let made = desk.run(&["import", "drawdowns.txt", "--out", "paints.toml"]);
    assert!(made.status.success(), "{}", err(&made));
    assert_eq!(
        out(&made),
        "2 paints, 1 tint\nwritten   paints.toml\n\
         next      velatura check --paints paints.toml\n"
    );
    let checked = desk.run(&["check", "--paints", "paints.toml", "--format", "json"]);
    assert!(checked.status.success(), "{}", err(&checked));
    let report: serde_json::Value = serde_json::from_slice(&checked.stdout).unwrap();
    assert_eq!(report["format"], "velatura-check/1");
    assert_eq!(report["problems"].as_array().unwrap().len(), 0, "{report}");
    let paints = report["paints"].as_array().unwrap();
    assert_eq!(paints[0]["name"], "Oil Amber");
    assert_eq!(paints[0]["basis"], "spectrum+tint");
    assert_eq!(paints[0]["contrast_ratio_from"], "spectra");
    assert_eq!(paints[0]["lacks"].as_array().unwrap().len(), 0, "{report}");
    // Standard output gets the same text.
    let shown = desk.run(&["import", "drawdowns.txt", "--out", "-"]);
    assert_eq!(
        out(&shown),
        std::fs::read_to_string(desk.path("paints.toml")).unwrap()
    );
}

#[test]
fn a_file_that_is_there_is_kept_unless_force_is_said_and_an_input_always() {
    let desk = desk();
    std::fs::write(desk.path("paints.toml"), "mine").unwrap();
    let before = desk.listing();
    let call = ["import", "drawdowns.txt", "--out", "paints.toml"];
    let refused = desk.run(&call);
    assert_eq!(refused.status.code(), Some(2));
    assert_eq!(
        err(&refused),
        "error: paints.toml: this file exists already\n  expected: the name of a new file\n  \
         help: choose another name, or add --force to overwrite it\n"
    );
    let kept = || std::fs::read_to_string(desk.path("paints.toml")).unwrap();
    assert_eq!(kept(), "mine");
    let input = desk.run(&[
        "import",
        "drawdowns.txt",
        "--out",
        "drawdowns.txt",
        "--force",
    ]);
    assert_eq!(input.status.code(), Some(2));
    assert!(
        err(&input).starts_with("error: drawdowns.txt: this file is also an input\n"),
        "{}",
        err(&input)
    );
    assert_eq!(desk.listing(), before, "something was left behind");
    let forced = desk.run(&[&call[..], &["--force"]].concat());
    assert!(forced.status.success(), "{}", err(&forced));
    assert!(kept().starts_with("# Imported by Velatura from drawdowns.txt."));
}

#[test]
fn wrong_input_is_reported_with_one_and_leaves_nothing() {
    let desk = desk();
    let before = desk.listing();
    let call = [
        "import",
        "deep-eel.csv",
        "harbour.gpl",
        "gone.txt",
        "--out",
        "p.toml",
    ];
    let output = desk.run(&call);
    assert_eq!(output.status.code(), Some(1));
    assert!(
        err(&output).starts_with("error: gone.txt: there is no such file\n"),
        "{}",
        err(&output)
    );
    let output = desk.run(&["import", "deep-eel.csv", "harbour.gpl", "--out", "p.toml"]);
    assert_eq!(output.status.code(), Some(1));
    let reported = err(&output);
    assert_eq!(reported.matches("error: ").count(), 2, "{reported}");
    assert!(
        reported.contains("help: add --specular included or --specular excluded"),
        "{reported}"
    );
    assert!(
        reported.contains("add --opacity semi-transparent"),
        "{reported}"
    );
    let wrong = desk.run(&[
        "import",
        "harbour.gpl",
        "--out",
        "p.toml",
        "--opacity",
        "solid",
    ]);
    assert_eq!(wrong.status.code(), Some(2));
    std::fs::write(desk.path("latin.csv"), b"name,400\nOl\xe9,1\n").unwrap();
    let latin = desk.run(&["import", "latin.csv", "--out", "p.toml"]);
    assert!(
        err(&latin).contains("expected: text, saved as UTF-8"),
        "{}",
        err(&latin)
    );
    std::fs::remove_file(desk.path("latin.csv")).unwrap();
    assert_eq!(desk.listing(), before, "something was left behind");
}

#[test]
fn check_reports_the_demo_paints_with_the_ratio_of_their_codes() {
    let paints = DEMO.replace("figure.toml", "paints.toml");
    let output = run(&root(), &["check", "--paints", &paints, "--format", "json"]);
    assert!(output.status.success(), "{}", err(&output));
    let report: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let found = report["paints"].as_array().unwrap();
    assert_eq!(found.len(), 10);
    let text = std::fs::read_to_string(root().join(&paints)).unwrap();
    // ISO 6504-3: Y over black / Y over white; Y by IEC 61966-2-1 and ITU-R BT.709, written out here.
    let code = |name: &str, key: &str| {
        let (_, after) = text.split_once(&format!("name = \"{name}\"")).unwrap();
        let (_, after) = after.split_once(&format!("{key} = \"#")).unwrap();
        u32::from_str_radix(&after[..6], 16).unwrap().to_be_bytes()
    };
    let y = |code: [u8; 4], decode: &dyn Fn(f64) -> f64| -> f64 {
        let weights = [0.2126, 0.7152, 0.0722];
        let channels = code[1..].iter().zip(weights);
        channels
            .map(|(one, weight)| weight * decode(f64::from(*one) / 255.0))
            .sum()
    };
    let linear = |encoded: f64| {
        if encoded <= 0.04045 {
            encoded / 12.92
        } else {
            ((encoded + 0.055) / 1.055).powf(2.4)
        }
    };
    let ratio = |name: &str, decode: &dyn Fn(f64) -> f64| {
        y(code(name, "over_black"), decode) / y(code(name, "over_white"), decode)
    };
    for paint in found {
        let name = paint["name"].as_str().unwrap();
        let ours = paint["contrast_ratio"].as_f64().unwrap();
        assert!((ours - ratio(name, &linear)).abs() < 1e-6, "{name}: {ours}");
        // Must fail: the weights on encoded values.
        assert!(
            (ours - ratio(name, &|encoded| encoded)).abs() > 0.01,
            "{name}: {ours}"
        );
        let lightness = |key: &str| paint[key]["lab"][0].as_f64().unwrap();
        assert!(
            lightness("undertone") > lightness("masstone") - 0.5,
            "{name}: thinner is lighter over white"
        );
    }
    let reported = out(&run(&root(), &["check", &paints]));
    assert!(
        reported.contains("Oil Amber") && reported.contains("undertone: a film of 0.25"),
        "{reported}"
    );
}

#[test]
fn check_says_what_each_paint_lacks_and_where_a_missing_picture_is_named() {
    let desk = desk();
    let call = [
        "import",
        "harbour.gpl",
        "--opacity",
        "opaque",
        "--out",
        "chips.toml",
    ];
    assert!(desk.run(&call).status.success());
    let reported = out(&desk.run(&["check", "chips.toml"]));
    assert!(
        reported.contains(
            "each of \"Old Rope\", \"Tar Pot\" and \"Tar Violet\" is known only from a chip: brush a drawdown"
        )
            && reported.contains("0.970*"),
        "{reported}"
    );
    let call = [
        "import",
        "deep-eel.csv",
        "--specular",
        "excluded",
        "--out",
        "eel.toml",
    ];
    assert!(desk.run(&call).status.success());
    let eel = std::fs::read_to_string(desk.path("eel.toml")).unwrap();
    let without: Vec<&str> = eel
        .lines()
        .filter(|line| !line.contains("_card = "))
        .collect();
    std::fs::write(desk.path("eel.toml"), without.join("\n")).unwrap();
    let reported = out(&desk.run(&["check", "eel.toml"]));
    assert!(
        reported.contains("\"Deep Eel\" has spectra, but its cards have none"),
        "{reported}"
    );
    assert!(reported.contains("\"Deep Eel\" has no tint"), "{reported}");
    let figure = "format = \"velatura-figure/1\"\nname = \"Test\"\nphoto = \"gone.png\"\nmask = \"gone-too.png\"\n\
                  [undercoat]\nkind = \"plain\"\n[[region]]\nname = \"coat\"\nmask_colour = \"#e6194b\"\n";
    std::fs::write(desk.path("figure.toml"), figure).unwrap();
    let output = desk.run(&["check", "figure.toml"]);
    assert_eq!(output.status.code(), Some(1));
    let reported = err(&output);
    assert!(
        reported
            .contains("error: gone.png: there is no such file\n  in: figure.toml:3:9, `photo`\n")
            && reported.contains(
                "error: gone-too.png: there is no such file\n  in: figure.toml:4:8, `mask`\n"
            ),
        "{reported}"
    );
}
