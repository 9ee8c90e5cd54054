//! Libraries name no option and no subcommand of the command: their hints are data (`Hint`), and only the command knows
//! how its user follows them.

use velatura_tests::root;
use velatura_tests::source_text::{literals, rust_files};

/// The crates that know the command: the command, and what only tests use.
const KNOW_THE_COMMAND: [&str; 2] = ["cli", "testkit"];

/// Whether a text names an option (`--out`) or a subcommand (`` `velatura render ``).
fn names_the_command(text: &str) -> bool {
    let option = text
        .match_indices("--")
        .any(|(at, _)| text[at + 2..].starts_with(|c: char| c.is_ascii_lowercase()));
    option || text.contains("`velatura ")
}

#[test]
fn no_library_names_an_option_or_a_subcommand() {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(root().join("crates")).unwrap() {
        let folder = entry.unwrap().path();
        let name = folder.file_name().unwrap().to_string_lossy().into_owned();
        if folder.is_dir() && !KNOW_THE_COMMAND.contains(&name.as_str()) {
            files.extend(rust_files(&folder.join("src")));
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
        "let a = 1;\n#[cfg(test)]\nmod tests { const A: &str = \"--out\"; }",
        r#"let a = "velatura-paints/1";"#,
        "let a = '\\''; let b = \"fine\"; let c = '\\u{1b}';",
    ] {
        assert!(!named(fine), "{fine}");
    }
}
