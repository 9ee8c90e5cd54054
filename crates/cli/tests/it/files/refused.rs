//! Each declared key, spoiled in every way that its declaration rules out: the reader names the key, and the schema refuses
//! the file too.

use jsonschema::Validator;
use toml::Value;
use velatura_document::{Kind, Need, Range, SourceText, json_schema};

use super::declared::{Found, keys_in, name_of};
use super::{KINDS, OneKind};

/// Names that no file may give: with an escape, a bell, nothing, a line break, a tab, and two marks that turn the writing
/// direction (the characters of Unicode Standard Annex 9).
const FORGED: [&str; 7] = [
    "Oil\u{1b}[2J",
    "Oil\u{7}",
    "Oil\0",
    "Oil\nAmber",
    "Oil\tAmber",
    "Oil\u{202e}rebmA",
    "\u{2066}Oil",
];

/// The nearest numbers on both sides of a range that are clearly outside.
fn outside(range: &Range) -> [f64; 2] {
    let beyond = |end: f64| end.abs() * 1e-3 + 1e-7;
    [
        range.least() - beyond(range.least()),
        range.most() + beyond(range.most()),
    ]
}

/// Values that a key may not hold, in place of `right`.
fn wrong_values(kind: &Kind, right: &Value) -> Vec<Value> {
    let text = |text: &str| Value::from(text);
    let forged = || FORGED.map(text).to_vec();
    let in_list = |index: usize, wrong: Value| {
        let mut list = right.as_array().unwrap().clone();
        list[index] = wrong;
        Value::Array(list)
    };
    match kind {
        Kind::Format(_) => vec![text("velatura-other/1"), Value::from(1)],
        Kind::Name | Kind::Path => [forged(), vec![text(" "), Value::from(1)]].concat(),
        Kind::Text => [forged(), vec![Value::from(1)]].concat(),
        Kind::Paths => forged()
            .into_iter()
            .chain([text(""), Value::from(1)])
            .map(|one| Value::Array(vec![one]))
            .collect(),
        Kind::Colour => vec![text("e6194b"), text("red"), text(""), Value::from(1)],
        Kind::Word(_) => vec![text("other"), Value::from(1)],
        Kind::Flag => vec![text("true"), Value::from(1)],
        Kind::Number(range) => {
            let ends = outside(range).map(Value::from);
            [ends.to_vec(), vec![text("1"), Value::from(f64::INFINITY)]].concat()
        }
        Kind::Whole(range) => vec![
            Value::from(range.least() - 1.0),
            Value::from(range.most() + 1.0),
            Value::from(range.least() + 0.5),
        ],
        Kind::Numbers(ranges) => {
            let ends = ranges.iter().enumerate().flat_map(|(index, range)| {
                outside(range).map(|wrong| in_list(index, wrong.into()))
            });
            let one_more =
                Value::Array([right.as_array().unwrap().clone(), vec![Value::from(1)]].concat());
            ends.chain([one_more, in_list(0, text("1"))]).collect()
        }
        Kind::Series(range) => outside(range)
            .map(|wrong| in_list(0, wrong.into()))
            .into_iter()
            .chain([in_list(0, text("1"))])
            .collect(),
        Kind::Points(_, range) => {
            let wrong = |x: f64| in_list(0, Value::Array(vec![x.into(), Value::from(1)]));
            let ends = outside(range).map(wrong).to_vec();
            [
                ends,
                vec![in_list(0, Value::from(1)), Value::Array(Vec::new())],
            ]
            .concat()
        }
        Kind::NamedNumbers(range) => {
            let with = |wrong: Value| {
                let mut table = right.as_table().unwrap().clone();
                *table.iter_mut().next().unwrap().1 = wrong;
                Value::Table(table)
            };
            let ends = outside(range).map(|wrong| with(wrong.into())).to_vec();
            [
                ends,
                vec![
                    with(1e308.into()),
                    Value::Table(toml::Table::from_iter([(
                        FORGED[0].to_owned(),
                        Value::from(1),
                    )])),
                    with(0.into()),
                    with(text("1")),
                    Value::Table(toml::Table::new()),
                ],
            ]
            .concat()
        }
        Kind::Table(_) | Kind::Stages => vec![Value::from(1), text("x")],
        Kind::Tables { least, most, .. } => {
            let list = right.as_array().unwrap();
            let fewer = least.checked_sub(1).map(|few| list[..few].to_vec());
            let more = most.map(|most| vec![list[0].clone(); most + 1]);
            let lists = fewer.into_iter().chain(more).map(Value::Array);
            lists.chain([Value::from(1)]).collect()
        }
        kind => panic!("what is wrong for {kind:?}?"),
    }
}

/// A file that must be refused, by its reader in words about `key`.
fn is_refused(kind: &OneKind, schema: &Validator, document: &Value, key: &str, how: &str) {
    let source = SourceText::new(kind.file.name, toml::to_string(document).unwrap());
    let (read, problems) = (kind.read)(&source);
    assert!(!read, "{how}: the reader accepts it");
    let named = problems.iter().any(|problem| {
        let line = problem
            .place
            .as_ref()
            .map_or("", |place| place.text.as_str());
        problem.is_error() && (problem.found.contains(key) || line.contains(key))
    });
    assert!(named, "{how}: no message about `{key}`: {problems:#?}");
    for problem in &problems {
        assert!(
            !problem.is_error()
                || problem.expected.is_some()
                || problem.found.ends_with("more problems are not shown"),
            "{how}: {problem}"
        );
        assert!(
            !problem
                .found
                .contains(['\u{1b}', '\u{7}', '\u{202e}', '\u{2066}', '\n', '\t']),
            "{how}: {:?}",
            problem.found
        );
    }
    // JSON has no infinity: such a number becomes null there.
    assert!(
        !schema.is_valid(&serde_json::to_value(document).unwrap()),
        "{how}: the schema accepts it"
    );
}

#[test]
fn what_a_declaration_rules_out_is_refused_by_reader_and_schema() {
    let mut tried = 0;
    for kind in &KINDS {
        let schema = jsonschema::validator_for(&json_schema(kind.file)).unwrap();
        let right: Value = toml::from_str(kind.file.example).unwrap();
        for found in keys_in(&right, kind.file.top) {
            let Found { field, .. } = found;
            let name = format!("{}, {}", kind.file.name, name_of(&found));
            for wrong in wrong_values(&field.kind, found.value(&mut right.clone())) {
                let mut document = right.clone();
                let how = format!("{name} = {wrong}");
                *found.value(&mut document) = wrong;
                is_refused(kind, &schema, &document, field.key, &how);
                tried += 1;
            }
            if matches!(field.need, Need::Must) {
                let mut document = right.clone();
                found.table_of(&mut document).remove(field.key);
                is_refused(
                    kind,
                    &schema,
                    &document,
                    field.key,
                    &format!("{name} taken out"),
                );
                tried += 1;
            }
            let mut document = right.clone();
            found
                .table_of(&mut document)
                .insert("shimmer".to_owned(), Value::from(1));
            is_refused(
                kind,
                &schema,
                &document,
                "shimmer",
                &format!("a key next to {name}"),
            );
        }
    }
    println!("{tried} spoiled files, all refused");
    assert!(tried >= 400, "{tried}");
}
