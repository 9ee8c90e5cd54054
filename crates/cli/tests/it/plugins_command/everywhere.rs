//! Rules for every command that attaches plugins: a failed one is reported once, and no plugin file is overwritten.

use super::desk::{Desk, text};

/// A desk with the first half of a plugin.
fn desk_with_damage() -> Desk {
    let desk = Desk::new();
    let whole = desk.read("dust.wasm");
    std::fs::write(desk.path("cut.wasm"), &whole[..whole.len() / 2]).unwrap();
    desk
}

const EXPLORE: [&str; 4] = ["explore", "figure.toml", "--count", "2"];
const OPPOSE: [&str; 4] = ["oppose", "figure.toml", "--scheme", "Foglight"];

#[test]
fn what_was_left_out_is_reported_with_the_work_done() {
    let desk = desk_with_damage();
    for work in [EXPLORE, OPPOSE] {
        let sound = desk.run(&[&work[..], &["--plugin", "dust.wasm"]].concat());
        assert_eq!(sound.status.code(), Some(0), "{}", text(&sound.stderr));
        let without = desk.run(&work);
        let damaged = desk.run(&[&work[..], &["--plugin", "cut.wasm"]].concat());
        let reported = text(&damaged.stderr);
        assert_eq!(damaged.status.code(), Some(4), "{reported}");
        assert_eq!(
            reported.matches("error: cut.wasm: ").count(),
            1,
            "{reported}"
        );
        assert_eq!(
            text(&damaged.stdout),
            text(&without.stdout),
            "the work is done"
        );
    }
}

#[test]
fn the_rivals_plugins_are_reported_too() {
    let desk = desk_with_damage();
    desk.prepend_to_figure("plugins = [\"cut.wasm\"]\n");
    let call = [
        "explore",
        "bare-figure.toml",
        "--count",
        "2",
        "--against",
        "figure.toml:Foglight",
    ];
    let output = desk.run(&call);
    let reported = text(&output.stderr);
    assert_eq!(output.status.code(), Some(4), "{reported}");
    assert_eq!(
        reported.matches("error: cut.wasm: ").count(),
        1,
        "{reported}"
    );
}

#[test]
fn a_check_of_several_files_tells_a_damaged_plugin_once() {
    let desk = desk_with_damage();
    let output = desk.run(&[
        "check",
        "figure.toml",
        "schemes.toml",
        "--plugin",
        "cut.wasm",
    ]);
    let reported = text(&output.stderr);
    assert_eq!(output.status.code(), Some(1), "{reported}");
    assert_eq!(
        reported.matches("error: cut.wasm: ").count(),
        1,
        "{reported}"
    );
}

#[test]
fn no_plugin_is_written_over() {
    let desk = desk_with_damage();
    for plugin in ["dust.wasm", "cut.wasm"] {
        let before = desk.read(plugin);
        for work in [EXPLORE, OPPOSE] {
            let output =
                desk.run(&[&work[..], &["--plugin", plugin, "--out", plugin, "--force"]].concat());
            let reported = text(&output.stderr);
            assert_eq!(output.status.code(), Some(2), "{reported}");
            assert!(reported.contains(plugin), "{reported}");
            assert!(desk.read(plugin) == before);
        }
    }
}
