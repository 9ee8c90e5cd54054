//! The checked-in schemas and the reference page are those that the code gives.

use velatura_document::{json_schema, reference_page};
use velatura_tests::root;

use super::KINDS;

/// Compares a file of the repository with what it should be. With `VELATURA_UPDATE={what}` it is written anew, and the test
/// fails, so that nobody updates it unseen.
fn is_current(path: &str, text: &str, what: &str) {
    let update = std::env::var("VELATURA_UPDATE").is_ok_and(|wanted| wanted == what);
    let full = root().join(path);
    if update {
        std::fs::create_dir_all(full.parent().unwrap()).unwrap();
        std::fs::write(&full, text).unwrap();
    }
    let checked_in = std::fs::read_to_string(&full)
        .unwrap_or_default()
        .replace("\r\n", "\n");
    assert!(
        checked_in == text,
        "{path} is out of date; write it with VELATURA_UPDATE={what} cargo test -p velatura-cli --test it files"
    );
}

fn fails_after_update(what: &str) {
    assert!(
        std::env::var("VELATURA_UPDATE").map_or(true, |wanted| wanted != what),
        "the {what} were written anew: look at the change, then run without VELATURA_UPDATE"
    );
}

#[test]
fn checked_in_schemas_are_current() {
    for kind in &KINDS {
        let text = serde_json::to_string_pretty(&json_schema(kind.file)).unwrap() + "\n";
        let path = format!("crates/cli/schemas/{}.schema.json", kind.schema);
        is_current(&path, &text, "schemas");
    }
    fails_after_update("schemas");
}

#[test]
fn the_reference_page_is_current_and_the_readme_links_to_it() {
    let files = KINDS.map(|kind| kind.file);
    let page = reference_page(include_str!("introduction.md"), &files);
    is_current("docs/files.md", &page, "files");
    fails_after_update("files");
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    assert!(readme.contains("](docs/files.md)"));
}
