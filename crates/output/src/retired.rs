//! Files of an earlier set that a new one no longer has.
//!
//! In: the folder, a path in it, the inputs and the files of the new set. Out: the file is gone, or it stays because it is not
//! surely one of ours. What cannot be removed stays: it is as it was before.

use std::fs;
use std::path::{Component, Path, PathBuf};

use crate::output_check::is_same_file;

/// Removes a file of an earlier set; `relative` has "/".
pub(crate) fn remove(folder: &Path, relative: &str, inputs: &[PathBuf], written: &[PathBuf]) {
    let Some(target) = plain_file(folder, relative) else {
        return;
    };
    let is_other = |other: &PathBuf| !is_same_file(other, &target);
    if inputs.iter().all(is_other) && written.iter().all(is_other) {
        let _ = fs::remove_file(&target);
    }
}

/// The path of a regular file in the folder; `None` if a link is on the way, or the path leaves the folder.
pub(crate) fn plain_file(folder: &Path, relative: &str) -> Option<PathBuf> {
    let path = Path::new(relative);
    let is_plain = path
        .components()
        .all(|part| matches!(part, Component::Normal(_)));
    if !is_plain || relative.is_empty() {
        return None;
    }
    let target = folder.join(path);
    let mut parents = target
        .ancestors()
        .skip(1)
        .take_while(|parent| *parent != folder);
    let real_folder = |path: &Path| fs::symlink_metadata(path).is_ok_and(|found| found.is_dir());
    let is_file = fs::symlink_metadata(&target).is_ok_and(|found| found.is_file());
    (is_file && parents.all(real_folder)).then_some(target)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{FileSet, FolderSet};

    #[test]
    fn only_the_regular_file_of_that_path_goes() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path().join("out");
        fs::create_dir_all(folder.join("previews")).unwrap();
        let files = [
            "previews/a.png",
            "previews/b.png",
            "previews/input.png",
            "previews/new.png",
        ];
        for file in files {
            fs::write(folder.join(file), "x").unwrap();
        }
        fs::write(place.path().join("outside.png"), "x").unwrap();
        let inputs = [folder.join("previews/input.png")];
        let written = [folder.join("previews/new.png")];
        let outside = place.path().join("outside.png");
        for path in [
            "previews/a.png",
            "previews/input.png",
            "previews/new.png",
            "previews/missing.png",
            "previews",
            "",
            "../outside.png",
            "previews/../../outside.png",
            outside.to_str().unwrap(),
        ] {
            remove(&folder, path, &inputs, &written);
        }
        let there: Vec<bool> = files.map(|file| folder.join(file).exists()).into();
        assert_eq!(there, [false, true, true, true]);
        assert!(outside.exists());
    }

    #[test]
    fn a_retired_file_goes_with_the_commit_and_not_before() {
        let place = tempfile::tempdir().unwrap();
        fs::write(place.path().join("old.png"), "x").unwrap();
        let set = |finish: bool| {
            let set = FolderSet::open(place.path(), &["new.png"], &[]).unwrap();
            let set: Box<dyn FileSet> = Box::new(set);
            set.retire("old.png");
            set.write("new.png", b"y").unwrap();
            assert!(place.path().join("old.png").exists());
            if finish {
                set.commit().unwrap();
            }
        };
        set(false);
        assert!(
            place.path().join("old.png").exists(),
            "work that stopped removes nothing"
        );
        set(true);
        assert!(!place.path().join("old.png").exists());
    }

    #[cfg(unix)]
    #[test]
    fn links_and_what_they_lead_to_stay() {
        use std::os::unix::fs::symlink;
        let place = tempfile::tempdir().unwrap();
        let folder = place.path().join("out");
        fs::create_dir_all(folder.join("previews")).unwrap();
        fs::create_dir(place.path().join("mine")).unwrap();
        let mine = place.path().join("mine/a.png");
        fs::write(&mine, "x").unwrap();
        symlink(&mine, folder.join("previews/a.png")).unwrap();
        remove(&folder, "previews/a.png", &[], &[]);
        assert!(folder.join("previews/a.png").is_symlink() && mine.exists());
        symlink(place.path().join("mine"), folder.join("old")).unwrap();
        remove(&folder, "old/a.png", &[], &[]);
        assert!(mine.exists());
        // A second name of an input is that input.
        let input = place.path().join("photo.png");
        fs::hard_link(&mine, &input).unwrap();
        fs::remove_file(folder.join("previews/a.png")).unwrap();
        fs::hard_link(&mine, folder.join("previews/a.png")).unwrap();
        remove(&folder, "previews/a.png", &[input], &[]);
        assert!(folder.join("previews/a.png").exists());
    }
}
