//! A set of files is complete or missing, and nothing else in the folder changes.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use velatura_document::Error;
use velatura_output::{FolderSet, check_outputs};

const SET: [&str; 4] = [
    "report.json",
    "sheet.png",
    "previews/b.png",
    "previews/a.png",
];

/// Every path below `folder`, sorted, hidden ones too.
fn listing(folder: &Path) -> Vec<String> {
    fn walk(folder: &Path, root: &Path, found: &mut Vec<String>) {
        for entry in fs::read_dir(folder).expect("a folder") {
            let path = entry.expect("readable").path();
            let name = path
                .strip_prefix(root)
                .expect("below it")
                .display()
                .to_string();
            found.push(name.replace('\\', "/"));
            if path.is_dir() {
                walk(&path, root, found);
            }
        }
    }
    let mut found = Vec::new();
    walk(folder, folder, &mut found);
    found.sort();
    found
}

fn write(output: &FolderSet, relative: &str) {
    let mut file = output.begin(relative).expect("begins");
    file.write_all(relative.as_bytes()).expect("is written");
    file.finish().expect("ends");
}

fn refusal<T: std::fmt::Debug>(result: Result<T, Error>) -> String {
    match result {
        Err(error @ Error::Call(_)) => error.to_string(),
        other => panic!("not refused: {other:?}"),
    }
}

#[test]
fn nothing_is_in_place_before_the_commit_and_everything_after() {
    let root = tempfile::tempdir().unwrap();
    let out = root.path().join("deep/out");
    let output = FolderSet::open(&out, &SET, &[]).unwrap();
    for relative in SET {
        write(&output, relative);
    }
    let before = listing(&out);
    assert_eq!(before.len(), 5, "{before:?}");
    for name in before.iter().filter(|name| *name != "previews") {
        let own = name.rsplit('/').next().unwrap();
        assert!(own.starts_with('.') && own.contains("tmp"), "{name}");
    }
    output.commit().unwrap();
    let after = [
        "previews",
        "previews/a.png",
        "previews/b.png",
        "report.json",
        "sheet.png",
    ];
    assert_eq!(listing(&out), after);
    assert_eq!(
        fs::read_to_string(out.join("previews/a.png")).unwrap(),
        "previews/a.png"
    );
}

#[test]
fn dropped_or_abandoned_it_leaves_no_file_and_no_folder_of_its_own() {
    let root = tempfile::tempdir().unwrap();
    let out = root.path().join("deep/out");
    let output = FolderSet::open(&out, &SET, &[]).unwrap();
    write(&output, "sheet.png");
    let unfinished = output.begin("previews/a.png").unwrap();
    assert_eq!(listing(root.path()).len(), 5);
    drop(output);
    assert_eq!(listing(root.path()), Vec::<String>::new());
    drop(unfinished);

    let output = FolderSet::open(&out, &SET, &[]).unwrap();
    let mut unfinished = output.begin("previews/a.png").unwrap();
    std::thread::scope(|scope| scope.spawn(|| output.abandon()).join()).unwrap();
    assert_eq!(listing(root.path()), Vec::<String>::new());
    // The worker may still be writing; it must neither panic nor bring the files back.
    unfinished.write_all(b"more").unwrap();
    unfinished.finish().unwrap();
    assert!(matches!(output.begin("sheet.png"), Err(Error::Machine(_))));
    assert!(matches!(output.commit(), Err(Error::Machine(_))));
    assert_eq!(listing(root.path()), Vec::<String>::new());
}

#[test]
fn files_that_are_not_ours_stay_as_they_are() {
    let root = tempfile::tempdir().unwrap();
    let out = root.path();
    fs::create_dir(out.join("previews")).unwrap();
    for (name, text) in [
        ("notes.txt", "mine"),
        ("previews/old.png", "old"),
        ("sheet.png", "before"),
    ] {
        fs::write(out.join(name), text).unwrap();
    }
    let known = listing(out);
    let output = FolderSet::open(out, &SET, &[]).unwrap();
    write(&output, "sheet.png");
    write(&output, "previews/a.png");
    drop(output);
    assert_eq!(listing(out), known);
    assert_eq!(fs::read_to_string(out.join("sheet.png")).unwrap(), "before");

    let output = FolderSet::open(out, &SET, &[]).unwrap();
    write(&output, "sheet.png");
    output.commit().unwrap();
    assert_eq!(listing(out), known);
    assert_eq!(
        fs::read_to_string(out.join("sheet.png")).unwrap(),
        "sheet.png"
    );
    assert_eq!(fs::read_to_string(out.join("notes.txt")).unwrap(), "mine");
    assert_eq!(
        fs::read_to_string(out.join("previews/old.png")).unwrap(),
        "old"
    );
}

#[test]
fn a_foreign_file_in_a_folder_of_ours_keeps_that_folder() {
    let root = tempfile::tempdir().unwrap();
    let out = root.path().join("out");
    let output = FolderSet::open(&out, &SET, &[]).unwrap();
    write(&output, "previews/a.png");
    fs::write(out.join("note.txt"), "put here meanwhile").unwrap();
    drop(output);
    assert_eq!(listing(root.path()), ["out", "out/note.txt"]);
}

#[test]
fn an_unfinished_file_keeps_the_whole_set_from_its_place() {
    let root = tempfile::tempdir().unwrap();
    let output = FolderSet::open(root.path(), &SET, &[]).unwrap();
    write(&output, "report.json");
    let unfinished = output.begin("sheet.png").unwrap();
    drop(unfinished);
    assert!(refusal(output.commit()).contains("only 1 of 2 files are complete"));
    assert_eq!(listing(root.path()), Vec::<String>::new());
}

#[test]
fn a_rename_that_fails_midway_says_what_is_in_place() {
    let root = tempfile::tempdir().unwrap();
    let out = root.path();
    let output = FolderSet::open(out, &SET, &[]).unwrap();
    write(&output, "sheet.png");
    let hidden = listing(out)
        .into_iter()
        .find(|name| name.starts_with('.'))
        .unwrap();
    for relative in ["report.json", "previews/a.png", "previews/b.png"] {
        write(&output, relative);
    }
    // Someone deletes the sheet's temporary file: it comes after the previews and before the report.
    fs::remove_file(out.join(hidden)).unwrap();
    let message = output.commit().unwrap_err().to_string();
    assert!(message.contains("sheet.png"), "{message}");
    let in_place = "only these were written: ";
    let listed = message.split(in_place).nth(1).unwrap_or_default();
    let a = out.join("previews/a.png").display().to_string();
    let b = out.join("previews/b.png").display().to_string();
    assert_eq!(listed, format!("{a}, {b}"), "{message}");
    assert_eq!(
        listing(out),
        ["previews", "previews/a.png", "previews/b.png"]
    );
}

#[test]
fn an_output_that_is_an_input_is_refused_before_anything_is_made() {
    let root = tempfile::tempdir().unwrap();
    let out = root.path().join("out");
    fs::create_dir(&out).unwrap();
    fs::write(out.join("sheet.png"), "a photo of that name").unwrap();
    fs::write(root.path().join("photo.png"), "another").unwrap();
    let known = listing(root.path());
    let roundabout = root.path().join("out/../out/sheet.png");
    for inputs in [
        vec![out.join("sheet.png")],
        vec![root.path().join("photo.png"), roundabout],
    ] {
        let message = refusal(FolderSet::open(&out, &SET, &inputs));
        assert!(
            message.contains("also an input") && message.contains("sheet.png"),
            "{message}"
        );
    }
    assert_eq!(listing(root.path()), known);
    let others: Vec<PathBuf> = vec![root.path().join("photo.png")];
    check_outputs(&out, &SET, &others).unwrap();
}

#[cfg(unix)]
#[test]
fn an_input_is_known_through_links() {
    let root = tempfile::tempdir().unwrap();
    let out = root.path().join("out");
    fs::create_dir(&out).unwrap();
    let photo = root.path().join("photo.png");
    fs::write(&photo, "light").unwrap();
    fs::hard_link(&photo, out.join("sheet.png")).unwrap();
    std::os::unix::fs::symlink(&photo, out.join("report.json")).unwrap();
    std::os::unix::fs::symlink(&out, root.path().join("alias")).unwrap();
    let inputs = [photo];
    assert!(refusal(check_outputs(&out, &["sheet.png"], &inputs)).contains("also an input"));
    assert!(refusal(check_outputs(&out, &["report.json"], &inputs)).contains("also an input"));
    fs::write(out.join("plain.png"), "light").unwrap();
    check_outputs(&out, &["plain.png"], &inputs).unwrap();
    let through = [out.join("plain.png")];
    let alias = root.path().join("alias");
    assert!(refusal(check_outputs(&alias, &["plain.png"], &through)).contains("also an input"));
}

#[test]
fn what_stands_in_the_way_is_named_before_work_begins() {
    let root = tempfile::tempdir().unwrap();
    let out = root.path().join("out");
    fs::create_dir_all(out.join("sheet.png")).unwrap();
    assert!(refusal(FolderSet::open(&out, &SET, &[])).contains("sheet.png: this is a folder"));

    let file = root.path().join("file");
    fs::write(&file, "").unwrap();
    for folder in [file.clone(), file.join("below")] {
        let message = refusal(FolderSet::open(&folder, &SET, &[]));
        assert!(
            message.contains("this is a file, not a folder"),
            "{message}"
        );
    }
    fs::write(out.join("previews"), "").unwrap();
    let message = refusal(FolderSet::open(&out, &["previews/a.png"], &[]));
    assert!(message.contains("previews: this is a file"), "{message}");
    for astray in ["../a.png", "/a.png", "", "a/../../b.png"] {
        assert!(
            refusal(check_outputs(&out, &[astray], &[])).contains("leaves the folder"),
            "{astray}"
        );
    }
    let twice = FolderSet::open(&root.path().join("new"), &[], &[]).unwrap();
    let _first = twice.begin("a.png").unwrap();
    assert!(refusal(twice.begin("a.png")).contains("twice"));
}

#[cfg(unix)]
#[test]
fn files_in_place_have_the_permissions_of_any_new_file() {
    use std::os::unix::fs::PermissionsExt;
    let root = tempfile::tempdir().unwrap();
    let usual = root.path().join("usual");
    fs::write(&usual, "").unwrap();
    let output = FolderSet::open(root.path(), &["sheet.png"], &[]).unwrap();
    write(&output, "sheet.png");
    output.commit().unwrap();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode();
    assert_eq!(mode(&root.path().join("sheet.png")), mode(&usual));
}
