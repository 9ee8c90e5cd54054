//! Import of very long files: their time grows with their length, and their problems stay readable.

use velatura_document::{COLLECTED_AT_MOST, SourceText, with_commas};
use velatura_optics::import::{ImportOptions, import};
use velatura_optics::paints_file::read_paints_file;

fn source(name: &str, text: &str) -> SourceText {
    SourceText::new(name, text)
}

#[test]
fn a_palette_of_a_hundred_thousand_wrong_lines_gives_a_few_problems_with_the_right_lines() {
    const LINES: usize = 100_000;
    for (line, found) in [
        ("12 300 7 Reed", "\"300\" is not a colour code"),
        ("12 30 7", "this colour has no name"),
        (
            "12 30 7 Reed NUMBER",
            "the opacity of this paint is missing",
        ),
        ("12 30 7 Reed / opaque", "this row is already in many.gpl:4"),
    ] {
        let lines: Vec<String> = (0..LINES)
            .map(|number| line.replace("NUMBER", &number.to_string()))
            .collect();
        let text = format!("GIMP Palette\nName: Fen\n#\n{}\n", lines.join("\n"));
        let files = [
            source("many.gpl", &text),
            source("few.gpl", "GIMP Palette\n1 2 3\n"),
        ];
        let problems = import(&files, &ImportOptions::default(), "paints.toml").unwrap_err();
        // One file's many problems do not hide those of the next.
        let (last, many) = problems.split_last().unwrap();
        assert_eq!(
            (&*last.file, &*last.found),
            ("few.gpl", "this colour has no name")
        );
        assert_eq!(many.len(), COLLECTED_AT_MOST + 1, "{line}");
        let repeated = usize::from(line.ends_with("opaque"));
        for (index, problem) in many[..COLLECTED_AT_MOST].iter().enumerate() {
            assert_eq!(problem.found, found);
            assert_eq!(problem.place.as_ref().unwrap().line, 4 + repeated + index);
        }
        let rest = LINES - COLLECTED_AT_MOST - repeated;
        assert_eq!(
            many[COLLECTED_AT_MOST].found,
            format!("{} more problems are not shown", with_commas(rest))
        );
    }
}

#[test]
fn a_palette_of_a_hundred_thousand_colours_is_imported_whole() {
    let colours: Vec<String> = (0..100_000)
        .map(|number| format!("12 {} 7 Reed {number}", number % 256))
        .collect();
    let text = format!("GIMP Palette\n{}\n", colours.join("\n"));
    let options = ImportOptions {
        opacity: Some("opaque"),
        ..ImportOptions::default()
    };
    let imported = import(&[source("many.gpl", &text)], &options, "paints.toml").unwrap();
    assert_eq!((imported.paints, imported.chips), (100_000, 100_000));
    let file = read_paints_file(&source("paints.toml", &imported.text))
        .unwrap()
        .value;
    assert_eq!(file.paints[99_999].name.value, "Reed 99999");
}
