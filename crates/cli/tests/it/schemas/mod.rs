//! The checked-in JSON Schemas equal those from the code.

use velatura_pipeline::{figure, optics, scheme};
use velatura_tests::root;

#[test]
fn checked_in_schemas_are_current() {
    let update = std::env::var("VELATURA_UPDATE").is_ok_and(|what| what == "schemas");
    for (name, schema) in [
        ("figure", figure::json_schema()),
        ("layout", velatura_swatch::layout_json_schema()),
        ("paints", optics::paints_file::json_schema()),
        ("schemes", scheme::json_schema()),
    ] {
        let path = root().join(format!("crates/cli/schemas/{name}.schema.json"));
        let text = serde_json::to_string_pretty(&schema).unwrap() + "\n";
        if update {
            std::fs::write(&path, &text).unwrap();
        }
        let checked_in = std::fs::read_to_string(&path)
            .unwrap_or_default()
            .replace("\r\n", "\n");
        assert!(
            checked_in == text,
            "{} is out of date; write it with VELATURA_UPDATE=schemas cargo test -p velatura-cli --test schemas",
            path.display()
        );
    }
    assert!(
        !update,
        "the schemas were rewritten: look at the change, then run without VELATURA_UPDATE"
    );
}
