//! `velatura render` for many figures: folders, lists, shares, what is current, what fails.

use std::collections::BTreeMap;
use std::path::Path;

use serde_json::Value;

use crate::desk::Desk;

/// Folders with a copy of the small job each.
fn desk_with(folders: &[&str]) -> Desk {
    let desk = Desk::empty();
    let job = Desk::with_job();
    for folder in folders {
        let to = desk.path(folder);
        std::fs::create_dir_all(&to).unwrap();
        for file in [
            "figure.toml",
            "paints.toml",
            "schemes.toml",
            "photo.png",
            "mask.png",
        ] {
            std::fs::copy(job.path(file), to.join(file)).unwrap();
        }
    }
    desk
}

/// The JSON of a call and its exit status.
fn json(desk: &Desk, arguments: &[&str]) -> (Value, Option<i32>) {
    let output = desk.run(&[&["render"], arguments, &["--format", "json"]].concat());
    let value = serde_json::from_slice(&output.stdout).unwrap_or_else(|why| {
        panic!("{why}: {}", String::from_utf8_lossy(&output.stderr));
    });
    (value, output.status.code())
}

/// Figure and outcome, as printed.
fn outcomes(value: &Value) -> Vec<(&str, &str)> {
    let figures = value["figures"].as_array().unwrap().iter();
    figures
        .map(|one| {
            (
                one["figure"].as_str().unwrap(),
                one["outcome"].as_str().unwrap(),
            )
        })
        .collect()
}

/// All files below a folder with their bytes.
fn tree(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let name = entry.file_name().into_string().unwrap();
        if entry.file_type().unwrap().is_dir() {
            let inside = tree(&entry.path()).into_iter();
            files.extend(inside.map(|(path, bytes)| (format!("{name}/{path}"), bytes)));
        } else {
            files.insert(name, std::fs::read(entry.path()).unwrap());
        }
    }
    files
}

/// Without what differs from run to run: times.
fn without_times(mut files: BTreeMap<String, Vec<u8>>) -> BTreeMap<String, Vec<u8>> {
    for (path, bytes) in &mut files {
        if path.ends_with("report.json") {
            let mut report: Value = serde_json::from_slice(bytes).unwrap();
            report.as_object_mut().unwrap().remove("timings_ms");
            *bytes = report.to_string().into_bytes();
        }
    }
    files.retain(|path, _| !path.ends_with("made-from.json"));
    files
}

#[test]
fn a_folder_a_list_and_files_mean_the_same_figures_and_give_what_single_calls_give() {
    let desk = desk_with(&["army/a", "army/b", "army/deep/c"]);
    desk.write(
        "army.txt",
        "# three\narmy/a/figure.toml\n\narmy/b/figure.toml # two\narmy/deep/c/figure.toml\n",
    );
    let files = ["a", "b", "deep/c"].map(|name| format!("army/{name}/figure.toml"));
    let named: Vec<&str> = files.iter().map(String::as_str).collect();
    for (call, out) in [
        (vec!["army"], "by-folder"),
        (vec!["army.txt"], "by-list"),
        (named, "by-name"),
    ] {
        let (value, status) = json(&desk, &[&call[..], &["--out", out]].concat());
        assert_eq!(status, Some(0), "{value}");
        let expected = files.each_ref().map(|file| (file.as_str(), "rendered"));
        assert_eq!(outcomes(&value), expected, "{out}");
    }
    let many = without_times(tree(&desk.path("by-folder")));
    assert_eq!(many, without_times(tree(&desk.path("by-list"))));
    assert_eq!(many, without_times(tree(&desk.path("by-name"))));

    let single = desk.run(&["render", "army/a/figure.toml", "--out", "single"]);
    assert_eq!(single.status.code(), Some(0));
    let single = without_times(tree(&desk.path("single")));
    assert!(single.len() >= 4, "{:?}", single.keys());
    for (path, bytes) in single {
        assert!(many[&format!("a/{path}")] == bytes, "{path} differs");
    }
    let page = String::from_utf8(many["index.html"].clone()).unwrap();
    for link in ["a/index.html", "b/sheet.png", "c/index.html"] {
        assert!(page.contains(&format!("\"{link}\"")), "{link}: {page}");
    }
}

#[test]
fn one_figure_that_fails_does_not_stop_the_others() {
    let desk = desk_with(&["army/a", "army/b", "army/c"]);
    desk.replace("army/b/figure.toml", "photo.png", "lost.png");
    let output = desk.run(&["render", "army", "--out", "out"]);
    let reported = String::from_utf8(output.stderr).unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    assert_eq!(output.status.code(), Some(1), "{reported}");
    assert!(reported.contains("lost.png"), "{reported}");
    assert!(
        text.contains("3 figures: 2 rendered, 0 current, 1 failed"),
        "{text}"
    );
    assert!(text.contains("failed    army/b/figure.toml"), "{text}");
    assert!(desk.path("out/a/sheet.png").exists() && desk.path("out/c/sheet.png").exists());
    assert!(!desk.path("out/b").exists(), "nothing half-written");
    let page = std::fs::read_to_string(desk.path("out/index.html")).unwrap();
    assert!(page.contains("1 figure could not be rendered"), "{page}");
}

#[test]
fn resume_renders_only_what_is_missing_or_old() {
    let desk = desk_with(&["army/a", "army/b", "army/c"]);
    let call = |more: &[&str]| {
        let (value, status) = json(&desk, &[&["army", "--out", "out"], more].concat());
        assert_eq!(status, Some(0), "{value}");
        outcomes(&value)
            .into_iter()
            .map(|(_, outcome)| outcome.to_owned())
            .collect::<Vec<_>>()
    };
    let (new, old) = ("rendered", "current");
    assert_eq!(call(&["--resume"]), [new, new, new]);
    let before = tree(&desk.path("out"));
    assert_eq!(call(&["--resume"]), [old, old, old]);
    assert_eq!(tree(&desk.path("out")), before, "nothing is written again");

    // Another mix, a picture that is gone, a picture that was cut short.
    desk.replace("army/a/schemes.toml", "= 3", "= 4");
    assert_eq!(call(&["--resume"]), [new, old, old]);
    std::fs::remove_file(desk.path("out/b/sheet.png")).unwrap();
    desk.write("out/c/previews/foglight.png", "cut");
    assert_eq!(call(&["--resume"]), [old, new, new]);
    // Another photo with the same name, other options, and without the option.
    std::fs::copy(desk.path("army/b/mask.png"), desk.path("army/c/photo.png")).unwrap();
    assert_eq!(call(&["--resume"]), [old, old, new]);
    assert_eq!(call(&["--resume", "--previews", "jpeg"]), [new, new, new]);
    assert_eq!(call(&["--previews", "jpeg"]), [new, new, new]);
    // A record that cannot be read counts for nothing.
    desk.write("out/a/made-from.json", "{}");
    assert_eq!(call(&["--resume", "--previews", "jpeg"]), [new, old, old]);
}

#[test]
fn results_of_another_figure_in_the_same_folder_are_not_current() {
    let desk = desk_with(&["red/knights", "blue/knights"]);
    let call = |team: &str| {
        let (value, status) = json(&desk, &[team, "--out", "out", "--resume"]);
        assert_eq!(status, Some(0), "{value}");
        outcomes(&value)[0].1.to_owned()
    };
    assert_eq!([call("red"), call("red")], ["rendered", "current"]);
    assert_eq!([call("blue"), call("blue")], ["rendered", "current"]);
}

#[test]
fn shares_together_give_everything() {
    let desk = desk_with(&["army/a", "army/b", "army/c", "army/d", "army/e"]);
    let whole = desk.run(&["render", "army", "--out", "whole"]);
    assert_eq!(whole.status.code(), Some(0));
    for share in ["1/2", "2/2"] {
        let (value, status) = json(&desk, &["army", "--out", "shared", "--shard", share]);
        assert_eq!(status, Some(0), "{value}");
    }
    assert!(
        !desk.path("shared/index.html").exists(),
        "a share has no page over all"
    );
    let (value, _) = json(&desk, &["army", "--out", "shared", "--resume"]);
    assert_eq!(
        (&value["current"], &value["rendered"]),
        (&5.into(), &0.into())
    );
    assert_eq!(
        without_times(tree(&desk.path("whole"))),
        without_times(tree(&desk.path("shared")))
    );
}

#[test]
fn together_has_a_row_for_each_scheme_and_a_column_for_each_figure() {
    let desk = desk_with(&["army/a", "army/b"]);
    desk.replace("army/b/figure.toml", "Test figure", "From behind");
    let (value, status) = json(
        &desk,
        &["army", "--out", "out", "--together", "--previews", "none"],
    );
    assert_eq!(status, Some(0), "{value}");
    let sheet = image::open(desk.path("out/together.png")).unwrap();
    assert!(sheet.width() > 64 && sheet.height() > 64);
    let page = std::fs::read_to_string(desk.path("out/index.html")).unwrap();
    assert!(page.contains("together.png"));
    // Also from current results.
    std::fs::remove_file(desk.path("out/together.png")).unwrap();
    let (value, _) = json(
        &desk,
        &[
            "army",
            "--out",
            "out",
            "--together",
            "--previews",
            "none",
            "--resume",
        ],
    );
    assert_eq!(value["current"], 2, "{value}");
    assert!(desk.path("out/together.png").exists());
}

#[test]
fn figures_of_one_name_have_folders_of_their_own() {
    let desk = desk_with(&["x/twin", "y/twin"]);
    let (value, status) = json(&desk, &["x", "y", "--out", "out"]);
    assert_eq!(status, Some(0), "{value}");
    assert!(desk.path("out/twin/sheet.png").exists());
    assert!(desk.path("out/twin-2/sheet.png").exists());
}

#[test]
fn calls_that_make_no_sense_are_refused_before_any_work() {
    let desk = desk_with(&["army/a", "army/b"]);
    std::fs::create_dir(desk.path("empty")).unwrap();
    desk.write("none.txt", "# nothing\n");
    for (call, expected, words) in [
        (&["army", "--watch"][..], 2, "--watch works on one figure"),
        (
            &["army", "--set", "Foglight.coat=Oil Amber:1"],
            2,
            "--set works on one figure",
        ),
        (&["empty"], 1, "figure.toml"),
        (&["none.txt"], 1, "names no figure"),
        (&["army", "--shard", "3/2"], 2, "counted from 1 to 2"),
        (&["army", "--shard", "1/2", "--together"], 2, "--together"),
        (&[], 2, "FIGURE.toml"),
    ] {
        let output = desk.run(&[&["render"], call, &["--out", "out"]].concat());
        let reported = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(expected), "{call:?}: {reported}");
        assert!(reported.contains(words), "{call:?}: {reported}");
        assert!(!desk.path("out").exists(), "{call:?} wrote something");
    }
}

#[test]
fn a_killed_run_loses_no_figure_that_was_ready() {
    let desk = desk_with(&["army/a", "army/b", "army/c", "army/d"]);
    // As a run leaves it that was killed after two figures: results of two, and part of a third without its record.
    let first = desk.run(&["render", "army/a", "army/b", "--out", "out"]);
    assert_eq!(first.status.code(), Some(0));
    std::fs::create_dir_all(desk.path("out/c/previews")).unwrap();
    desk.write("out/c/previews/foglight.png", "begun");
    let (value, status) = json(&desk, &["army", "--out", "out", "--resume"]);
    assert_eq!(status, Some(0), "{value}");
    assert_eq!(
        (&value["current"], &value["rendered"]),
        (&2.into(), &2.into())
    );
    let whole = desk.run(&["render", "army", "--out", "whole"]);
    assert_eq!(whole.status.code(), Some(0));
    assert_eq!(
        without_times(tree(&desk.path("whole"))),
        without_times(tree(&desk.path("out")))
    );
}
