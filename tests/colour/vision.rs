//! Colour vision against two libraries written by others; the sources are in the table's first line.

use velatura_optics::colour::{Encoded, Linear};
use velatura_optics::vision::{Deficiency, Eye};
use velatura_tests::{Row, number, table};

/// The table prints 10 digits, the references work in 64 and 32 bits; we reach 1.6e-7.
const TOLERANCE: f64 = 1e-6;

/// Rows that differ from the result of `eye` by more than the tolerance, and the largest distance of all.
fn off(rows: &[Row], eye: impl Fn(&str, Deficiency, f64) -> Eye) -> (usize, f64) {
    let distances: Vec<f64> = rows
        .iter()
        .map(|row| {
            let kind = Deficiency::ALL
                .into_iter()
                .find(|kind| kind.to_string() == row["deficiency"])
                .unwrap();
            let colour: Encoded = row["srgb"].parse().unwrap();
            let Linear(seen) =
                eye(&row["model"], kind, number(row, "severity")).sees(colour.linear());
            let expected = ["r", "g", "b"].map(|channel| number(row, channel));
            let each = seen.iter().zip(expected).map(|(a, b)| (a - b).abs());
            each.fold(0.0, f64::max)
        })
        .collect();
    let worst = distances.iter().copied().fold(0.0, f64::max);
    let beyond = distances.iter().filter(|off| **off > TOLERANCE).count();
    (beyond, worst)
}

fn eye(model: &str, kind: Deficiency, severity: f64) -> Eye {
    match model {
        "machado" => Eye::machado(kind, severity),
        _ => Eye::vienot(kind).unwrap(),
    }
}

#[test]
fn other_eyes_see_what_the_reference_libraries_say() {
    let rows = table("colour_vision.csv");
    assert_eq!(rows.len(), 16 * 17);
    let (beyond, worst) = off(&rows, eye);
    println!("largest distance in linear light from the references: {worst:.1e}");
    assert_eq!(beyond, 0, "the worst is off by {worst:.1e}");
    // Must fail: protan instead of deutan; the severity rounded to the table's next.
    let swapped = |model: &str, kind, severity| {
        let kind = match kind {
            Deficiency::Protan => Deficiency::Deutan,
            Deficiency::Deutan => Deficiency::Protan,
            Deficiency::Tritan => Deficiency::Tritan,
        };
        eye(model, kind, severity)
    };
    assert!(off(&rows, swapped).0 > 100);
    let rounded =
        |model: &str, kind, severity: f64| eye(model, kind, (severity * 10.0).round() / 10.0);
    assert!(off(&rows, rounded).0 > 50);
}
