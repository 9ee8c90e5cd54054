//! Tables of stages against their schemas: the whole message of every kind of mistake.
//!
//! What each keyword means is JSON Schema, draft 2020-12 (validation vocabulary), from memory; the words are our own.

use serde_json::{Value, json};
use velatura_document::Diagnostic;
use velatura_document::SourceText;
use velatura_document::StageTable;
use velatura_pipeline::parameters::{Judge, Parameters, defaults, schema_problem};
use velatura_pipeline::scheme::read_schemes_file;

fn dust() -> Value {
    json!({
        "type": "object",
        "properties": {
            "amount": { "type": "number", "minimum": 0, "maximum": 1, "default": 0.4, "description": "how much of it lies" },
            "tint": { "type": "string", "pattern": "^#[0-9a-f]{6}$", "default": "#b8a98a" },
            "where": { "enum": ["all", "raised", "upper"], "default": "raised" },
            "seed": { "type": "integer", "minimum": 1 },
            "layers": { "type": "array", "items": { "type": "number", "exclusiveMinimum": 0 }, "maxItems": 3 },
            "wet": { "type": "boolean" },
            "wind": { "type": "object", "properties": { "from": { "type": "number" } }, "required": ["from"], "additionalProperties": false }
        }
    })
}

fn table(text: &str) -> Result<StageTable, Vec<Diagnostic>> {
    let text =
        format!("format = \"velatura-schemes/1\"\n{text}\n[[scheme]]\nname = \"Foglight\"\n");
    let source = SourceText::from_bytes("schemes.toml", text.into_bytes()).unwrap();
    read_schemes_file(&source).map(|mut file| file.value.stages.remove(0))
}

fn judged(schema: &Value, text: &str) -> Result<Parameters, String> {
    table(text)
        .and_then(|table| Judge::new(schema).unwrap().checked(&table))
        .map_err(|problems| {
            let errors = problems.iter().filter(|problem| problem.is_error());
            let reported: Vec<String> = errors.map(ToString::to_string).collect();
            reported.join("\n")
        })
}

#[test]
fn defaults_are_filled_in_and_what_is_given_stays() {
    let given = judged(
        &dust(),
        "[stage.dust]\namount = 1\nseed = 2.0\nlayers = [0.5, 1]",
    )
    .unwrap();
    assert_eq!(given.number("amount"), Some(1.0));
    assert_eq!(given.whole("seed"), Some(2));
    assert_eq!(given.text("tint"), Some("#b8a98a"));
    assert_eq!(given.flag("wet"), None);
    assert_eq!(
        given.to_json(),
        r##"{"amount":1,"layers":[0.5,1],"seed":2.0,"tint":"#b8a98a","where":"raised"}"##
    );
    let none = defaults(&dust()).unwrap();
    assert_eq!(
        none.to_json(),
        r##"{"amount":0.4,"tint":"#b8a98a","where":"raised"}"##
    );
}

#[test]
fn every_slip_has_its_place_and_what_the_schema_asks_for() {
    let cases = [
        (
            "amount = 3",
            "error: schemes.toml:3:10: `amount` is the number 3
   | amount = 3
   |          ^
  in: [stage.dust]
  expected: a number from 0 to 1 (how much of it lies)",
        ),
        (
            "amuont = 0.3",
            "error: schemes.toml:3:1: unknown key `amuont`
   | amuont = 0.3
   | ^^^^^^
  in: [stage.dust]
  expected: amount, layers, seed, tint, wet, where or wind
  help: did you mean `amount`?",
        ),
        (
            "tint = \"ochre\"",
            "error: schemes.toml:3:8: `tint` is the text \"ochre\"
   | tint = \"ochre\"
   |        ^^^^^^^
  in: [stage.dust]
  expected: a text like ^#[0-9a-f]{6}$",
        ),
        (
            "where = \"uper\"",
            "error: schemes.toml:3:9: `where` is the text \"uper\"
   | where = \"uper\"
   |         ^^^^^^
  in: [stage.dust]
  expected: \"all\", \"raised\" or \"upper\"
  help: did you mean \"upper\"?",
        ),
        (
            "seed = 1.5",
            "error: schemes.toml:3:8: `seed` is the number 1.5
   | seed = 1.5
   |        ^^^
  in: [stage.dust]
  expected: a whole number of 1 or more",
        ),
        (
            "layers = [0.5, 0]",
            "error: schemes.toml:3:16: value 2 of `layers` is the number 0
   | layers = [0.5, 0]
   |                ^
  in: [stage.dust]
  expected: a number above 0",
        ),
        (
            "layers = [1, 1, 1, 1]",
            "error: schemes.toml:3:10: `layers` is a list of 4 values
   | layers = [1, 1, 1, 1]
   |          ^^^^^^^^^^^^
  in: [stage.dust]
  expected: a list of at most 3 values, each a number above 0",
        ),
        (
            "wet = \"yes\"",
            "error: schemes.toml:3:7: `wet` is the text \"yes\"
   | wet = \"yes\"
   |       ^^^^^
  in: [stage.dust]
  expected: true or false",
        ),
        (
            "wind = {}",
            "error: schemes.toml:3:8: `from` is missing
   | wind = {}
   |        ^^
  in: [stage.dust]
  expected: a number
  help: add `from`",
        ),
        (
            "wind = { from = 1, force = 2 }",
            "error: schemes.toml:3:20: unknown key `force`
   | wind = { from = 1, force = 2 }
   |                    ^^^^^
  in: [stage.dust]
  expected: from
  help: remove it",
        ),
        (
            "seed = 2026-11-26",
            "error: schemes.toml:3:8: this is a date
   | seed = 2026-11-26
   |        ^^^^^^^^^^
  in: [stage.dust]
  expected: a text, a finite number of 64 bits, true or false, a list or a table",
        ),
        (
            "amount = nan",
            "error: schemes.toml:3:10: this is the number nan
   | amount = nan
   |          ^^^
  in: [stage.dust]
  expected: a text, a finite number of 64 bits, true or false, a list or a table",
        ),
    ];
    for (line, expected) in cases {
        let found = judged(&dust(), &format!("[stage.dust]\n{line}")).unwrap_err();
        assert_eq!(found.trim_end(), expected, "{line}");
    }
}

#[test]
fn all_slips_come_at_once_in_the_order_of_the_file() {
    let found = judged(&dust(), "[stage.dust]\nwet = 1\nsed = 1\namount = -1").unwrap_err();
    let places: Vec<&str> = found
        .lines()
        .filter_map(|line| line.strip_prefix("error: schemes.toml:"))
        .map(|line| &line[..1])
        .collect();
    assert_eq!(places, ["3", "4", "5"], "{found}");
}

#[test]
fn a_stage_without_parameters_takes_none_and_an_open_one_takes_any() {
    let found = judged(&json!({}), "[stage.three-planes]\nmore = 1").unwrap_err();
    assert!(
        found.contains("nothing: \"three-planes\" takes no parameters"),
        "{found}"
    );
    assert!(judged(&json!({}), "[stage.three-planes]").is_ok());
    let open = json!({ "type": "object", "additionalProperties": { "type": "number" } });
    assert!(judged(&open, "[stage.any]\nmore = 1").is_ok());
    assert!(judged(&open, "[stage.any]\nmore = \"1\"").is_err());
}

#[test]
fn a_parameter_that_must_be_given_is_missed() {
    let schema = json!({ "type": "object", "required": ["paint"], "properties": { "paint": { "type": "string", "description": "the paint to begin with" } } });
    let found = judged(&schema, "[stage.triads]").unwrap_err();
    assert!(found.starts_with("error: schemes.toml:2:"), "{found}");
    assert!(
        found.contains("`paint` is missing") && found.contains("a text (the paint to begin with)"),
        "{found}"
    );
    let found = defaults(&schema).unwrap_err();
    assert_eq!(found[0].found, "the parameter `paint` is missing");
}

#[test]
fn references_within_the_schema_are_followed() {
    let schema = json!({
        "type": "object",
        "properties": { "amount": { "$ref": "#/$defs/share" } },
        "$defs": { "share": { "type": "number", "maximum": 1 } }
    });
    assert!(schema_problem(&schema).is_none());
    let found = judged(&schema, "[stage.dust]\namount = 2").unwrap_err();
    assert!(found.contains("expected: a number up to 1"), "{found}");
}

#[test]
fn schemas_that_cannot_be_used_are_refused() {
    let mut deep = json!({ "type": "number" });
    for _ in 0..40 {
        deep = json!({ "allOf": [deep] });
    }
    let cases = [
        (json!([]), "no JSON object"),
        (
            json!({ "type": "string" }),
            "does not say \"type\": \"object\"",
        ),
        (
            json!({ "type": "object", "properties": { "a": { "$ref": "https://example.org/a.json" } } }),
            "outside of itself",
        ),
        (
            json!({ "type": "object", "properties": { "a": { "$ref": "file:///etc/passwd" } } }),
            "outside of itself",
        ),
        (
            json!({ "type": "object", "properties": { "a": { "$ref": "#/$defs/none" } } }),
            "outside of itself",
        ),
        (
            json!({ "type": "object", "properties": { "a": { "type": "nubmer" } } }),
            "not usable",
        ),
        (
            json!({ "type": "object", "properties": { "a": { "type": "string", "pattern": "(a{999}){999}" } } }),
            "not usable",
        ),
        (
            json!({ "type": "object", "properties": { "a": { "type": "number", "default": "b" } } }),
            "not allowed by it",
        ),
        (
            json!({ "type": "object", "description": "x".repeat(70_000) }),
            "longer than",
        ),
        (
            json!({ "type": "object", "properties": { "a": deep } }),
            "deeper than",
        ),
        (
            json!({ "type": "object", "properties": { "a": { "$ref": "#" } } }),
            "in a circle",
        ),
        (
            json!({ "type": "object", "description": "\u{1b}[2J" }),
            "control characters",
        ),
        (doubling(), "10000 parts"),
    ];
    for (schema, expected) in cases {
        let found = schema_problem(&schema).unwrap_or_else(|| panic!("{schema} is taken"));
        assert!(found.contains(expected), "{found}");
    }
    assert_eq!(schema_problem(&json!({})), None);
    assert_eq!(schema_problem(&dust()), None);
}

/// Each definition contains the next one twice: short to read, endless to validate.
fn doubling() -> Value {
    let definitions: serde_json::Map<String, Value> = (0..40)
        .map(|level| {
            let next = json!({ "$ref": format!("#/$defs/a{}", level + 1) });
            (format!("a{level}"), json!({ "allOf": [next, next] }))
        })
        .chain([("a40".to_owned(), json!({ "type": "number" }))])
        .collect();
    json!({
        "type": "object",
        "properties": { "a": { "$ref": "#/$defs/a0", "default": 1 } },
        "$defs": definitions
    })
}

#[test]
fn keys_that_a_schema_forbids_by_other_rules_are_reported() {
    let by_pattern = json!({
        "type": "object",
        "patternProperties": { "^x_": { "type": "number" } },
        "additionalProperties": false
    });
    assert!(judged(&by_pattern, "[stage.any]\nx_one = 1").is_ok());
    let found = judged(&by_pattern, "[stage.any]\ny_one = 1").unwrap_err();
    assert!(
        found.contains("schemes.toml:3:1: unknown key `y_one`"),
        "{found}"
    );

    let by_part = json!({
        "type": "object",
        "allOf": [{ "properties": { "a": { "type": "number" } }, "required": ["a"] }]
    });
    assert!(judged(&by_part, "[stage.any]\na = 1").is_ok());
    assert!(
        judged(&by_part, "[stage.any]")
            .unwrap_err()
            .contains("`a` is missing")
    );
}

#[test]
fn a_pattern_that_backtracks_costs_linear_time() {
    let schema = json!({ "type": "object", "properties": { "a": { "type": "string", "pattern": "^(a+)+$" } } });
    assert_eq!(schema_problem(&schema), None);
    // Exponential in a backtracking engine: this would not end.
    let text = format!("[stage.x]\na = \"{}b\"", "a".repeat(5_000));
    assert!(judged(&schema, &text).is_err());
}
