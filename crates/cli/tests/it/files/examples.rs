//! The complete examples of the reference page: they have every key, their readers and schemas accept them, and they fit each
//! other. So do the demo's files.

use std::collections::BTreeSet;

use velatura_document::{SourceText, json_schema};
use velatura_pipeline::figure::read_figure_file;
use velatura_pipeline::optics::calibrate::calibrate;
use velatura_pipeline::optics::paints_file::read_paints_file;
use velatura_pipeline::scheme::{read_schemes_file, resolve};
use velatura_tests::root;

use super::KINDS;
use super::declared::{all_keys, keys_in, name_of};

#[test]
fn every_declared_key_is_in_its_example_and_the_example_is_right() {
    for kind in &KINDS {
        let name = kind.file.name;
        let (read, problems) = (kind.read)(&SourceText::new(name, kind.file.example));
        assert!(read && problems.is_empty(), "{name}: {problems:#?}");
        let document: toml::Value = toml::from_str(kind.file.example).unwrap();
        let schema = jsonschema::validator_for(&json_schema(kind.file)).unwrap();
        let json = serde_json::to_value(&document).unwrap();
        let valid = schema.validate(&json);
        assert!(valid.is_ok(), "{name}: {valid:?}");

        let in_example: BTreeSet<String> = keys_in(&document, kind.file.top)
            .iter()
            .map(name_of)
            .collect();
        let declared: BTreeSet<String> = all_keys(kind.file.top, "").into_iter().collect();
        // A table that is used twice need not be complete twice.
        let table_and_key = |name: &str| {
            let mut steps = name.rsplit('.');
            let key = steps.next().map(str::to_owned);
            (steps.next().map(str::to_owned), key)
        };
        let shown: BTreeSet<_> = in_example.iter().map(|name| table_and_key(name)).collect();
        let missing: Vec<&String> = declared
            .iter()
            .filter(|name| !shown.contains(&table_and_key(name)))
            .collect();
        assert!(
            missing.is_empty() && declared.len() >= 5,
            "{name}: the example lacks {missing:?}"
        );
    }
}

#[test]
fn the_example_of_each_key_is_a_value_that_it_may_hold() {
    let mut tried = 0;
    for kind in &KINDS {
        let schema = jsonschema::validator_for(&json_schema(kind.file)).unwrap();
        let document: toml::Value = toml::from_str(kind.file.example).unwrap();
        for found in keys_in(&document, kind.file.top) {
            let example = found.field.example();
            if example.is_empty() {
                continue;
            }
            let mut document = document.clone();
            let line: toml::Table = toml::from_str(&format!("x = {example}")).unwrap();
            *found.value(&mut document) = line["x"].clone();
            let json = serde_json::to_value(&document).unwrap();
            let valid = schema.validate(&json);
            assert!(valid.is_ok(), "{} = {example}: {valid:?}", name_of(&found));
            tried += 1;
        }
    }
    assert!(tried >= 100, "{tried}");
}

#[test]
fn the_examples_fit_each_other() {
    let example = |index: usize| {
        let file = KINDS[index].file;
        SourceText::new(file.name, file.example)
    };
    let figure = read_figure_file(&example(0)).unwrap().value;
    let paints = read_paints_file(&example(1)).unwrap().value;
    let schemes = read_schemes_file(&example(2)).unwrap().value;
    let (paints, problems) = calibrate(&paints).into_parts();
    assert!(problems.iter().all(|one| !one.is_error()), "{problems:?}");
    let regions = figure.region_names();
    let resolved = resolve(&schemes, &regions, "figure.toml", &paints, "paints.toml").unwrap();
    assert_eq!(resolved.len(), 1);
    // Must fail: a figure with other regions.
    assert!(
        resolve(
            &schemes,
            &regions[1..],
            "figure.toml",
            &paints,
            "paints.toml"
        )
        .is_err()
    );
}

#[test]
fn the_schemas_accept_the_files_of_the_demo() {
    let mut read = 0;
    for (path, kind) in [
        ("lamplighter/figure.toml", 0),
        ("lamplighter/paints.toml", 1),
        ("lamplighter/schemes.toml", 2),
        ("reedwarden/figure.toml", 0),
        ("reedwarden/paints.toml", 1),
        ("reedwarden/schemes.toml", 2),
        ("card/layout.toml", 3),
    ] {
        let text = std::fs::read_to_string(root().join("demo_images").join(path)).unwrap();
        let document: toml::Value = toml::from_str(&text).unwrap();
        let document = serde_json::to_value(document).unwrap();
        let schema = jsonschema::validator_for(&json_schema(KINDS[kind].file)).unwrap();
        let valid = schema.validate(&document);
        assert!(valid.is_ok(), "{path}: {valid:?}");
        // Must fail: the schema of another kind of file.
        let other = jsonschema::validator_for(&json_schema(KINDS[(kind + 1) % 4].file)).unwrap();
        assert!(!other.is_valid(&document), "{path}");
        read += 1;
    }
    assert_eq!(read, 7);
}
