//! Which figures a call means: figure files, folders that hold some, and lists.

use std::fs;
use std::path::{Path, PathBuf};

use velatura::Error;
use velatura_document::Diagnostic;
use velatura_sheet::distinct_names;

use crate::files::read_text;

/// The usual name of a figure file.
const FIGURE_FILE: &str = "figure.toml";
/// How deep folders are searched; a tree that is deeper was not meant.
const DEEPEST: usize = 8;

/// A figure, and the name of its folder among the results.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Named {
    pub(crate) figure: PathBuf,
    pub(crate) folder: String,
}

/// Whether these paths mean more than one figure file.
pub(crate) fn are_many(paths: &[PathBuf]) -> bool {
    paths.len() > 1 || paths.iter().any(|path| path.is_dir() || is_list(path))
}

fn is_list(path: &Path) -> bool {
    path.extension()
        .is_some_and(|end| end.eq_ignore_ascii_case("txt"))
}

/// All figures, in the order of the paths; those of a folder in the order of their names. Each figure comes once.
///
/// # Errors
/// [`Error::Input`] for a folder without figure files and for a list that cannot be read or is empty.
pub(crate) fn all_of(paths: &[PathBuf]) -> Result<Vec<Named>, Error> {
    let mut figures: Vec<PathBuf> = Vec::new();
    for path in paths {
        let found = if path.is_dir() {
            in_folder(path)?
        } else if is_list(path) {
            in_list(path)?
        } else {
            vec![path.clone()]
        };
        for figure in found {
            if !figures.contains(&figure) {
                figures.push(figure);
            }
        }
    }
    let names: Vec<String> = figures.iter().map(|figure| own_name(figure)).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let folders = distinct_names(&names, "figure");
    Ok(figures
        .into_iter()
        .zip(folders)
        .map(|(figure, folder)| Named { figure, folder })
        .collect())
}

/// The name of a figure's folder, or of the file if that is not the usual one.
fn own_name(figure: &Path) -> String {
    let usual = figure.file_name().is_some_and(|name| name == FIGURE_FILE);
    let folder = figure.parent().and_then(Path::file_name);
    let name = match folder {
        Some(folder) if usual => Some(folder),
        _ => figure.file_stem(),
    };
    name.map_or_else(String::new, |name| name.to_string_lossy().into_owned())
}

fn in_folder(folder: &Path) -> Result<Vec<PathBuf>, Error> {
    let mut found = Vec::new();
    search(folder, DEEPEST, &mut found)?;
    if found.is_empty() {
        let name = folder.display().to_string();
        let problem =
            format!("this is a folder without a file {FIGURE_FILE}, and so are its folders");
        return Err(Error::input(
            Diagnostic::error(name, problem)
                .expected(format!("a folder with one or more {FIGURE_FILE}"))
                .help("name the figure files themselves if they are called differently"),
        ));
    }
    Ok(found)
}

/// Links to folders are not followed: they may lead in circles.
fn search(folder: &Path, depth: usize, found: &mut Vec<PathBuf>) -> Result<(), Error> {
    let unreadable = |error| Error::io(folder.display().to_string(), "listing a folder", error);
    let mut entries = fs::read_dir(folder)
        .and_then(Iterator::collect::<Result<Vec<_>, _>>)
        .map_err(unreadable)?;
    entries.sort_by_key(fs::DirEntry::file_name);
    for entry in entries {
        let kind = entry.file_type().map_err(unreadable)?;
        if kind.is_dir() && depth > 0 {
            search(&entry.path(), depth - 1, found)?;
        } else if entry.file_name() == FIGURE_FILE {
            found.push(entry.path());
        }
    }
    Ok(())
}

/// One figure file in each line, relative to the list's folder. Empty lines and what follows `#` are left out.
fn in_list(list: &Path) -> Result<Vec<PathBuf>, Error> {
    let source = read_text(list)?;
    let folder = list.parent().unwrap_or(Path::new(""));
    let lines = source.text().lines();
    let figures: Vec<PathBuf> = lines
        .map(|line| line.split('#').next().unwrap_or_default().trim())
        .filter(|line| !line.is_empty())
        .map(|line| folder.join(line))
        .collect();
    if figures.is_empty() {
        return Err(Error::input(
            Diagnostic::error(source.name(), "this list names no figure")
                .expected("one figure file in each line")
                .help("add lines such as: lamplighter/figure.toml"),
        ));
    }
    Ok(figures)
}

/// One of several equal shares of the figures, such as 3/40.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Shard {
    index: usize,
    of: usize,
}

impl Shard {
    /// From the command line.
    pub(crate) fn parse(text: &str) -> Result<Self, String> {
        let expected =
            || format!("\"{text}\" is no share; write which one and of how many, such as 3/40");
        let (index, of) = text.split_once('/').ok_or_else(expected)?;
        let (Ok(index), Ok(of)) = (index.parse::<usize>(), of.parse::<usize>()) else {
            return Err(expected());
        };
        if index == 0 || index > of {
            return Err(format!(
                "shares are counted from 1 to {of}, and this is {index}"
            ));
        }
        Ok(Self { index, of })
    }

    /// The figures of this share: every `of`-th one, so that all shares take about as long.
    pub(crate) fn of(self, figures: Vec<Named>) -> Vec<Named> {
        let own = figures.into_iter().skip(self.index - 1);
        own.step_by(self.of).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(count: usize) -> Vec<Named> {
        (0..count)
            .map(|at| Named {
                figure: PathBuf::from(at.to_string()),
                folder: at.to_string(),
            })
            .collect()
    }

    #[test]
    fn shares_are_disjoint_and_together_everything() {
        for (count, of) in [(0, 1), (7, 3), (3, 7), (40, 40)] {
            let mut all: Vec<Named> = (1..=of)
                .flat_map(|index| Shard { index, of }.of(named(count)))
                .collect();
            all.sort_by_key(|one| one.folder.parse::<usize>().unwrap());
            assert_eq!(all, named(count), "{count} in {of} shares");
        }
        assert_eq!(Shard::parse("3/40"), Ok(Shard { index: 3, of: 40 }));
        for wrong in ["", "3", "0/4", "5/4", "a/b", "1/", "-1/3"] {
            assert!(Shard::parse(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_figure_is_named_for_its_folder() {
        assert_eq!(own_name(Path::new("army/reeds/figure.toml")), "reeds");
        assert_eq!(own_name(Path::new("army/reeds-back.toml")), "reeds-back");
        assert_eq!(own_name(Path::new("figure.toml")), "figure");
    }
}
