//! Libraries name no option and no subcommand of the command: their hints are data (`Hint`), and only the command knows
//! how its user follows them.

use std::path::{Path, PathBuf};

use velatura_tests::root;

/// The crates that know the command: the command, and what only tests use.
const KNOW_THE_COMMAND: [&str; 2] = ["cli", "testkit"];

/// String literals of a Rust source, without its unit tests.
fn literals(source: &str) -> Vec<String> {
    let source = source.split("#[cfg(test)]").next().unwrap_or_default();
    let mut found = Vec::new();
    let mut rest = source;
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

/// Whether a text names an option (`--out`) or a subcommand (`` `velatura render ``).
fn names_the_command(text: &str) -> bool {
    let option = text
        .match_indices("--")
        .any(|(at, _)| text[at + 2..].starts_with(|c: char| c.is_ascii_lowercase()));
    option || text.contains("`velatura ")
}

fn rust_files(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            // Unit tests in a separate folder.
            if !path.ends_with("src/tests") {
                rust_files(&path, files);
            }
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            files.push(path);
        }
    }
}

#[test]
fn no_library_names_an_option_or_a_subcommand() {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(root().join("crates")).unwrap() {
        let folder = entry.unwrap().path();
        let name = folder.file_name().unwrap().to_string_lossy().into_owned();
        if folder.is_dir() && !KNOW_THE_COMMAND.contains(&name.as_str()) {
            rust_files(&folder.join("src"), &mut files);
        }
    }
    assert!(files.len() > 100, "{} files", files.len());
    let mut literal_count = 0;
    let mut wrong = Vec::new();
    for file in &files {
        let literals = literals(&std::fs::read_to_string(file).unwrap());
        literal_count += literals.len();
        let named = literals.into_iter().filter(|text| names_the_command(text));
        wrong.extend(named.map(|text| format!("{}: {text}", file.display())));
    }
    assert!(literal_count > 1000, "{literal_count} literals");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    // Schemas are made from the doc comments of libraries.
    for entry in std::fs::read_dir(root().join("crates/cli/schemas")).unwrap() {
        let path = entry.unwrap().path();
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(!names_the_command(&text), "{}", path.display());
    }
}

/// Must fail: sources that name an option or a subcommand, and must not: everything that only looks like it.
#[test]
fn a_named_option_is_found_wherever_the_literal_is() {
    let named = |source: &str| literals(source).iter().any(|text| names_the_command(text));
    for wrong in [
        r#"let a = "choose another --out";"#,
        "let a = r##\"say \"--unit percent\" then\"##;",
        r#"let quote = '"'; let a = "run `velatura devices`";"#,
        r#"let a = "\\"; let b = "a \" --force";"#,
        "fn f<'a>(text: &'a str) { g(\"--film\") }",
    ] {
        assert!(named(wrong), "{wrong}");
    }
    for fine in [
        "/// Whether `--backend gpu` takes it.\nlet a = 1;",
        r#"let a = "a -- b"; let c = '-'; // --out"#,
        "let a = 1; #[cfg(test)] mod tests { const A: &str = \"--out\"; }",
        r#"let a = "velatura-paints/1";"#,
        "let a = '\\''; let b = \"fine\"; let c = '\\u{1b}';",
    ] {
        assert!(!named(fine), "{fine}");
    }
}
