//! `figure.toml`: what is read, and the message about every mistake.

use velatura_document::Diagnostic;
use velatura_figure::{FigureFile, UndercoatKind, read_figure_file};
use velatura_testkit::pictures::{figure_text, source};

const PLAIN: &str = "kind = \"plain\"";

fn read(text: &str) -> (Option<FigureFile>, Vec<Diagnostic>) {
    match read_figure_file(&source(text)) {
        Ok(figure) => (Some(figure.value), figure.warnings),
        Err(problems) => (None, problems),
    }
}

/// The only problem of a text, as the user sees it.
fn only_problem(text: &str) -> String {
    let (_, problems) = read(text);
    assert_eq!(problems.len(), 1, "{problems:#?}");
    problems[0].to_string()
}

#[test]
fn the_whole_file_is_read_and_defaults_fill_in() {
    let text = figure_text(
        "kind = \"black-to-white\"\nblack = \"#1c1c1c\"\nwhite = \"#e9e9e9\"\nlight_share = 0.3\nlight_photo = \"primed.jpg\"",
    );
    let (figure, problems) = read(&text);
    assert_eq!(problems, []);
    let figure = figure.unwrap();
    assert_eq!(
        (figure.photo.value.as_str(), figure.mask.value.as_str()),
        ("photo.png", "mask.png")
    );
    assert!((figure.height_mm - 32.0).abs() < 1e-9 && figure.count == 1);
    let undercoat = &figure.undercoat;
    assert_eq!(undercoat.kind.value, UndercoatKind::BlackToWhite);
    assert_eq!(
        undercoat.black.as_ref().unwrap().value.to_string(),
        "#1c1c1c"
    );
    assert!((undercoat.light_share.as_ref().unwrap().value - 0.3).abs() < 1e-12);
    assert_eq!(undercoat.light_photo.as_ref().unwrap().value, "primed.jpg");
    let names: Vec<&str> = figure
        .regions
        .iter()
        .map(|region| region.name.value.as_str())
        .collect();
    assert_eq!(names, ["coat", "hood"]);
    assert_eq!(&text[figure.mask.at.clone()], "\"mask.png\"");

    let (figure, _) =
        read(&text.replace("[undercoat]", "height_mm = 54.5\ncount = 12\n[undercoat]"));
    let figure = figure.unwrap();
    assert!((figure.height_mm - 54.5).abs() < 1e-9 && figure.count == 12);
}

#[test]
fn every_mistake_is_named_with_its_place_and_mend() {
    let right = figure_text(PLAIN);
    let cases = [
        (
            "name = \"Lamplighter with a pole\"\n",
            "",
            "`name` is missing",
        ),
        (
            "photo = \"photo.png\"",
            "photo = \" \"",
            "figure.toml:3:9: `photo` is empty",
        ),
        ("mask = ", "maks = ", "did you mean `mask`?"),
        (
            "kind = \"plain\"",
            "kind = \"plain\"\nplugins = [\"dust.wasm\"]",
            "move the line up, above the first line in [brackets]",
        ),
        (
            "[undercoat]\nkind = \"plain\"",
            "",
            "`[undercoat]` is missing",
        ),
        ("kind = \"plain\"", "", "`kind` is missing"),
        ("\"plain\"", "\"plane\"", "did you mean \"plain\"?"),
        ("[undercoat]", "count = 1.5\n[undercoat]", "`count` is 1.5"),
        ("[undercoat]", "count = 0\n[undercoat]", "`count` is 0"),
        (
            "[undercoat]",
            "height_mm = -3\n[undercoat]",
            "`height_mm` is -3",
        ),
        (
            "\"plain\"",
            "\"plain\"\nlight_share = 1.2",
            "`light_share` is 1.2",
        ),
        (
            "\"plain\"",
            "\"plain\"\nwhite = \"e9e9e9\"",
            "add a #: \"#e9e9e9\"",
        ),
        (
            "\"plain\"",
            "\"plain\"\nwhite = \"#000000\"",
            "`white` is #000000",
        ),
        (
            "\"plain\"",
            "\"black-to-white\"\nblack = \"#000000\"\nlight_photo = \"primed.jpg\"",
            "`black` is #000000",
        ),
        (
            "\"plain\"",
            "\"plain\"\nblack = \"#e9e9e9\"\nwhite = \"#1c1c1c\"",
            "are the two swapped?",
        ),
        (
            "\"plain\"",
            "\"black-to-white\"\nlight_photo = \"\"",
            "`light_photo` is empty",
        ),
        ("\"hood\"", "\"coat\"", "two regions are called \"coat\""),
        (
            "\"#4363d8\"",
            "\"#e6194b\"",
            "#e6194b is also the mask colour of region \"coat\"",
        ),
        (
            "\"#4363d8\"",
            "\"#e61b4b\"",
            "#e61b4b is too close to #e6194b",
        ),
        ("mask_colour = \"#4363d8\"", "", "`mask_colour` is missing"),
        (
            "velatura-figure/1",
            "velatura-paints/1",
            "the format is \"velatura-paints/1\"",
        ),
    ];
    for (from, to, expected) in cases {
        let wrong = right.replacen(from, to, 1);
        assert_ne!(wrong, right, "{from} stands in the file");
        let (figure, problems) = read(&wrong);
        assert!(figure.is_none(), "{to}");
        let text: Vec<String> = problems.iter().map(ToString::to_string).collect();
        assert!(
            text.iter().any(|problem| problem.contains(expected)),
            "{to}: {text:#?}"
        );
        assert!(problems.iter().all(Diagnostic::is_error));
    }
}

#[test]
fn mask_colours_three_codes_apart_are_recognised() {
    let (figure, problems) = read(&figure_text(PLAIN).replace("#4363d8", "#e61c4b"));
    assert!(figure.is_some(), "{problems:?}");
}

#[test]
fn no_region_at_all_is_an_error() {
    let text = figure_text(PLAIN);
    let without = &text[..text.find("[[region]]").unwrap()];
    assert!(only_problem(without).contains("this file has no region"));
    let empty = without.replace("[undercoat]", "region = []\n[undercoat]");
    assert!(only_problem(&empty).contains("this file has no region"));
}

#[test]
fn two_hundred_and_fifty_regions_are_the_most() {
    let text = figure_text(PLAIN);
    let head = &text[..text.find("[[region]]").unwrap()];
    let with = |count: u32| {
        (0..count).fold(head.to_owned(), |text, i| {
            text + &format!(
                "[[region]]\nname = \"r{i}\"\nmask_colour = \"#{:02x}{:02x}80\"\n",
                i % 16 * 16,
                i / 16 * 15
            )
        })
    };
    assert!(read(&with(250)).0.is_some());
    assert!(only_problem(&with(251)).contains("this file has 251 of [[region]]"));
}

#[test]
fn what_a_plain_undercoat_has_no_use_for_is_a_warning() {
    let (figure, problems) = read(&figure_text(
        "kind = \"plain\"\nlight_share = 0.2\nlight_photo = \"primed.jpg\"",
    ));
    assert!(figure.is_some());
    assert_eq!(problems.len(), 2, "{problems:#?}");
    assert!(!problems.iter().any(Diagnostic::is_error));
    // Must fail: the same lines are valid for another kind.
    let (_, problems) = read(&figure_text(
        "kind = \"black-to-white\"\nlight_share = 0.2\nlight_photo = \"primed.jpg\"",
    ));
    assert_eq!(problems, []);
}

#[test]
fn all_errors_come_at_once_in_the_order_of_the_file() {
    let text = figure_text(PLAIN)
        .replace("\"hood\"", "\"coat\"")
        .replace("\"plain\"", "\"plane\"");
    let (_, problems) = read(&text.replace("photo =", "foto ="));
    let lines: Vec<usize> = problems
        .iter()
        .filter_map(|p| p.place.as_ref())
        .map(|place| place.line)
        .collect();
    assert!(problems.len() >= 4, "{problems:#?}");
    assert!(lines.is_sorted(), "{lines:?}");
}
