//! A layout from a plain list of names: what is printed, what is written and what a photo is read with is the same.

use velatura_document::SourceText;
use velatura_swatch::read_layout_file;
use velatura_tests::root;

use super::{LAYOUT, PHOTO, succeeded, velatura};
use crate::desk::Desk;

/// The names on the demo's card.
const NAMES: &str = "Oil Amber, Lantern Red, Deep Eel, Fen Green, Tar Brown";

fn titles(text: &str) -> Vec<(String, usize)> {
    let source = SourceText::new("layout.toml", text);
    let layout = read_layout_file(&source).unwrap().value;
    let fields = layout.fields.iter();
    fields.map(|field| (field.title(), field.place)).collect()
}

/// The paints of the demo's card that are alone there, in their order.
fn demo_names() -> String {
    let text = std::fs::read_to_string(root().join(LAYOUT)).unwrap();
    let titles = titles(&text);
    let names: Vec<&str> = titles
        .iter()
        .map(|(title, _)| title.as_str())
        .filter(|title| !title.contains(" + "))
        .collect();
    assert_eq!(names.len(), 10);
    names.join(", ")
}

#[test]
fn the_list_of_the_demo_card_is_its_layout_and_reads_the_same_paints() {
    let names = demo_names();
    let listed = ["--names", &names, "--tints", "Gull White 1:4"];
    let text = succeeded(&velatura(&[&["swatch"], &listed[..]].concat()));
    let written = std::fs::read_to_string(root().join(LAYOUT)).unwrap();
    assert_eq!(titles(&text), titles(&written));
    // The layout that was written reads a photo as the list itself does.
    let scratch = tempfile::tempdir().unwrap();
    let layout = scratch.path().join("card.toml");
    std::fs::write(&layout, &text).unwrap();
    let layout = layout.to_str().unwrap();
    let by_list = succeeded(&velatura(&[&["swatch", PHOTO], &listed[..]].concat()));
    let by_file = succeeded(&velatura(&["swatch", PHOTO, "--layout", layout]));
    assert_eq!(by_list, by_file);
    assert!(by_list.contains("name = \"Oil Amber\""), "{by_list}");
    // Must differ: another order of the names.
    let turned = names.replace("Oil Amber, Lantern Red", "Lantern Red, Oil Amber");
    let text = succeeded(&velatura(&["swatch", "--names", &turned]));
    assert_ne!(titles(&text), titles(&written));
}

#[test]
fn a_printed_card_has_its_layout_next_to_it() {
    let desk = Desk::empty();
    let print = [
        "swatch",
        "--template",
        "card.svg",
        "--names",
        NAMES,
        "--tints",
        "Tar Brown 1:2",
    ];
    let shown = succeeded(&desk.run(&print));
    assert_eq!(desk.listing(), ["card.svg", "card.toml"]);
    assert!(
        shown.contains("later     velatura swatch PHOTO --layout card.toml"),
        "{shown}"
    );
    let card = std::fs::read_to_string(desk.path("card.svg")).unwrap();
    let layout = std::fs::read_to_string(desk.path("card.toml")).unwrap();
    assert_eq!(titles(&layout).len(), 9);
    assert_eq!(
        titles(&layout)[1],
        ("Oil Amber + Tar Brown 1:2".to_owned(), 1)
    );
    assert!(card.contains("Fen Green"), "{card}");
    assert!(succeeded(&desk.run(&["check", "card.toml"])).contains("OK"));
    // A layout may have been edited by hand: it is not overwritten, and neither is the card then.
    std::fs::write(desk.path("card.svg"), "").unwrap();
    desk.stops(
        &print,
        2,
        "error: card.toml: this file exists already\n  expected: the name of a new file\n  \
         help: choose another name, or add --force to overwrite it",
    );
    assert_eq!(std::fs::read_to_string(desk.path("card.svg")).unwrap(), "");
    // Alone the layout is the result.
    let alone = succeeded(&desk.run(&["swatch", "--names", NAMES, "--out", "mine.toml"]));
    assert_eq!(alone, "layout    mine.toml\n");
    let mine = std::fs::read_to_string(desk.path("mine.toml")).unwrap();
    assert_eq!(titles(&mine).len(), 5);
}

#[test]
fn names_that_cannot_be_on_a_card_are_reported_together() {
    let desk = Desk::empty();
    let expected = "  expected: a different name for every paint, with commas between them
  help: remove or rename it; a name with a comma in it needs a layout file";
    desk.stops(
        &["swatch", "--names", "A,, B, A, medium", "--template", "card.svg"],
        2,
        &format!(
            "error: a name in \"A,, B, A, medium\" is empty\n  in: --names\n{expected}\n
error: \"A\" is there twice\n  in: --names\n{expected}\n
error: a paint is called \"medium\", which is reserved for clear glaze medium\n  in: --names\n{expected}"
        ),
    );
    desk.stops(
        &[
            "swatch",
            "--names",
            "Oil Amber, Gull White",
            "--tints",
            "Gull Whit 1:4, Gull White 1-4",
        ],
        2,
        "error: --names has no paint that is called \"Gull Whit\"
  in: --tints
  expected: a paint of --names: it also needs a place of its own on the card
  help: did you mean \"Gull White\"?

error: \"Gull White 1-4\" is not a tint
  in: --tints
  expected: a paint and two parts, that of each listed paint first, such as \"Gull White 1:4\"",
    );
    let many: Vec<String> = (0..200).map(|number| format!("P{number}")).collect();
    let output = desk.run(&["swatch", "--names", &many.join(","), "--tints", "P0 1:1"]);
    let reported = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{reported}");
    assert!(
        reported.starts_with("error: 200 paints and 199 tints of them need 399 places\n  in: --names\n  expected: at most "),
        "{reported}"
    );
}
