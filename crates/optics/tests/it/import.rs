//! Import: measured data and palettes become a paints.toml that reads back to the same numbers; mistakes are reported
//! with its place.

use velatura_document::SourceText;
use velatura_optics::import::{ImportOptions, Imported, import};
use velatura_optics::paints_file::{Given, MeasuredDrawdown, PaintsFile, read_paints_file};
use velatura_optics::spectrum::{BANDS, Spectrum};
use velatura_optics::surface::Specular;

fn source(name: &str, text: &str) -> SourceText {
    SourceText::from_bytes(name, text.as_bytes().to_vec()).unwrap()
}

fn sample(name: &str) -> SourceText {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/import-samples");
    let text = std::fs::read_to_string(format!("{folder}/{name}")).unwrap();
    assert!(
        text.lines().next().unwrap().contains("invented"),
        "{name} must say that its values are invented"
    );
    source(name, &text)
}

fn imported(sources: &[SourceText], options: &ImportOptions) -> (Imported, PaintsFile) {
    let imported = import(sources, options, "paints.toml")
        .unwrap_or_else(|problems| panic!("{}", reported(&problems)));
    let file = read_paints_file(&source("paints.toml", &imported.text)).unwrap();
    assert!(file.warnings.is_empty(), "{}", reported(&file.warnings));
    (imported, file.value)
}

/// The problems of one file that must not be imported, as people read them.
fn refused(name: &str, text: &str, options: &ImportOptions) -> String {
    reported(&import(&[source(name, text)], options, "paints.toml").unwrap_err())
}

fn reported(problems: &[velatura_document::Diagnostic]) -> String {
    let texts: Vec<String> = problems.iter().map(ToString::to_string).collect();
    texts.join("\n\n")
}

fn spectrum<'a>(file: &'a PaintsFile, name: &str) -> &'a MeasuredDrawdown {
    let paint = file.paints.iter().find(|one| one.name.value == name);
    match &paint.unwrap().given {
        Given::Spectrum(measured) => measured,
        other => panic!("{name}: {other:?}"),
    }
}

fn excluded() -> ImportOptions {
    ImportOptions {
        specular: Some(Specular::Excluded),
        ..ImportOptions::default()
    }
}

/// The row of a sample file that holds a name, without the cells before the numbers.
fn numbers_of(text: &str, name: &str, separator: char) -> Vec<f64> {
    let line = text.lines().find(|line| line.contains(name)).unwrap();
    let (_, after) = line.split_once(name).unwrap();
    after
        .trim_matches(|c: char| c == '"' || c.is_whitespace() || c == separator)
        .split(separator)
        .map(|cell| cell.trim().replace(',', ".").parse().unwrap())
        .collect()
}

fn same(ours: &Spectrum, theirs: impl Iterator<Item = f64>) -> bool {
    let theirs: Vec<f64> = theirs.take(BANDS).collect();
    theirs.len() == BANDS && ours.iter().zip(&theirs).all(|(a, b)| (a - b).abs() < 1e-15)
}

#[test]
fn cgats_text_comes_back_to_the_same_numbers() {
    let drawdowns = sample("drawdowns.txt");
    assert!(
        drawdowns.text().contains("\r\n"),
        "the sample has CRLF lines"
    );
    let (imported, file) = imported(std::slice::from_ref(&drawdowns), &ImportOptions::default());
    assert_eq!((imported.paints, imported.tints, imported.chips), (2, 1, 0));
    let amber = spectrum(&file, "Oil Amber");
    // The geometry of the file says di:8, specular included; percent from 380 to 730 nm; ours begin at the third value.
    assert_eq!(amber.specular, Specular::Included);
    let written = |name: &str| numbers_of(drawdowns.text(), name, '\t');
    let fractions = |name: &str| written(name).into_iter().skip(2).map(|one| one / 100.0);
    assert!(same(&amber.over_black, fractions("Oil Amber / black")));
    assert!(same(&amber.over_white, fractions("Oil Amber / white")));
    assert!(same(&amber.black_card.unwrap(), fractions("card / black")));
    assert!(same(&amber.white_card.unwrap(), fractions("card / white")));
    // Must fail: the fields swapped, and the range starting one step later.
    assert!(!same(&amber.over_black, fractions("Oil Amber / white")));
    assert!(!same(
        &amber.over_black,
        fractions("Oil Amber / black").skip(1)
    ));
    // The text itself has every number as measured.
    let document: toml::Table = imported.text.parse().unwrap();
    let list = document["paint"][0]["spectrum"]["over_black"]
        .as_array()
        .unwrap();
    let list: Vec<f64> = list.iter().map(|one| one.as_float().unwrap()).collect();
    assert_eq!(list, written("Oil Amber / black"));
    let tint = &file.paints[0].tints[0];
    assert_eq!(
        (tint.with.value.as_str(), tint.parts),
        ("Gull White", [1.0, 9.0])
    );
    let Given::Spectrum(tinted) = &tint.given else {
        panic!("{:?}", tint.given)
    };
    assert!(same(
        &tinted.over_white,
        fractions("Oil Amber 1 + Gull White 9 / white")
    ));
}

#[test]
fn csv_with_decimal_commas_at_5_nm_and_a_column_per_sample_say_the_same() {
    let rows = sample("deep-eel.csv");
    let (_, by_rows) = imported(std::slice::from_ref(&rows), &excluded());
    let (_, by_columns) = imported(&[sample("deep-eel-columns.csv")], &excluded());
    let (eel, turned) = (
        spectrum(&by_rows, "Deep Eel"),
        spectrum(&by_columns, "Deep Eel"),
    );
    let every_second = |name: &str| numbers_of(rows.text(), name, ';').into_iter().step_by(2);
    assert!(same(&eel.over_white, every_second("Deep Eel / white")));
    assert!(same(&eel.over_black, every_second("Deep Eel / black")));
    assert!(same(&turned.over_white, eel.over_white.into_iter()));
    assert!(same(&turned.over_black, eel.over_black.into_iter()));
    // Must fail: black instead of white.
    assert!(!same(&turned.over_black, eel.over_white.into_iter()));
    assert_eq!(by_rows.cards.black, by_columns.cards.black);
    assert_eq!(by_rows.cards.specular, Specular::Excluded);
}

#[test]
fn palettes_become_chips_and_their_cards_are_called_assumed() {
    let options = ImportOptions {
        opacity: Some("semi-opaque"),
        ..ImportOptions::default()
    };
    let (imported, file) = imported(&[sample("harbour.gpl")], &options);
    assert_eq!((imported.paints, imported.chips), (3, 3));
    let chips: Vec<(String, String, f64)> = file
        .paints
        .iter()
        .map(|paint| match &paint.given {
            Given::Chip {
                colour,
                contrast_ratio,
            } => (
                paint.name.value.clone(),
                colour.to_string(),
                *contrast_ratio,
            ),
            other => panic!("{other:?}"),
        })
        .collect();
    let expected = [
        ("Old Rope", "#b8a074", 0.70),
        ("Tar Pot", "#143236", 0.92),
        ("Tar Violet", "#56208d", 0.10),
    ];
    for ((name, colour, ratio), (own_name, own_colour, own_ratio)) in chips.iter().zip(expected) {
        assert_eq!((name.as_str(), colour.as_str()), (own_name, own_colour));
        assert!((ratio - own_ratio).abs() < 1e-12, "{name}: {ratio}");
    }
    assert_eq!(chips.len(), expected.len());
    assert!(imported.text.contains("# ASSUMED"), "{}", imported.text);
    assert!(reported(&imported.warnings).contains("[cards] is assumed"));
    // Without the word, nothing is assumed.
    let problems = import(&[sample("harbour.gpl")], &ImportOptions::default(), "p").unwrap_err();
    assert_eq!(
        reported(&problems),
        "error: harbour.gpl:5:13: the opacity of this paint is missing
   | 184 160 116\tOld Rope
   |            \t^^^^^^^^
  in: row \"Old Rope\"
  expected: transparent, semi-transparent, semi-opaque or opaque, or a contrast ratio of 0 to 1
  help: name it \"Old Rope / semi-transparent\", or set one opacity, such as semi-transparent, for all paints that do not state theirs"
    );
}

#[test]
fn codes_and_spectra_and_chips_of_several_files_stand_in_one_file() {
    let options = ImportOptions {
        opacity: Some("opaque"),
        ..ImportOptions::default()
    };
    let (imported, file) = imported(&[sample("codes.csv"), sample("harbour.gpl")], &options);
    assert_eq!((imported.paints, imported.chips), (4, 3));
    assert_eq!(file.cards.white.to_string(), "#f0f0f0");
    let Given::Drawdown(pair) = &file.paints[0].given else {
        panic!("{:?}", file.paints[0].given)
    };
    assert_eq!(pair.over_white.to_string(), "#8e4424");
    assert!(imported.warnings.is_empty() && !imported.text.contains("ASSUMED"));
}

#[test]
fn names_with_quotation_marks_and_backslashes_come_back() {
    let text = "GIMP Palette\n1 2 3 Old \"Rope\" \\ wet / opaque\n";
    let (_, file) = imported(&[source("a.gpl", text)], &ImportOptions::default());
    assert_eq!(file.paints[0].name.value, "Old \"Rope\" \\ wet");
}

#[test]
fn every_problem_of_a_file_is_reported_with_its_line() {
    let heads: Vec<String> = (0..31).map(|i| (400 + 10 * i).to_string()).collect();
    let row = |name: &str, value: &str| format!("{name},{}", [value; 31].join(","));
    let text = [
        format!("name,{}", heads.join(",")),
        row("card / black", "4"),
        row("card / white", "85"),
        row("A / black", "60"),
        row("A / white", "20"),
        row("B / black", "10"),
        row("C / blakc", "10"),
        row("D / black", "-1"),
        row("D / white", "50"),
        row("E / white", "0"),
        row("E / black", "0"),
        row("F", "50"),
        row("A 1 + G 2 / white", "50"),
        row("A / black", "61"),
        row("H / white", "12,5"),
    ]
    .join("\n");
    let reported = refused("bad.csv", &text, &excluded());
    for (place, found) in [
        (
            "bad.csv:4:1",
            "at 700 nm the film over black reflects 60, but the film over white only 20",
        ),
        (
            "bad.csv:6:1",
            "there is a row over black but none over white",
        ),
        ("bad.csv:7:1", "\"blakc\" comes after the \"/\""),
        (
            "bad.csv:8:1",
            "a reflectance of -1 at 400 nm, and 30 more out of range",
        ),
        ("bad.csv:10:1", "every reflectance is 0"),
        (
            "bad.csv:12:1",
            "the name does not say which card this was measured over",
        ),
        ("bad.csv:13:1", "no rows for \"G\" alone"),
        ("bad.csv:14:1", "this row is already in bad.csv:4"),
        (
            "bad.csv:15:1",
            "this row has 63 values, but the table has 32 columns",
        ),
    ] {
        assert!(
            reported.contains(&format!("error: {place}: {found}")),
            "{place}: {found}\n{reported}"
        );
    }
    let errors = reported.matches("error: ").count();
    assert!(
        reported.matches("expected: ").count() == errors && errors >= 9,
        "{errors}\n{reported}"
    );
}

#[test]
fn what_a_file_does_not_say_is_asked_for() {
    let rows = sample("deep-eel.csv").text().to_owned();
    let reported = refused("eel.csv", &rows, &ImportOptions::default());
    assert!(
        reported.contains("own reflection (about 4 %)")
            && reported.contains("help: say whether the surface's own reflection is included"),
        "{reported}"
    );
    let without_cards: Vec<&str> = rows
        .lines()
        .filter(|line| !line.starts_with("card"))
        .collect();
    let reported = refused("eel.csv", &without_cards.join("\n"), &excluded());
    assert!(
        reported.contains("the colours of the bare cards are missing")
            && reported.contains("give the colours of the bare black card"),
        "{reported}"
    );
    let cut: Vec<String> = rows
        .lines()
        .map(|line| line.split(';').take(40).collect::<Vec<_>>().join(";"))
        .collect();
    let reported = refused("eel.csv", &cut.join("\n"), &excluded());
    assert!(
        reported.contains("the values go from 400 to 590 nm") && reported.contains("help: "),
        "{reported}"
    );
}

#[test]
fn a_cgats_file_without_spectra_or_cut_short_says_so() {
    let lab = "CGATS.17\nNUMBER_OF_FIELDS 4\nBEGIN_DATA_FORMAT\nSAMPLE_NAME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\n\
               NUMBER_OF_SETS 1\nBEGIN_DATA\n\"Oil Amber / black\" 50 1 2\nEND_DATA\n";
    let reported = refused("lab.txt", lab, &ImportOptions::default());
    assert!(
        reported.starts_with("error: lab.txt:4:1: there are colours (`LAB_L`) but no spectra")
            && reported.contains("export the spectral data"),
        "{reported}"
    );
    let whole = sample("drawdowns.txt").text().to_owned();
    let cut = &whole[..whole.len() / 2];
    let reported = refused("cut.txt", cut, &ImportOptions::default());
    assert!(
        reported.contains("the file ends before END_DATA") && reported.contains("the file was cut"),
        "{reported}"
    );
    let fewer = whole.replace("NUMBER_OF_SETS\t8", "NUMBER_OF_SETS\t9");
    let reported = refused("fewer.txt", &fewer, &ImportOptions::default());
    assert!(
        reported.contains("NUMBER_OF_SETS is 9, but 8 rows end here"),
        "{reported}"
    );
    let (before, after) = whole.split_once("\"Oil Amber / white\"\t").unwrap();
    let (_, after) = after.split_once('\t').unwrap();
    let short = format!("{before}\"Oil Amber / white\"\t{after}");
    assert!(short.len() < whole.len(), "the row was shortened");
    let reported = refused("short.txt", &short, &ImportOptions::default());
    assert!(
        reported.contains("this row has 37 values, but the table has 38 columns")
            && reported.contains("in: row 4 of the data"),
        "{reported}"
    );
}

#[test]
fn no_cut_and_no_flipped_byte_makes_it_panic_or_write_what_cannot_be_read() {
    // A fixed seed: the same cuts and flips on every run.
    let mut state = 0x2545_f491_4f6c_dd1d_u64;
    let mut next = move |below: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        usize::try_from(state % u64::try_from(below).unwrap()).unwrap()
    };
    let (mut refusals, mut readings) = (0, 0);
    for name in [
        "drawdowns.txt",
        "deep-eel.csv",
        "deep-eel-columns.csv",
        "harbour.gpl",
        "codes.csv",
    ] {
        let bytes = sample(name).text().as_bytes().to_vec();
        for round in 0..200 {
            let mut changed = bytes.clone();
            if round % 2 == 0 {
                changed.truncate(next(bytes.len()));
            } else {
                let at = next(bytes.len());
                changed[at] ^= 1 << next(7);
            }
            let options = ImportOptions {
                opacity: Some("opaque"),
                ..excluded()
            };
            let Ok(changed) = SourceText::from_bytes(name, changed) else {
                continue;
            };
            match import(&[changed], &options, "paints.toml") {
                Ok(imported) => {
                    let read = read_paints_file(&source("paints.toml", &imported.text));
                    assert!(read.is_ok(), "{name}:\n{}", imported.text);
                    readings += 1;
                }
                Err(problems) => {
                    assert!(!problems.is_empty(), "{name}: refused without a word");
                    refusals += 1;
                }
            }
        }
    }
    println!("{refusals} refused, {readings} read");
    assert!(refusals > 100 && readings > 100, "{refusals} {readings}");
}
