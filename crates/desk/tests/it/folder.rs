//! A figure's own folder: it comes onto the desk as it is, and only what was changed goes back.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use serde_json::json;
use velatura::{DiskFiles, session};
use velatura_desk::{Desk, FigureFolder, PutKind, TakeKind};

use crate::{demo_zip, run, unzipped};

/// A folder with the small demo figure, and a desk with its files on it.
fn opened(folder: &Path) -> (FigureFolder, Desk) {
    for (name, bytes) in unzipped(&demo_zip()) {
        let name = Path::new(&name).file_name().unwrap();
        std::fs::write(folder.join(name), bytes).unwrap();
    }
    let mut figure = FigureFolder::of(folder.join("figure.toml"));
    let project = figure.project(&DiskFiles).unwrap();
    let mut desk = Desk::new().unwrap();
    desk.put(PutKind::Kept, "folder.zip", project).unwrap();
    (figure, desk)
}

fn changes(
    figure: &FigureFolder,
    desk: &mut Desk,
) -> Result<BTreeMap<PathBuf, Vec<u8>>, velatura_document::Error> {
    let saved = desk.take(TakeKind::Project, 0, 0).unwrap().bytes;
    let limits = *session().build().unwrap().limits();
    figure.changes(&DiskFiles, &saved, &limits)
}

fn names(changes: &BTreeMap<PathBuf, Vec<u8>>) -> Vec<&str> {
    changes
        .keys()
        .map(|path| path.file_name().unwrap().to_str().unwrap())
        .collect()
}

#[test]
fn only_what_was_changed_goes_back() {
    let scratch = tempfile::tempdir().unwrap();
    let (mut figure, mut desk) = opened(scratch.path());
    assert!(
        changes(&figure, &mut desk).unwrap().is_empty(),
        "nothing was changed"
    );

    run(
        &mut desk,
        json!({"do": "film", "scheme": 0, "coat": 0, "film": 1.5}),
    );
    let changed = changes(&figure, &mut desk).unwrap();
    assert_eq!(names(&changed), ["schemes.toml"]);
    for (path, bytes) in &changed {
        std::fs::write(path, bytes).unwrap();
    }
    figure.saved(&changed);
    assert!(
        changes(&figure, &mut desk).unwrap().is_empty(),
        "it was saved"
    );

    run(&mut desk, json!({"do": "height", "mm": 54.0}));
    assert_eq!(
        names(&changes(&figure, &mut desk).unwrap()),
        ["figure.toml"]
    );
}

#[test]
fn a_change_from_elsewhere_is_not_overwritten() {
    let scratch = tempfile::tempdir().unwrap();
    let (figure, mut desk) = opened(scratch.path());
    run(
        &mut desk,
        json!({"do": "film", "scheme": 0, "coat": 0, "film": 1.5}),
    );
    let schemes = scratch.path().join("schemes.toml");
    let text = std::fs::read_to_string(&schemes).unwrap() + "# a remark\n";
    std::fs::write(&schemes, text).unwrap();
    let error = changes(&figure, &mut desk).unwrap_err();
    let problem = &error.diagnostics()[0];
    assert!(problem.file.ends_with("schemes.toml"), "{problem}");
    assert!(problem.found.contains("another program"), "{problem}");
}

#[test]
fn the_large_photo_stays_and_its_texts_change() {
    let scratch = tempfile::tempdir().unwrap();
    let (_, _) = opened(scratch.path());
    // Three times as large as what the page works on; the mask follows.
    for name in ["lamplighter.jpg", "primed.jpg", "lamplighter-mask.png"] {
        let path = scratch.path().join(name);
        let small = image::open(&path).unwrap();
        let large = small.resize_exact(1600, 2402, image::imageops::FilterType::Nearest);
        large.to_rgb8().save(&path).unwrap();
    }
    let mut figure = FigureFolder::of(scratch.path().join("figure.toml"));
    let project = figure.project(&DiskFiles).unwrap();
    let mut desk = Desk::new().unwrap();
    let view = desk.put(PutKind::Kept, "folder.zip", project).unwrap();
    assert_eq!(view.photo.as_ref().unwrap().height, 1600);
    assert!(
        changes(&figure, &mut desk).unwrap().is_empty(),
        "its paths are the old ones"
    );
    run(
        &mut desk,
        json!({"do": "pooling", "scheme": 0, "coat": 0, "pooling": 0.3}),
    );
    assert_eq!(
        names(&changes(&figure, &mut desk).unwrap()),
        ["schemes.toml"]
    );

    let stroke = json!({"do": "stroke", "part": view.parts[0].name, "erase": false, "radius": 9.0,
        "points": [[500.0, 700.0], [540.0, 900.0]]});
    run(&mut desk, stroke);
    let error = changes(&figure, &mut desk).unwrap_err();
    assert!(
        error.diagnostics()[0].found.contains("smaller copy"),
        "{error}"
    );
}

#[test]
fn parts_that_were_drawn_on_a_small_photo_go_back() {
    let scratch = tempfile::tempdir().unwrap();
    let (figure, mut desk) = opened(scratch.path());
    let part = run(&mut desk, json!({"do": "look"})).parts[0].name.clone();
    let stroke = json!({"do": "stroke", "part": part, "erase": false, "radius": 6.0,
        "points": [[260.0, 350.0], [260.0, 500.0]]});
    run(&mut desk, stroke);
    let changed = changes(&figure, &mut desk).unwrap();
    assert_eq!(names(&changed), ["lamplighter-mask.png", "strokes.png"]);
}

#[test]
fn files_outside_the_folder_do_not_come_onto_the_desk() {
    let scratch = tempfile::tempdir().unwrap();
    let (_, _) = opened(scratch.path());
    let path = scratch.path().join("figure.toml");
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(
        &path,
        text.replace("\"lamplighter.jpg\"", "\"../lamplighter.jpg\""),
    )
    .unwrap();
    let error = FigureFolder::of(&path).project(&DiskFiles).unwrap_err();
    assert!(
        error.diagnostics()[0].found.contains("outside the folder"),
        "{error}"
    );
}
