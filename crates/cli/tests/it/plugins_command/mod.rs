//! Plugins as a painter uses them: named in the call, in the figure file, or in a folder; valid, damaged, changed.

mod desk;
mod everywhere;

use desk::{Desk, text};

#[test]
fn a_plugin_of_the_call_works_on_every_scheme() {
    let desk = Desk::new();
    let bare = desk.run(&["render", "figure.toml", "--out", "bare"]);
    assert_eq!(bare.status.code(), Some(0), "{}", text(&bare.stderr));
    let dusty = desk.run(&[
        "render",
        "figure.toml",
        "--plugin",
        "dust.wasm",
        "--out",
        "dusty",
    ]);
    assert_eq!(dusty.status.code(), Some(0), "{}", text(&dusty.stderr));
    assert_eq!(text(&dusty.stderr), "");
    for scheme in ["foglight", "low-tide"] {
        let file = format!("previews/{scheme}.png");
        assert!(
            desk.read(&format!("bare/{file}")) != desk.read(&format!("dusty/{file}")),
            "{scheme}"
        );
    }
    assert!(desk.report("dusty").get("left_out").is_none());
    assert_eq!(desk.report("dusty")["schemes"][0]["finishes"][0], "dust");
    assert!(desk.report("bare")["schemes"][0].get("finishes").is_none());
}

#[test]
fn a_table_in_a_scheme_keeps_the_plugin_to_it() {
    let desk = Desk::new();
    desk.append("schemes.toml", "\n[scheme.stage.dust]\namount = 0.9\n");
    let bare = desk.run(&[
        "render",
        "figure.toml",
        "--schemes",
        "bare.toml",
        "--out",
        "bare",
    ]);
    assert_eq!(bare.status.code(), Some(0), "{}", text(&bare.stderr));
    let dusty = desk.run(&[
        "render",
        "figure.toml",
        "--plugin",
        "dust.wasm",
        "--out",
        "dusty",
    ]);
    assert_eq!(dusty.status.code(), Some(0), "{}", text(&dusty.stderr));
    let same = |scheme: &str| {
        let file = format!("previews/{scheme}.png");
        desk.read(&format!("bare/{file}")) == desk.read(&format!("dusty/{file}"))
    };
    // The last scheme of the file is Low Tide.
    assert!(same("foglight") && !same("low-tide"));
}

#[test]
fn a_figure_names_its_plugins_and_their_parameters() {
    let desk = Desk::new();
    desk.prepend_to_figure("plugins = [\"dust.wasm\"]\n");
    desk.append("figure.toml", "\n[stage.dust]\namount = 0.0\n");
    let none = desk.run(&["render", "figure.toml", "--out", "none"]);
    assert_eq!(none.status.code(), Some(0), "{}", text(&none.stderr));
    let bare = desk.run(&["render", "bare-figure.toml", "--out", "bare"]);
    assert_eq!(bare.status.code(), Some(0), "{}", text(&bare.stderr));
    // With no dust, the picture equals the one without the plugin.
    let file = "previews/foglight.png";
    assert!(desk.read(&format!("none/{file}")) == desk.read(&format!("bare/{file}")));
}

#[test]
fn parameters_are_reported_like_any_other_slip_and_nothing_is_written() {
    let desk = Desk::new();
    desk.append("figure.toml", "\n[stage.dust]\namount = 3\n");
    let line = text(&desk.read("figure.toml")).lines().count();
    let output = desk.run(&[
        "render",
        "figure.toml",
        "--plugin",
        "dust.wasm",
        "--out",
        "out",
    ]);
    assert_eq!(output.status.code(), Some(1));
    let reported = text(&output.stderr);
    assert!(reported.starts_with(&format!("error: figure.toml:{line}:10: `amount` is the number 3\n   | amount = 3\n   |          ^\n  in: [stage.dust]\n  expected: a number from 0 to 1")), "{reported}");
    assert!(!desk.exists("out"));
    let checked = desk.run(&["check", "figure.toml", "--plugin", "dust.wasm"]);
    assert_eq!(checked.status.code(), Some(1));
    assert!(text(&checked.stderr).contains("`amount` is the number 3"));

    // Without the plugin, its parameters are unknown.
    let output = desk.run(&["render", "figure.toml", "--out", "out"]);
    assert_eq!(output.status.code(), Some(1));
    let reported = text(&output.stderr);
    assert!(
        reported.contains("no stage is called \"dust\"") && reported.contains("--plugin"),
        "{reported}"
    );
}

#[test]
fn a_damaged_plugin_costs_its_own_stage() {
    let desk = Desk::new();
    let whole = desk.read("dust.wasm");
    std::fs::write(desk.path("cut.wasm"), &whole[..whole.len() / 2]).unwrap();
    desk.append("figure.toml", "\n[stage.dust]\namount = 0.5\n");
    let output = desk.run(&[
        "render",
        "figure.toml",
        "--plugin",
        "cut.wasm",
        "--out",
        "out",
    ]);
    let reported = text(&output.stderr);
    assert_eq!(output.status.code(), Some(4), "{reported}");
    assert!(
        reported.contains("error: cut.wasm: ") && reported.contains("warning: figure.toml"),
        "{reported}"
    );
    assert!(desk.exists("out/sheet.png") && desk.exists("out/previews/foglight.png"));
    assert_eq!(
        desk.report("out")["left_out"][0]["problems"][0]["file"],
        "cut.wasm"
    );
    assert!(text(&desk.read("out/index.html")).contains("<h2>Left out</h2>"));
}

#[test]
fn a_plugin_that_refuses_costs_its_own_schemes() {
    let desk = Desk::new();
    desk.append("figure.toml", "\n[stage.triads]\npaint = \"Oil Ambre\"\n");
    let call = [
        "render",
        "figure.toml",
        "--plugin",
        "triads.wasm",
        "--out",
        "out",
    ];
    let output = desk.run(&call);
    let reported = text(&output.stderr);
    assert_eq!(output.status.code(), Some(4), "{reported}");
    assert!(
        reported.contains("triads.wasm") && reported.contains("Oil Ambre"),
        "{reported}"
    );
    assert_eq!(desk.report("out")["schemes"].as_array().unwrap().len(), 2);
    assert_eq!(desk.report("out")["left_out"][0]["stage"], "triads");

    // Once fixed, its schemes come after those of the file; without a file they are the only ones.
    let figure = text(&desk.read("figure.toml")).replace("Oil Ambre", "Oil Amber");
    std::fs::write(desk.path("figure.toml"), figure).unwrap();
    let output = desk.run(&call);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let all = desk.report("out")["schemes"].as_array().unwrap().len();
    assert!(all > 2, "{all}");
    std::fs::remove_file(desk.path("schemes.toml")).unwrap();
    let output = desk.run(&call);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert_eq!(
        desk.report("out")["schemes"].as_array().unwrap().len(),
        all - 2
    );
}

#[test]
fn a_parameter_that_must_be_given_is_asked_for() {
    let desk = Desk::new();
    let output = desk.run(&[
        "render",
        "figure.toml",
        "--plugin",
        "triads.wasm",
        "--out",
        "out",
    ]);
    let reported = text(&output.stderr);
    assert_eq!(output.status.code(), Some(1), "{reported}");
    assert!(
        reported.contains("error: triads.wasm: the parameter `paint` is missing")
            && reported.contains("[stage.triads]"),
        "{reported}"
    );
    assert!(!desk.exists("out"));
}

#[test]
fn a_plugin_in_the_folder_waits_for_a_table() {
    let desk = Desk::new();
    let folder = desk.path("data/velatura/plugins");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::copy(desk.path("dust.wasm"), folder.join("dust.wasm")).unwrap();
    // Nobody asked for the damaged one, so it is only a warning.
    std::fs::write(folder.join("cut.wasm"), b"\0asm").unwrap();
    let bare = desk.run(&["render", "figure.toml", "--out", "bare"]);
    assert_eq!(bare.status.code(), Some(0), "{}", text(&bare.stderr));
    assert!(text(&bare.stderr).contains("warning: ") && text(&bare.stderr).contains("cut.wasm"));
    desk.append("figure.toml", "\n[stage.dust]\n");
    let dusty = desk.run(&["render", "figure.toml", "--out", "dusty"]);
    assert_eq!(dusty.status.code(), Some(0), "{}", text(&dusty.stderr));
    let file = "previews/foglight.png";
    assert!(desk.read(&format!("bare/{file}")) != desk.read(&format!("dusty/{file}")));
}

#[test]
fn a_changed_file_is_reported_once_and_the_list_shows_what_there_is() {
    let desk = Desk::new();
    let list = || {
        let output = desk.run(&["plugins", "--plugin", "dust.wasm"]);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        text(&output.stdout)
    };
    let render = || {
        let output = desk.run(&[
            "render",
            "figure.toml",
            "--plugin",
            "dust.wasm",
            "--sheet-only",
            "--out",
            "out",
        ]);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        text(&output.stderr)
    };
    assert!(list().contains("from dust.wasm, not used yet\n  SHA-256 "));
    assert!(
        list().contains("amount: a number from 0 to 1")
            && list().contains("no access to files, network")
    );
    assert_eq!(render(), "");
    assert!(list().contains("from dust.wasm, unchanged since it was last used"));

    // A custom section (WebAssembly core specification, 5.5.3) changes the file but not its behaviour.
    let mut bytes = desk.read("dust.wasm");
    bytes.extend([0, 5, 4, b'n', b'o', b't', b'e']);
    std::fs::write(desk.path("dust.wasm"), bytes).unwrap();
    assert!(list().contains("from dust.wasm, changed since it was last used"));
    let reported = render();
    assert!(
        reported
            .starts_with("warning: dust.wasm: this plugin has changed since it was last used\n"),
        "{reported}"
    );
    assert_eq!(render(), "");

    let output = desk.run(&["plugins", "--plugin", "dust.wasm", "--format", "json"]);
    let stages: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let dust = stages
        .as_array()
        .unwrap()
        .iter()
        .find(|stage| stage["name"] == "dust")
        .unwrap();
    assert_eq!(dust["attach_point"], "finish");
    assert_eq!(dust["file"]["sha256"].as_str().unwrap().len(), 64);
    assert_eq!(dust["file"]["last_use"], "unchanged since it was last used");
}

#[test]
fn a_file_that_is_not_there_is_a_wrong_input() {
    let desk = Desk::new();
    desk.prepend_to_figure("plugins = [\"none.wasm\"]\n");
    let output = desk.run(&["render", "figure.toml", "--out", "out"]);
    let reported = text(&output.stderr);
    assert_eq!(output.status.code(), Some(1), "{reported}");
    assert!(
        reported.starts_with("error: none.wasm: there is no such file\n  in: figure.toml:"),
        "{reported}"
    );
    assert!(!desk.exists("out"));
}

#[test]
fn the_contact_sheet_takes_its_columns_from_a_table_and_rather_from_the_call() {
    let desk = Desk::new();
    let size = |out: &str| {
        image::open(desk.path(&format!("{out}/sheet.png")))
            .unwrap()
            .to_rgb8()
            .dimensions()
    };
    let render = |more: &[&str], out: &str| {
        let call = [
            &["render", "figure.toml", "--sheet-only", "--out", out],
            more,
        ]
        .concat();
        let output = desk.run(&call);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        size(out)
    };
    let wide = render(&["--columns", "2"], "wide");
    let tall = render(&["--columns", "1"], "tall");
    assert_ne!(wide, tall);
    desk.append("figure.toml", "\n[stage.contact-sheet]\ncolumns = 1\n");
    assert_eq!(render(&[], "table"), tall);
    assert_eq!(render(&["--columns", "2"], "both"), wide);
}
