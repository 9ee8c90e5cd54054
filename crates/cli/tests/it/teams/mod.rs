//! `oppose` and `explore` as a painter runs them on the demo: what they write can be rendered, and each wrong call gets its own message.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;
use velatura_tests::{DEMO, root};

fn velatura(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_velatura"))
        .args(arguments)
        .current_dir(root())
        .output()
        .unwrap()
}

fn done(arguments: &[&str]) -> String {
    let output = velatura(arguments);
    let reported = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(0), "{arguments:?}\n{reported}");
    String::from_utf8(output.stdout).unwrap()
}

fn refused(arguments: &[&str]) -> String {
    let output = velatura(arguments);
    assert_eq!(output.status.code(), Some(2), "{arguments:?}");
    assert!(output.stdout.is_empty());
    String::from_utf8(output.stderr).unwrap()
}

/// Renders a schemes file on the demo figure and returns the report.
fn rendered(schemes: &Path, folder: &Path) -> Value {
    let (schemes, folder_name) = (schemes.to_str().unwrap(), folder.to_str().unwrap());
    done(&[
        "render",
        DEMO,
        "--schemes",
        schemes,
        "--sheet-only",
        "--out",
        folder_name,
    ]);
    let report = std::fs::read_to_string(folder.join("report.json")).unwrap();
    serde_json::from_str(&report).unwrap()
}

#[test]
fn what_explore_writes_is_rendered_and_the_same_seed_writes_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("tried.toml");
    let reported = done(&[
        "explore",
        DEMO,
        "--count",
        "10",
        "--out",
        file.to_str().unwrap(),
    ]);
    println!("{reported}");
    let again = done(&["explore", DEMO, "--count", "10"]);
    assert_eq!(std::fs::read_to_string(&file).unwrap(), again);
    assert_ne!(
        again,
        done(&["explore", DEMO, "--count", "10", "--seed", "2"])
    );
    let report = rendered(&file, &folder.path().join("out"));
    let schemes = report["schemes"].as_array().unwrap();
    assert_eq!(schemes.len(), 10);
    let bare = |region: &Value| region["basis"] == "as-photographed";
    assert!(
        !schemes
            .iter()
            .flat_map(|scheme| scheme["regions"].as_array().unwrap())
            .any(bare)
    );
    let figures: Value =
        serde_json::from_str(&done(&["explore", DEMO, "--format", "json"])).unwrap();
    let number = |key: &str| figures[key].as_f64().unwrap();
    assert!(
        number("least_distance") >= 2.0 * number("least_distance_by_chance"),
        "{figures}"
    );
    assert_eq!(figures["schemes_toml"], again);
}

#[test]
fn a_kept_region_and_a_rival_are_heard() {
    let kept = done(&[
        "explore",
        DEMO,
        "--count",
        "3",
        "--keep",
        "hood=Oil Amber:3,medium:7",
    ]);
    let pinned = "region = \"hood\"\nmix = { \"Oil Amber\" = 3, medium = 7 }";
    assert_eq!(kept.matches(pinned).count(), 3, "{kept}");
    let rival = format!("{DEMO}:Foglight");
    assert_ne!(
        done(&["explore", DEMO, "--against", &rival]),
        done(&["explore", DEMO])
    );
}

#[test]
fn the_opposite_is_rendered_in_the_colours_it_tells() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("opposite.toml");
    let json = done(&[
        "oppose",
        DEMO,
        "--scheme",
        "Foglight",
        "--format",
        "json",
        "--out",
        file.to_str().unwrap(),
    ]);
    let reported: Value = serde_json::from_str(&json).unwrap();
    assert_eq!(reported["regions"].as_array().unwrap().len(), 8);
    for region in reported["regions"].as_array().unwrap() {
        let (left, reachable) = (
            region["delta_e"].as_f64().unwrap(),
            region["reachable_delta_e"].as_f64().unwrap(),
        );
        println!(
            "{} ΔE {left:.2}, reachable {reachable:.2}",
            region["region"]
        );
        assert!(left < 12.0 && reachable <= left + 1e-9);
        assert_eq!(region["out_of_reach"], reachable > 2.0);
    }
    assert!(
        reported["unused"]
            .as_array()
            .unwrap()
            .contains(&Value::from("Lantern Red"))
    );
    let report = rendered(&file, &folder.path().join("out"));
    let scheme = &report["schemes"][0];
    assert_eq!(scheme["name"], "Opposite of Foglight");
    assert_eq!(scheme["undercoat"], "white-with-wash");
    // Rendered regions are shaded by the photo's light, the printed colours are not: hue must agree, lightness may be less.
    for (reported, shown) in reported["regions"]
        .as_array()
        .unwrap()
        .iter()
        .zip(scheme["regions"].as_array().unwrap())
    {
        assert_eq!(reported["region"], shown["name"]);
        let lab = |value: &Value| -> Vec<f64> {
            value
                .as_array()
                .unwrap()
                .iter()
                .map(|x| x.as_f64().unwrap())
                .collect()
        };
        let (target, shown) = (lab(&reported["target_lab"]), lab(&shown["mean_lab"]));
        if target[1].hypot(target[2]) > 20.0 {
            let turn = (target[2].atan2(target[1]) - shown[2].atan2(shown[1]))
                .to_degrees()
                .rem_euclid(360.0);
            assert!(turn.min(360.0 - turn) < 30.0, "{reported}: {turn}");
        }
    }
}

#[test]
fn ways_and_undercoats_are_heard() {
    let of = |more: &[&str]| {
        let mut arguments = vec!["oppose", DEMO, "--scheme", "Foglight"];
        arguments.extend(more);
        done(&arguments)
    };
    let all: Vec<String> = ["negative", "hue", "lightness", "both"]
        .iter()
        .map(|way| of(&["--way", way]))
        .collect();
    for (at, one) in all.iter().enumerate() {
        assert!(all[at + 1..].iter().all(|other| other != one));
    }
    assert_ne!(of(&["--way", "hue", "--hue-space", "oklch"]), all[1]);
    assert!(of(&["--undercoat", "keep"]).contains("undercoat = \"as-photographed\""));
    assert!(of(&["--team", "Reedwardens"]).contains("team = \"Reedwardens\""));
}

#[test]
fn wrong_calls_say_what_was_expected() {
    let reported = refused(&["oppose", DEMO, "--scheme", "Foglite"]);
    assert!(
        reported.contains("no scheme is called \"Foglite\"")
            && reported.contains("did you mean \"Foglight\"?"),
        "{reported}"
    );
    let reported = refused(&["explore", DEMO, "--keep", "hod=Oil Amber:3"]);
    assert!(
        reported.contains("no region is called \"hod\"")
            && reported.contains("did you mean \"hood\"?"),
        "{reported}"
    );
    let reported = refused(&["explore", DEMO, "--keep", "hood=Oil Ambre:3"]);
    assert!(
        reported.contains("Oil Ambre") && reported.contains("Oil Amber"),
        "{reported}"
    );
    let reported = refused(&["explore", DEMO, "--against", "Foglight"]);
    assert!(reported.contains("FIGURE.toml:SCHEME"), "{reported}");
    let reported = refused(&[
        "explore",
        DEMO,
        "--out",
        "demo_images/lamplighter/paints.toml",
    ]);
    assert!(
        reported.contains("this file is also an input"),
        "{reported}"
    );
}
