//! `[paint.spectrum]`: percent or fractions, 5, 10 or 20 nm, and a message about every list that no instrument could measure.

use velatura_document::{Diagnostic, SourceText, Warned};
use velatura_optics::paints_file::{Given, MeasuredDrawdown, PaintsFile, read_paints_file};
use velatura_optics::spectrum::{BANDS, resampled};

const START: &str = "format = \"velatura-paints/1\"\n[cards]\nblack = \"#1c1c1c\"\nwhite = \"#f0f0f0\"\n\
                     [[paint]]\nname = \"Deep Eel\"\n[paint.spectrum]\n";

/// One paint with these lines in its spectrum.
fn read(lines: &str) -> Result<Warned<MeasuredDrawdown>, Vec<Diagnostic>> {
    let text = format!("{START}{lines}").into_bytes();
    let source = SourceText::from_bytes("paints.toml", text).unwrap();
    let measured = |file: PaintsFile| match &file.paints[0].given {
        Given::Spectrum(measured) => (**measured).clone(),
        other => panic!("{other:?}"),
    };
    read_paints_file(&source).map(|file| file.map(measured))
}

/// A smooth invented reflectance, as a fraction.
fn smooth(nm: f64, level: f64) -> f64 {
    level * (1.2 + ((nm - 400.0) / 60.0).sin()) / 2.2
}

fn list(start_nm: u32, step_nm: u32, end_nm: u32, level: f64, whole: f64) -> String {
    let values: Vec<String> = (start_nm..=end_nm)
        .step_by(usize::try_from(step_nm).unwrap())
        .map(|nm| (smooth(f64::from(nm), level) * whole).to_string())
        .collect();
    format!("[{}]", values.join(", "))
}

fn lines(range: [u32; 3], whole: f64, more: &str) -> String {
    let [start, step, end] = range;
    format!(
        "start_nm = {start}\nstep_nm = {step}\nspecular = \"excluded\"\nover_black = {}\nover_white = {}\n{more}",
        list(start, step, end, 0.2, whole),
        list(start, step, end, 0.8, whole)
    )
}

fn reported(lines: &str) -> String {
    let problems = read(lines).expect_err(lines);
    let texts: Vec<String> = problems.iter().map(ToString::to_string).collect();
    texts.join("\n\n")
}

#[test]
fn percent_and_fractions_at_5_and_10_nm_over_both_ranges_are_one_film() {
    let reference = read(&lines([400, 10, 700], 1.0, "")).unwrap();
    let reference = reference.value.over_white;
    for (ours, nm) in reference.iter().zip((400_u16..).step_by(10)) {
        assert!((ours - smooth(f64::from(nm), 0.8)).abs() < 1e-12);
    }
    for range in [[400, 10, 700], [380, 10, 780], [380, 5, 780], [400, 5, 700]] {
        for whole in [1.0, 100.0] {
            let measured = read(&lines(range, whole, "")).unwrap();
            let worst = worst(&measured.value.over_white, &reference);
            assert!(worst < 1e-12, "{range:?} {whole}: {worst}");
            assert_eq!(measured.warnings, [], "{range:?} {whole}");
        }
    }
    // Must fail: a film with the wrong step.
    let wrong = lines([380, 5, 780], 1.0, "").replace("step_nm = 5", "step_nm = 10");
    assert!(worst(&read(&wrong).unwrap().value.over_white, &reference) > 0.05);
}

fn worst(a: &[f64], b: &[f64]) -> f64 {
    a.iter()
        .zip(b)
        .fold(0.0, |worst: f64, (a, b)| worst.max((a - b).abs()))
}

#[test]
fn a_stated_unit_is_believed_where_the_values_could_be_either() {
    // A black paint in percent: nothing above 1.5, so read as fractions it would be a light grey.
    let flat = |value: &str| format!("[{}]", [value; BANDS].join(", "));
    let black = format!(
        "start_nm = 400\nstep_nm = 10\nspecular = \"excluded\"\nover_black = {}\nover_white = {}\n",
        flat("0.5"),
        flat("0.9")
    );
    let white = |lines: &str| read(lines).unwrap().value.over_white[7];
    assert!((white(&black) - 0.9).abs() < 1e-12);
    assert!((white(&format!("{black}unit = \"percent\"\n")) - 0.009).abs() < 1e-12);
    let message = reported(&format!("{black}unit = \"percents\"\n"));
    assert!(message.contains("did you mean \"percent\"?"), "{message}");
}

#[test]
fn up_to_20_nm_may_be_missing_at_either_end_and_no_more() {
    // ASTM E308 (from memory): the outermost measured value gets the weights of missing ones beyond it.
    let short = read(&lines([420, 10, 680], 1.0, "")).unwrap().value;
    assert!(worst(&short.over_white[..2], &[short.over_white[2]; 2]) < 1e-15);
    assert!(
        (short.wavelengths.start_nm - 420.0).abs() < 1e-12
            && (short.wavelengths.end_nm() - 680.0).abs() < 1e-12
    );
    for range in [[430, 10, 700], [400, 10, 670]] {
        let message = reported(&lines(range, 1.0, ""));
        assert!(
            message.contains(&format!(
                "the values go from {} to {} nm",
                range[0], range[2]
            )) && message.contains("expected: 400 to 700 nm")
                && message.contains("help: check the first wavelength"),
            "{message}"
        );
    }
}

#[test]
fn lists_that_no_instrument_measured_are_named_with_the_paint() {
    let good = lines([400, 10, 700], 100.0, "");
    let over_black = list(400, 10, 700, 0.2, 100.0);
    let over_white = list(400, 10, 700, 0.8, 100.0);
    let flat = |value: &str| format!("[{}]", [value; BANDS].join(", "));
    let first = |value: &str| {
        let (_, rest) = over_black.split_once(',').unwrap();
        format!("[{value},{rest}")
    };
    for (new, message) in [
        (list(400, 10, 700, 0.2, 1.0), "`over_white` goes up to 79.9"),
        (first("-0.3"), "a reflectance of -0.3 at 400 nm"),
        (first("340"), "a reflectance of 340 at 400 nm"),
        (first("nan"), "value 1 of `over_black` is the number nan"),
        (first("\"9\""), "value 1 of `over_black` is the text \"9\""),
        (flat("0"), "every reflectance is 0"),
        (flat("90"), "the film over black reflects 90, but"),
    ] {
        let found = reported(&good.replace(&over_black, &new));
        assert!(
            found.contains(message)
                && found.contains("paint \"Deep Eel\"")
                && found.contains("help: "),
            "{message}:\n{found}"
        );
    }
    let cards = format!(
        "{good}black_card = {}\nwhite_card = {}\n",
        flat("85"),
        flat("4")
    );
    assert!(
        reported(&cards).contains("the black card reflects 85, but the white card only 4"),
        "{}",
        reported(&cards)
    );
    // Must pass: the original lists, and opaque paint with fields that vary by half a per cent.
    assert!(read(&good).is_ok());
    assert!(read(&good.replace(&over_black, &over_white.replace("[43", "[44"))).is_ok());
}

#[test]
fn all_wrong_lists_are_reported_at_once() {
    let flat = |value: &str| format!("[{}]", [value; BANDS].join(", "));
    let found = reported(&format!(
        "start_nm = 400\nstep_nm = 10\nspecular = \"excluded\"\nover_black = {}\nover_white = {}\nblack_card = {}\n",
        flat("-1"),
        flat("180"),
        flat("0")
    ));
    assert_eq!(found.matches("error: ").count(), 3, "{found}");
}

#[test]
fn included_values_darker_than_any_surface_are_doubted() {
    let dark = lines([400, 10, 700], 1.0, "")
        .replace("excluded", "included")
        .replace(
            &list(400, 10, 700, 0.2, 1.0),
            &list(400, 10, 700, 0.01, 1.0),
        );
    let problems = read(&dark).unwrap().warnings;
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert!(
        problems[0]
            .to_string()
            .contains("was the instrument set to"),
        "{}",
        problems[0]
    );
    let excluded = read(&dark.replace("included", "excluded")).unwrap();
    assert_eq!(excluded.warnings, []);
}

#[test]
fn between_20_nm_a_cubic_is_nearer_to_measured_paints_than_a_straight_line() {
    // Every second value of the open half of the measured paints (CC0, named in the folder's README) is removed, and the cubic
    // interpolation of the gap is compared with the measured value.
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../tests/data/measured-paints/paints.csv"
    );
    let table = std::fs::read_to_string(path).unwrap();
    let (mut cubic, mut line, mut rows) = (0.0, 0.0, 0);
    for row in table.lines().skip(1) {
        let measured: Vec<f64> = row
            .split(',')
            .skip(6)
            .map(|cell| cell.parse().unwrap())
            .collect();
        assert_eq!(measured.len(), BANDS);
        let kept: Vec<f64> = measured.iter().copied().step_by(2).collect();
        let ours = resampled(400.0, 20.0, &kept);
        for gap in (1..BANDS).step_by(2) {
            cubic += (ours[gap] - measured[gap]).abs();
            line += (f64::midpoint(measured[gap - 1], measured[gap + 1]) - measured[gap]).abs();
        }
        rows += 1;
    }
    assert_eq!(rows, 168);
    let each = f64::from(rows) * 15.0;
    println!(
        "mean error in the gaps: cubic {:.4} %, straight line {:.4} %",
        cubic / each,
        line / each
    );
    assert!(cubic < 0.7 * line, "{cubic} {line}");
}
