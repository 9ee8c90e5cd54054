//! Previews of schemes that no longer exist leave the output folder, and nothing else does.

use crate::desk::Desk;

/// Two schemes, rendered once.
fn desk() -> Desk {
    let desk = Desk::with_job();
    let schemes = std::fs::read_to_string(desk.path("schemes.toml")).unwrap();
    let other = "\n[[scheme]]\nname = \"Fog\"\n\n[[scheme.coat]]\nregion = \"hood\"\nmix = { medium = 1 }\n";
    desk.write("schemes.toml", &(schemes + other));
    render(&desk, &[], 0);
    assert_eq!(previews(&desk), ["fog.png", "foglight.png"]);
    desk
}

fn render(desk: &Desk, more: &[&str], status: i32) {
    let output = desk.run(&[&["render", "figure.toml", "--out", "out"], more].concat());
    let reported = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(status), "{reported}");
}

fn previews(desk: &Desk) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(desk.path("out/previews"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn the_preview_of_a_renamed_scheme_goes_and_files_of_others_stay() {
    let desk = desk();
    desk.write("out/previews/mine.png", "my own");
    desk.write("out/notes.txt", "my own");
    desk.replace("schemes.toml", "\"Foglight\"", "\"Low Tide\"");
    render(&desk, &[], 0);
    assert_eq!(previews(&desk), ["fog.png", "low-tide.png", "mine.png"]);
    assert!(desk.path("out/notes.txt").exists());
    // A changed copy of one run is not one of the next.
    render(&desk, &["--set", "Fog.coat=Oil Amber:1"], 0);
    assert!(
        previews(&desk).contains(&"fog-changed.png".to_owned()),
        "{:?}",
        previews(&desk)
    );
    render(&desk, &["--sheet-only"], 0);
    assert_eq!(previews(&desk), ["fog.png", "low-tide.png", "mine.png"]);
}

#[test]
fn previews_of_schemes_that_are_only_not_rendered_now_stay() {
    let desk = desk();
    render(&desk, &["--only", "Fog"], 0);
    assert_eq!(previews(&desk), ["fog.png", "foglight.png"]);
}

#[test]
fn a_run_that_fails_removes_nothing() {
    let desk = desk();
    desk.replace("schemes.toml", "\"Foglight\"", "\"Low Tide\"");
    desk.replace("schemes.toml", "\"Oil Amber\"", "\"Oil Ambre\"");
    render(&desk, &[], 1);
    assert_eq!(previews(&desk), ["fog.png", "foglight.png"]);
    // One that could not put its files in place either.
    desk.replace("schemes.toml", "\"Oil Ambre\"", "\"Oil Amber\"");
    std::fs::remove_file(desk.path("out/sheet.png")).unwrap();
    std::fs::create_dir(desk.path("out/sheet.png")).unwrap();
    render(&desk, &[], 2);
    assert_eq!(previews(&desk), ["fog.png", "foglight.png"]);
}

#[test]
fn a_report_that_lists_other_files_removes_none_of_them() {
    let desk = desk();
    let report = std::fs::read_to_string(desk.path("out/report.json")).unwrap();
    std::fs::create_dir(desk.path("out/previews/deeper")).unwrap();
    desk.write("out/previews/deeper/a.png", "my own");
    for listed in [
        "previews/../../schemes.toml",
        "previews/../../photo.png",
        "previews/deeper/a.png",
        "sheet.png",
        "index.html",
    ] {
        let changed = report.replace("previews/foglight.png", listed);
        assert!(changed.contains(listed));
        desk.write("out/report.json", &changed);
        render(&desk, &[], 0);
        let kept = desk.path("out").join(listed);
        assert!(kept.exists(), "{listed}");
    }
    // A report of another program or of `pair` lists no previews of ours.
    for other in [
        "not json".to_owned(),
        report.replace("velatura-report/1", "velatura-pair/1"),
    ] {
        desk.write("out/report.json", &other);
        desk.replace("schemes.toml", "\"Foglight\"", "\"Low Tide\"");
        render(&desk, &[], 0);
        assert!(previews(&desk).contains(&"foglight.png".to_owned()));
        desk.replace("schemes.toml", "\"Low Tide\"", "\"Foglight\"");
        render(&desk, &[], 0);
    }
}

#[cfg(unix)]
#[test]
fn links_in_the_place_of_previews_and_inputs_stay() {
    use std::os::unix::fs::symlink;
    let desk = desk();
    desk.write("mine.png", "my own");
    std::fs::remove_file(desk.path("out/previews/foglight.png")).unwrap();
    symlink(
        desk.path("mine.png"),
        desk.path("out/previews/foglight.png"),
    )
    .unwrap();
    desk.replace("schemes.toml", "\"Foglight\"", "\"Low Tide\"");
    render(&desk, &[], 0);
    assert!(desk.path("out/previews/foglight.png").is_symlink());
    assert!(desk.path("mine.png").exists());
    // A folder of previews that is a link: only a run without previews gets so far.
    std::fs::rename(desk.path("out/previews"), desk.path("album")).unwrap();
    symlink(desk.path("album"), desk.path("out/previews")).unwrap();
    desk.replace("schemes.toml", "\"Low Tide\"", "\"High Tide\"");
    render(&desk, &["--sheet-only"], 0);
    assert!(desk.path("album/low-tide.png").exists());
}
