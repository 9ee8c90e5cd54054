//! The checked-in schemas and the reference page are those that the code gives.

use std::fmt::Write as _;

use velatura_document::{json_schema, reference_page};
use velatura_pipeline::figure::Material;
use velatura_tests::root;

use super::KINDS;
use crate::desk::Desk;

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

#[test]
fn the_guide_has_the_measured_table_and_its_commands_exist() {
    const BEGIN: &str = "<!-- the table of crates/optics/data/trust.md -->\n";
    const END: &str = "<!-- end of the table -->";
    let guide = std::fs::read_to_string(root().join("docs/guide.md")).unwrap();
    let table = std::fs::read_to_string(root().join("crates/optics/data/trust.md")).unwrap();
    let (before, rest) = guide.split_once(BEGIN).expect("the table begins");
    let (_, after) = rest.split_once(END).expect("the table ends");
    let wanted = format!("{before}{BEGIN}{}\n{END}{after}", table.trim_end());
    is_current("docs/guide.md", &wanted, "guide-table");
    fails_after_update("guide-table");

    let mut commands = 0;
    for line in guide.replace('`', "\n").lines().map(str::trim) {
        let mut words = line.split_whitespace();
        if words.next() != Some("velatura") {
            continue;
        }
        let Some(name) = words.next().filter(|name| !name.starts_with('-')) else {
            continue;
        };
        let help = Desk::empty().run(&[name, "--help"]);
        assert!(help.status.success(), "{line}");
        let help = String::from_utf8(help.stdout).unwrap();
        for option in words.filter(|word| word.starts_with("--")) {
            assert!(help.contains(option), "{line}: {option}");
            commands += 1;
        }
    }
    assert!(commands > 10, "{commands} options in the guide's commands");
}

#[test]
fn the_page_of_materials_is_current_and_the_readme_links_to_it() {
    let mut page = include_str!("materials.md").to_owned();
    page += "\n| `is` | L\\* | chroma | hue | words in names |\n| --- | --- | --- | --- | --- |\n";
    for material in Material::ALL {
        let words = material.words_in_names().join(", ");
        if material.natural().is_empty() {
            let _ = writeln!(
                page,
                "| `{}` | any | any | any | {words} |",
                material.word()
            );
        }
        for (row, range) in material.natural().iter().enumerate() {
            let (name, words) = match row {
                0 => (format!("`{}`", material.word()), words.as_str()),
                _ => (String::from("or"), ""),
            };
            let of = |[least, most]: [f64; 2]| format!("{least} to {most}");
            let hue = match range.hue {
                [0.0, 360.0] => "any".to_owned(),
                hue => of(hue) + "°",
            };
            let (lightness, chroma) = (of(range.lightness), of(range.chroma));
            let _ = writeln!(
                page,
                "| {name} | {lightness} | {chroma} | {hue} | {words} |"
            );
        }
    }
    is_current("docs/materials.md", &page, "files");
    fails_after_update("files");
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    assert!(readme.contains("](docs/materials.md)"));
}
