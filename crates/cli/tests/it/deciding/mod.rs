//! The loop while a painter decides: other mixes next to a scheme, favourites kept, renders after every save.

use std::process::{Output, Stdio};
use std::time::{Duration, Instant};

use crate::desk::Desk;

const RENDER: [&str; 5] = ["render", "figure.toml", "--out", "out", "--sheet-only"];

fn render(desk: &Desk, more: &[&str]) -> Output {
    desk.run(&[&RENDER[..], more].concat())
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn report(desk: &Desk) -> serde_json::Value {
    serde_json::from_slice(&std::fs::read(desk.path("out/report.json")).unwrap()).unwrap()
}

fn names(report: &serde_json::Value) -> Vec<String> {
    let schemes = report["schemes"].as_array().unwrap().iter();
    schemes
        .map(|scheme| scheme["name"].as_str().unwrap().to_owned())
        .collect()
}

/// Two schemes and two paints.
fn desk() -> Desk {
    let desk = Desk::with_job();
    let schemes = std::fs::read_to_string(desk.path("schemes.toml")).unwrap();
    let other = "\n[[scheme]]\nname = \"Fog\"\n\n[[scheme.coat]]\nregion = \"hood\"\nmix = { medium = 1 }\n";
    desk.write("schemes.toml", &(schemes + other));
    let paints = std::fs::read_to_string(desk.path("paints.toml")).unwrap();
    let eel =
        "\n[[paint]]\nname = \"Deep Eel\"\nover_black = \"#1a3436\"\nover_white = \"#3fafc3\"\n";
    desk.write("paints.toml", &(paints + eel));
    desk
}

#[test]
fn a_changed_mix_is_rendered_next_to_the_scheme_it_changes_and_is_what_the_file_would_give() {
    let desk = desk();
    let setting = "Foglight.coat=Deep Eel:2,medium:3; film 0.5";
    let both = render(
        &desk,
        &["--set", setting, "--set", "Foglight.hood=Oil Amber:1"],
    );
    assert!(both.status.success(), "{}", text(&both.stderr));
    let changed = report(&desk);
    assert_eq!(names(&changed), ["Foglight", "Foglight (changed)"]);
    // The same change written into the file.
    desk.replace(
        "schemes.toml",
        "{ \"Oil Amber\" = 3, medium = 7 }",
        "{ \"Deep Eel\" = 2, medium = 3 }",
    );
    desk.replace(
        "schemes.toml",
        "film = 1.0",
        "film = 0.5\n\n[[scheme.coat]]\nregion = \"hood\"\nmix = { \"Oil Amber\" = 1 }",
    );
    assert!(render(&desk, &["--only", "Foglight"]).status.success());
    let written = report(&desk);
    assert_eq!(
        changed["schemes"][1]["regions"],
        written["schemes"][0]["regions"]
    );
    assert_ne!(
        changed["schemes"][0]["regions"],
        written["schemes"][0]["regions"]
    );
}

#[test]
fn a_second_coat_can_be_changed_or_added() {
    let desk = desk();
    let added = render(
        &desk,
        &["--only", "Fog", "--set", "Foglight.coat.2=Deep Eel:1"],
    );
    assert!(added.status.success(), "{}", text(&added.stderr));
    let report = report(&desk);
    assert_eq!(names(&report), ["Foglight", "Foglight (changed)", "Fog"]);
    let coat = |at: usize| report["schemes"][at]["regions"][0]["mean_srgb"].clone();
    assert_ne!(coat(0), coat(1), "the new coat shows");
    // Must not change: a part without a setting.
    let hood = |at: usize| report["schemes"][at]["regions"][1].clone();
    assert_eq!(hood(0), hood(1));
}

#[test]
fn a_wrong_change_says_what_is_possible() {
    let desk = desk();
    for (setting, found) in [
        ("Foglite.coat=medium:1", "no scheme is called \"Foglite\""),
        ("Foglight.cote=medium:1", "no part is called \"cote\""),
        ("Foglight", "\"Foglight\" has no \".\""),
        ("Foglight.coat", "\"Foglight.coat\" has no \"=\""),
        ("Foglight.coat=Deep Ell:1", "Deep Ell"),
        ("Foglight.coat.4=medium:1", "there is no coat 4"),
        (
            "Foglight.coat=medium:1; film thick",
            "\"film thick\" is no film",
        ),
    ] {
        let refused = render(&desk, &["--set", setting]);
        let reported = text(&refused.stderr);
        assert_eq!(refused.status.code(), Some(2), "{setting}: {reported}");
        assert!(reported.contains(found), "{setting}: {reported}");
        assert!(reported.contains("\n  in: --set"), "{reported}");
        assert!(reported.contains("\n  expected: "), "{reported}");
        assert!(!desk.path("out").exists());
    }
}

#[test]
fn favourites_are_added_to_a_file_which_keeps_what_it_had() {
    let desk = desk();
    let keep = |names: &str| {
        let set = "Foglight.hood=Deep Eel:1,medium:2";
        render(
            &desk,
            &["--set", set, "--keep-best", names, "--into", "best.toml"],
        )
    };
    let first = keep("Fog");
    assert!(first.status.success(), "{}", text(&first.stderr));
    assert!(text(&first.stdout).contains("kept      1 scheme in best.toml"));
    let mine = std::fs::read_to_string(desk.path("best.toml")).unwrap() + "# my note\n";
    desk.write("best.toml", &mine);
    let second = keep("Foglight (changed), Foglight");
    assert!(second.status.success(), "{}", text(&second.stderr));
    let both = std::fs::read_to_string(desk.path("best.toml")).unwrap();
    assert!(both.starts_with(mine.trim_end()), "{both}");
    // What was kept renders, with the same colours.
    let of_change = report(&desk)["schemes"][1]["regions"].clone();
    let again = render(&desk, &["--schemes", "best.toml"]);
    assert!(again.status.success(), "{}", text(&again.stderr));
    let kept = report(&desk);
    assert_eq!(names(&kept), ["Fog", "Foglight (changed)", "Foglight"]);
    assert_eq!(kept["schemes"][1]["regions"], of_change);

    let twice = keep("Fog");
    let reported = text(&twice.stderr);
    assert_eq!(twice.status.code(), Some(2), "{reported}");
    assert!(
        reported.contains("there already is a scheme called \"Fog\""),
        "{reported}"
    );
    assert_eq!(
        std::fs::read_to_string(desk.path("best.toml")).unwrap(),
        both
    );
    desk.write("best.toml", "no schemes");
    assert_eq!(keep("Fog").status.code(), Some(1));
    assert_eq!(
        std::fs::read_to_string(desk.path("best.toml")).unwrap(),
        "no schemes"
    );
}

#[cfg(unix)]
#[test]
fn a_saved_file_is_rendered_again_until_the_command_is_stopped() {
    let desk = desk();
    let mut watching = desk.command(&[&RENDER[..], &["--watch"]].concat());
    let mut child = watching
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let wait_for = |what: &str, is_there: &dyn Fn(&serde_json::Value) -> bool| {
        let begun = Instant::now();
        loop {
            let bytes = std::fs::read(desk.path("out/report.json")).unwrap_or_default();
            let report = serde_json::from_slice(&bytes).unwrap_or_default();
            if is_there(&report) {
                return;
            }
            assert!(
                begun.elapsed() < Duration::from_secs(100),
                "{what}: {report}"
            );
            std::thread::sleep(Duration::from_millis(50));
        }
    };
    let first_named =
        |name: &'static str| move |report: &serde_json::Value| report["schemes"][0]["name"] == name;
    wait_for("the first render", &first_named("Foglight"));
    desk.replace("schemes.toml", "Foglight", "Low Tide");
    wait_for("a scheme", &first_named("Low Tide"));
    // A mistake is reported, and the next save is rendered.
    desk.replace("schemes.toml", "Low Tide\"", "Low Tide");
    std::thread::sleep(Duration::from_millis(500));
    assert!(
        child.try_wait().unwrap().is_none(),
        "a mistake ends nothing"
    );
    desk.replace("schemes.toml", "Low Tide", "Ebb\"");
    wait_for("the corrected scheme", &first_named("Ebb"));
    // A changed picture is read again.
    desk.mask(40, 30, |_, _| [0xe6, 0x19, 0x4b]);
    wait_for("the mask", &|report| {
        report["warnings"]
            .to_string()
            .contains("has no pixel in mask.png")
    });
    // A broken picture is not passed over when another file is saved after it.
    desk.write("mask.png", "no picture");
    std::thread::sleep(Duration::from_millis(800));
    desk.replace("schemes.toml", "Ebb", "Flood");
    std::thread::sleep(Duration::from_millis(800));
    wait_for("the scheme before", &first_named("Ebb"));
    desk.mask(40, 30, |_, _| [0x43, 0x63, 0xd8]);
    wait_for("the whole mask", &first_named("Flood"));
    let stopped = std::process::Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status();
    assert!(stopped.unwrap().success());
    let status = child.wait().unwrap();
    assert!(matches!(status.code(), Some(0 | 130)), "{status}");
}
