//! The texts of a Rust source: its string literals and its doc comments. For tests that check wording.
//!
//! In: the source. Out: its texts, without unit tests. This is not a full parser: it knows comments, strings and characters,
//! which is enough for our own sources.

use std::path::{Path, PathBuf};

/// The source up to its unit tests.
#[must_use]
pub fn without_unit_tests(source: &str) -> &str {
    source
        .split("#[cfg(test)]\nmod tests")
        .next()
        .unwrap_or_default()
}

/// String literals of a source as they are written, without its unit tests.
///
/// # Panics
/// If a string does not end.
#[must_use]
pub fn literals(source: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut rest = without_unit_tests(source);
    while let Some(at) = rest.find(['"', '\'', '/']) {
        let before = &rest[..at];
        rest = &rest[at..];
        if rest.starts_with("//") {
            rest = &rest[rest.find('\n').unwrap_or(rest.len())..];
        } else if rest.starts_with("/*") {
            rest = rest.split_once("*/").map_or("", |(_, after)| after);
        } else if rest.starts_with('"') {
            let hashes = before.len() - before.trim_end_matches('#').len();
            let is_raw = before[..before.len() - hashes].ends_with('r');
            let end = format!("\"{}", "#".repeat(hashes));
            let (literal, after) = if is_raw {
                rest[1..].split_once(&end).expect("a raw text ends")
            } else {
                plain(&rest[1..])
            };
            found.push(literal.to_owned());
            rest = after;
        } else if let Some(length) = character(rest) {
            rest = &rest[length..];
        } else {
            rest = &rest[1..];
        }
    }
    found
}

/// A literal up to its quotation mark, and what follows.
fn plain(text: &str) -> (&str, &str) {
    let mut escaped = false;
    let end = text.find(|c| {
        let ends = c == '"' && !escaped;
        escaped = c == '\\' && !escaped;
        ends
    });
    let end = end.expect("a text ends");
    (&text[..end], &text[end + 1..])
}

/// The bytes of a character literal, if this is one and not a lifetime.
fn character(text: &str) -> Option<usize> {
    let inside = text.strip_prefix('\'')?;
    if inside.starts_with('\\') {
        return Some(3 + inside[2..].find('\'')?);
    }
    let length = inside.chars().next()?.len_utf8();
    inside[length..].starts_with('\'').then_some(length + 2)
}

/// Doc comments of a source, one text for each block of lines, without its unit tests.
#[must_use]
pub fn doc_comments(source: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    let mut in_block = false;
    for line in without_unit_tests(source).lines() {
        let line = line.trim_start();
        let text = line
            .strip_prefix("///")
            .or_else(|| line.strip_prefix("//!"));
        match (text, found.last_mut()) {
            (Some(text), Some(block)) if in_block => {
                block.push('\n');
                block.push_str(text);
            }
            (Some(text), _) => found.push(text.to_owned()),
            (None, _) => {}
        }
        in_block = text.is_some();
    }
    found
}

/// All Rust files below a folder, without the unit tests that are in folders called `tests`.
///
/// # Panics
/// If a folder cannot be read.
#[must_use]
pub fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    let entries =
        std::fs::read_dir(folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    for entry in entries {
        let path = entry.expect("an entry can be read").path();
        if path.is_dir() {
            if !path.ends_with("tests") {
                files.extend(rust_files(&path));
            }
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            files.push(path);
        }
    }
    files.sort();
    files
}
