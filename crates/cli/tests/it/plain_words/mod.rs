//! Help pages, messages, doc comments and documents are plain English: none has a word of the list in `words.rs`.
//!
//! In: every help page of the command, string literals and doc comments of all crates, and the documents.

mod words;

use std::process::Command;

use velatura_tests::root;
use velatura_tests::source_text::{doc_comments, literals, rust_files};
use words::{AVOID, COUNTED};

/// Documents of the root and of `docs`.
const DOCUMENTS: [&str; 12] = [
    "README.md",
    "DEVELOPERS.md",
    "CHANGELOG.md",
    "BENCHMARKS.md",
    "docs/desk.md",
    "docs/guide.md",
    "docs/regions.md",
    "docs/files.md",
    "docs/materials.md",
    "docs/many.md",
    "docs/mixtures.md",
    "docs/python.md",
];

/// A text as prose: without code, in lower case, with single spaces.
fn prose(text: &str) -> String {
    // A line of a literal that continues in the next, and line breaks in it.
    let text = text.replace("\\\n", "").replace("\\n", " ");
    let mut plain = String::new();
    let mut in_block = false;
    for line in text.lines() {
        let fence = line.trim_start().starts_with("```");
        in_block ^= fence;
        if !in_block && !fence {
            plain += line;
            plain.push(' ');
        }
    }
    let outside_code: String = plain.split('`').step_by(2).collect::<Vec<_>>().join(" ");
    let words: Vec<&str> = outside_code.split_whitespace().collect();
    words.join(" ").to_lowercase()
}

fn is_part_of_word(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// Where a phrase is in a text, at word boundaries.
fn places<'a>(text: &'a str, phrase: &'a str) -> impl Iterator<Item = usize> + 'a {
    text.match_indices(phrase).map(|(at, _)| at).filter(|at| {
        !text[..*at].ends_with(is_part_of_word)
            && !text[at + phrase.len()..].starts_with(is_part_of_word)
    })
}

/// The phrases to avoid in a text, with what to write instead.
fn faults(text: &str) -> Vec<String> {
    let text = prose(text);
    let context = |at: usize| -> String {
        let before: Vec<char> = text[..at].chars().rev().take(40).collect();
        let after = text[at..].chars().take(60);
        before.into_iter().rev().chain(after).collect()
    };
    let phrases = AVOID.iter().flat_map(|(phrase, instead)| {
        places(&text, phrase).map(move |at| (*phrase, (*instead).to_owned(), at))
    });
    let phrases: Vec<(&str, String, usize)> = phrases.collect();
    let mut found: Vec<String> = phrases
        .into_iter()
        .map(|(phrase, instead, at)| {
            format!("\"{phrase}\" (write: {instead}) in \"{}\"", context(at))
        })
        .collect();
    for noun in COUNTED {
        for at in places(&text, &format!("1 {noun}s")) {
            // A decimal such as 0.1, or a range.
            if !text[..at].ends_with(['.', ',', '…', '-', '–', '/']) {
                found.push(format!(
                    "\"1 {noun}s\" (write: 1 {noun}) in \"{}\"",
                    context(at)
                ));
            }
        }
    }
    found
}

fn help(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_velatura"))
        .args(arguments)
        .output()
        .unwrap();
    assert!(output.status.success(), "{arguments:?}");
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn every_help_page_is_plain() {
    let first = help(&["--help"]);
    let list = first.split_once("Commands:\n").unwrap().1;
    let commands: Vec<&str> = list
        .lines()
        .take_while(|line| !line.is_empty())
        // Further lines of a long sentence begin farther to the right.
        .filter_map(|line| {
            line.strip_prefix("  ")
                .filter(|line| !line.starts_with(' '))
        })
        .filter_map(|line| line.split_whitespace().next())
        .filter(|name| *name != "help")
        .collect();
    assert!(commands.len() >= 12, "{commands:?}");
    let mut wrong: Vec<String> = faults(&first);
    for command in commands {
        for page in [help(&["help", command]), help(&[command, "-h"])] {
            assert!(page.contains("Usage:"), "{page}");
            let found = faults(&page).into_iter();
            wrong.extend(found.map(|fault| format!("velatura help {command}: {fault}")));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_message_and_doc_comment_is_plain() {
    let mut files = rust_files(&root().join("shaders"));
    for entry in std::fs::read_dir(root().join("crates")).unwrap() {
        files.extend(rust_files(&entry.unwrap().path().join("src")));
    }
    assert!(files.len() > 200, "{} files", files.len());
    let mut text_count = 0;
    let mut wrong = Vec::new();
    for file in &files {
        let source = std::fs::read_to_string(file).unwrap();
        let texts = [literals(&source), doc_comments(&source)].concat();
        text_count += texts.len();
        let place = file.strip_prefix(root()).unwrap().display();
        let found = texts.iter().flat_map(|text| faults(text));
        wrong.extend(found.map(|fault| format!("{place}: {fault}")));
    }
    assert!(text_count > 5000, "{text_count} texts");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_document_is_plain() {
    let mut wrong = Vec::new();
    for name in DOCUMENTS {
        let text = std::fs::read_to_string(root().join(name)).unwrap();
        assert!(prose(&text).len() > 500, "{name} has no prose");
        wrong.extend(faults(&text).iter().map(|fault| format!("{name}: {fault}")));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Must fail: every phrase of the list in a sentence, and a plural after 1. Must pass: words that only contain a phrase, and
/// code.
#[test]
fn a_word_to_avoid_is_found_and_nothing_else() {
    for (phrase, instead) in AVOID {
        assert_eq!(*phrase, phrase.to_lowercase(), "lists are in lower case");
        assert!(!instead.is_empty(), "{phrase}: nothing to write instead");
        let text = format!("So it {},\nand so on.", phrase.to_uppercase());
        let found = faults(&text);
        assert!(
            found
                .iter()
                .any(|fault| fault.contains(&format!("\"{phrase}\""))),
            "{phrase}: {found:?}"
        );
    }
    assert_eq!(faults("the problem\\nis told").len(), 1);
    assert_eq!(faults("how results are \\\n         told").len(), 1);
    assert_eq!(faults("There are 1 schemes on it").len(), 1);
    for fine in [
        "besides, it was retold; a mender mends",
        "the field `told` and the function `tells`",
        "```\nlet told = 1;\n```",
        "1 scheme, 11 schemes, 0.1 parts, a…1 values",
    ] {
        assert_eq!(faults(fine), Vec::<String>::new(), "{fine}");
    }
}
