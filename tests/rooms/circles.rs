//! Within a crate, modules import each other in one direction: what one idea needs of another, it can be read without going back.
//!
//! A module is a file or a folder directly below `src`. Unit tests may import anything.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use velatura_tests::root;

/// Which module imports which.
type Imports = BTreeMap<String, BTreeSet<String>>;

fn rust_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
}

/// The names that follow `prefix` in a source text, comments and unit tests left out.
fn named_after<'a>(text: &'a str, prefix: &str) -> Vec<&'a str> {
    let code = text
        .split("#[cfg(test)]\nmod tests")
        .next()
        .unwrap_or_default();
    let lines = code.lines().map(str::trim_start);
    lines
        .filter(|line| !line.starts_with("//"))
        .flat_map(|line| line.split(prefix).skip(1))
        .map(|rest| {
            let ends = rest.find(|c: char| !c.is_alphanumeric() && c != '_');
            &rest[..ends.unwrap_or(rest.len())]
        })
        .collect()
}

fn imports_of(source: &Path) -> Imports {
    let mut files = Vec::new();
    rust_files(source, &mut files);
    let module = |file: &Path| {
        let first = file.strip_prefix(source).unwrap().components().next();
        let name = first.unwrap().as_os_str().to_str().unwrap();
        name.trim_end_matches(".rs").to_owned()
    };
    let modules: BTreeSet<String> = files.iter().map(|file| module(file)).collect();
    let mut imports = Imports::new();
    for file in &files {
        let own = module(file);
        if own == "lib" || own == "main" {
            continue;
        }
        let text = std::fs::read_to_string(file).unwrap();
        let mut named = named_after(&text, "crate::");
        if file.parent() == Some(source) {
            named.extend(named_after(&text, "super::"));
        }
        let others = named
            .into_iter()
            .filter(|name| *name != own && modules.contains(*name))
            .map(str::to_owned);
        imports.entry(own.clone()).or_default().extend(others);
    }
    imports
}

/// The modules that lead back to themselves.
fn in_circles(imports: &Imports) -> Vec<String> {
    let reached_from = |start: &String| {
        let mut reached: BTreeSet<&String> = BTreeSet::new();
        let mut next: Vec<&String> = imports[start].iter().collect();
        while let Some(module) = next.pop() {
            if reached.insert(module) {
                next.extend(imports.get(module).into_iter().flatten());
            }
        }
        reached
    };
    let modules = imports.keys();
    modules
        .filter(|module| reached_from(module).contains(module))
        .cloned()
        .collect()
}

#[test]
fn no_module_imports_itself_through_others() {
    let mut sources: Vec<PathBuf> = std::fs::read_dir(root().join("crates"))
        .unwrap()
        .map(|entry| entry.unwrap().path().join("src"))
        .collect();
    sources.sort();
    assert_eq!(sources.len(), 20, "{sources:?}");
    let found: Vec<(PathBuf, Vec<String>)> = sources
        .into_iter()
        .map(|source| {
            let circle = in_circles(&imports_of(&source));
            (source, circle)
        })
        .filter(|(_, circle)| !circle.is_empty())
        .collect();
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn a_circle_would_be_seen() {
    let one = |name: &str, others: &[&str]| {
        let others = others.iter().map(|&other| other.to_owned()).collect();
        (name.to_owned(), others)
    };
    let imports = Imports::from([one("a", &["b"]), one("b", &["c"]), one("c", &["b"])]);
    assert_eq!(in_circles(&imports), ["b", "c"]);
    let code =
        "use crate::alpha::A;\n// crate::beta\n#[cfg(test)]\nmod tests { use crate::gamma; }";
    assert_eq!(named_after(code, "crate::"), ["alpha"]);
}
