//! Edits keep what a painter wrote by hand, and refuse what the files do not allow.

use serde_json::json;
use velatura_desk::TakeKind;

use crate::{demo_desk, refused, run, unzipped};

fn saved_text(desk: &mut velatura_desk::Desk, name: &str) -> String {
    let saved = desk.take(TakeKind::Project, 0, 0).unwrap();
    let files = unzipped(&saved.bytes);
    let (_, bytes) = files.into_iter().find(|(file, _)| file == name).unwrap();
    String::from_utf8(bytes).unwrap()
}

#[test]
fn an_edit_changes_one_line_and_keeps_all_others() {
    let mut desk = demo_desk();
    let before = saved_text(&mut desk, "schemes.toml");
    run(
        &mut desk,
        json!({"do": "pooling", "scheme": 0, "coat": 0, "pooling": 0.25}),
    );
    run(
        &mut desk,
        json!({"do": "mix", "scheme": 1, "coat": 0, "paint": "medium", "parts": 8}),
    );
    let after = saved_text(&mut desk, "schemes.toml");
    let new: Vec<&str> = after
        .lines()
        .filter(|line| !before.lines().any(|old| old == *line))
        .collect();
    assert_eq!(new.len(), 2, "{new:?}");
    let lost = before
        .lines()
        .filter(|line| !after.lines().any(|kept| kept == *line))
        .count();
    assert!(lost <= 2, "{lost} lines are gone");
    assert!(
        after.lines().filter(|line| line.contains('#')).count()
            >= before.lines().filter(|line| line.contains('#')).count(),
        "comments stay"
    );
}

#[test]
fn the_figure_file_keeps_its_comments() {
    let mut desk = demo_desk();
    let before = saved_text(&mut desk, "figure.toml");
    run(&mut desk, json!({"do": "height", "mm": 40.0}));
    run(
        &mut desk,
        json!({"do": "part_is", "part": "coat", "is": "leather"}),
    );
    let after = saved_text(&mut desk, "figure.toml");
    for comment in before.lines().filter(|line| line.starts_with('#')) {
        assert!(after.contains(comment), "{comment}");
    }
    assert!(after.contains("is = \"leather\""), "{after}");
}

#[test]
fn what_the_files_refuse_is_refused_and_changes_nothing() {
    let mut desk = demo_desk();
    let before = run(&mut desk, json!({"do": "look"}));
    let cases = [
        (
            json!({"do": "film", "scheme": 0, "coat": 0, "film": -1.0}),
            "schemes.toml",
        ),
        (
            json!({"do": "where", "scheme": 0, "coat": 0, "where": "somewhere"}),
            "schemes.toml",
        ),
        (
            json!({"do": "pooling", "scheme": 0, "coat": 0, "pooling": 2.0}),
            "schemes.toml",
        ),
        (
            json!({"do": "finish", "scheme": 0, "finish": "wet"}),
            "schemes.toml",
        ),
        (
            json!({"do": "film", "scheme": 99, "coat": 0, "film": 1.0}),
            "there is no scheme 100",
        ),
        (
            json!({"do": "film", "scheme": 0, "coat": 999, "film": 1.0}),
            "there is no coat 1000",
        ),
        (json!({"do": "height", "mm": 0.0}), "figure.toml"),
        (json!({"do": "undercoat", "kind": "pink"}), "figure.toml"),
        (json!({"do": "add_part", "name": "coat"}), "coat"),
        (json!({"do": "add_part", "name": ""}), "figure.toml"),
        (
            json!({"do": "rename_part", "part": "nose", "name": "coat"}),
            "no part is called \"nose\"",
        ),
        (
            json!({"do": "add_paint", "name": "medium", "over_black": "#101010", "over_white": "#202020"}),
            "paints.toml",
        ),
        (
            json!({"do": "add_paint", "name": "Thin", "over_black": "blue", "over_white": "#202020"}),
            "paints.toml",
        ),
        (
            json!({"do": "remove_paint", "paint": "nothing of this name"}),
            "no paint is called",
        ),
        (
            json!({"do": "stroke", "part": "nose", "erase": false, "radius": 4.0, "points": [[1.0, 1.0]]}),
            "nose",
        ),
        (
            json!({"do": "match", "scheme": 0, "part": "coat", "colour": "green"}),
            "not a colour",
        ),
        (
            json!({"do": "tone_point", "point": "black", "at": [-4.0, 2.0]}),
            "outside the photo",
        ),
        (
            json!({"do": "rename_scheme", "scheme": 0, "name": before.schemes[1].name}),
            "another scheme",
        ),
    ];
    for (wrong, words) in cases {
        let found = refused(&mut desk, wrong.clone());
        assert!(found.contains(words), "{wrong}: {found}");
    }
    let after = run(&mut desk, json!({"do": "look"}));
    assert_eq!(after.version, before.version);
    assert_eq!(after.schemes, before.schemes);
    assert!(after.undo == before.undo, "no step of undo");
}

#[test]
fn a_paint_in_use_stays_and_a_renamed_one_is_renamed_in_mixes() {
    let mut desk = demo_desk();
    let view = run(&mut desk, json!({"do": "look"}));
    let used = view.paints.iter().find(|paint| paint.used > 0).unwrap();
    let found = refused(&mut desk, json!({"do": "remove_paint", "paint": used.name}));
    assert!(found.contains("is used in"), "{found}");
    let renamed = run(
        &mut desk,
        json!({"do": "rename_paint", "paint": used.name, "name": "Other Name"}),
    );
    let new = renamed
        .paints
        .iter()
        .find(|paint| paint.name == "Other Name");
    assert_eq!(new.map(|paint| paint.used), Some(used.used));
    let tiles = |view: &velatura_desk::View| -> Vec<_> {
        view.schemes.iter().map(|scheme| scheme.tile).collect()
    };
    assert_eq!(tiles(&renamed), tiles(&view), "a name changes no picture");
}

#[test]
fn coats_and_schemes_move_as_they_are_asked_to() {
    let mut desk = demo_desk();
    let names = |view: &velatura_desk::View| -> Vec<String> {
        view.schemes.iter().map(|one| one.name.clone()).collect()
    };
    let before = run(&mut desk, json!({"do": "look"}));
    let moved = run(
        &mut desk,
        json!({"do": "move_scheme", "scheme": 3, "to": 0}),
    );
    let mut expected = names(&before);
    let third = expected.remove(3);
    expected.insert(0, third);
    assert_eq!(names(&moved), expected);

    run(
        &mut desk,
        json!({"do": "add_coat", "scheme": 0, "part": "coat"}),
    );
    let added = run(&mut desk, json!({"do": "look"}));
    let coats: Vec<usize> = added.schemes[0]
        .coats
        .iter()
        .filter(|coat| coat.part == "coat")
        .map(|coat| coat.index)
        .collect();
    let (first, last) = (coats[0], coats[coats.len() - 1]);
    let lower = run(
        &mut desk,
        json!({"do": "move_coat", "scheme": 0, "coat": last, "up": false}),
    );
    assert_eq!(
        lower.schemes[0].coats[coats[coats.len() - 2]].mix,
        added.schemes[0].coats[last].mix
    );
    // Nothing is below the lowest coat.
    let same = run(
        &mut desk,
        json!({"do": "move_coat", "scheme": 0, "coat": first, "up": false}),
    );
    assert_eq!(same.schemes[0].coats, lower.schemes[0].coats);
}

#[test]
fn the_last_scheme_can_go_and_another_come() {
    let mut desk = demo_desk();
    while !run(&mut desk, json!({"do": "look"})).schemes.is_empty() {
        run(&mut desk, json!({"do": "remove_scheme", "scheme": 0}));
    }
    let view = run(&mut desk, json!({"do": "look"}));
    assert_eq!(view.missing, ["schemes"]);
    let view = run(&mut desk, json!({"do": "add_scheme"}));
    assert_eq!(view.schemes.len(), 1);
    assert!(view.schemes[0].tile.is_some(), "{:?}", view.problems);
    assert!(desk.tile(0).is_ok());
}

/// The view after a command, as a page gets it.
fn seen(desk: &mut velatura_desk::Desk, command: serde_json::Value) -> serde_json::Value {
    json!(run(desk, command))
}

#[test]
fn what_proposals_may_do_with_a_part_is_written_to_the_figure_file() {
    let mut desk = demo_desk();
    let coat = |view: &serde_json::Value| view["parts"][0].clone();
    let view = seen(&mut desk, json!({"do": "look"}));
    let [coat_name, other] =
        [0, 1].map(|at| view["parts"][at]["name"].as_str().unwrap().to_owned());
    assert_eq!(coat(&view)["keep"], json!([]));

    let view = seen(
        &mut desk,
        json!({"do": "keep", "part": coat_name, "scheme": 0}),
    );
    let coats = view["schemes"][0]["coats"].as_array().unwrap();
    let painted = coats
        .iter()
        .find(|one| one["part"] == json!(coat_name))
        .unwrap();
    assert_eq!(
        coat(&view)["keep"],
        painted["mix"],
        "the mix that it has there"
    );

    // The paint keeps its name in the mix that is kept, and stays in the box.
    let paint = painted["mix"][0]["paint"].as_str().unwrap().to_owned();
    let view = seen(
        &mut desk,
        json!({"do": "rename_paint", "paint": paint, "name": "Tar Amber"}),
    );
    assert_eq!(coat(&view)["keep"][0]["paint"], "Tar Amber");
    for scheme in (0..view["schemes"].as_array().unwrap().len()).rev() {
        run(&mut desk, json!({"do": "remove_scheme", "scheme": scheme}));
    }
    let error = refused(
        &mut desk,
        json!({"do": "remove_paint", "paint": "Tar Amber"}),
    );
    assert!(error.contains("keeps"), "{error}");

    run(
        &mut desk,
        json!({"do": "keep", "part": coat_name, "scheme": null}),
    );
    run(
        &mut desk,
        json!({"do": "same_as", "part": coat_name, "other": other}),
    );
    let view = seen(
        &mut desk,
        json!({"do": "natural", "part": coat_name, "natural": false}),
    );
    assert_eq!(coat(&view)["keep"], json!([]));
    assert_eq!(coat(&view)["same_as"], json!(other));
    assert_eq!(coat(&view)["natural"], json!(false));
    let figure = saved_text(&mut desk, "figure.toml");
    assert!(
        figure.contains("natural = false") && figure.contains(&format!("same_as = \"{other}\"")),
        "{figure}"
    );

    run(
        &mut desk,
        json!({"do": "same_as", "part": coat_name, "other": null}),
    );
    let view = seen(
        &mut desk,
        json!({"do": "natural", "part": coat_name, "natural": true}),
    );
    assert_eq!(
        (&coat(&view)["same_as"], &coat(&view)["natural"]),
        (&json!(null), &json!(true))
    );
    let figure = saved_text(&mut desk, "figure.toml");
    assert!(
        !figure.contains("same_as") && !figure.contains("natural"),
        "{figure}"
    );
}

#[test]
fn tints_and_metal_are_written_to_the_paints_file() {
    let mut desk = demo_desk();
    let view = seen(&mut desk, json!({"do": "look"}));
    let [paint, partner] = [0, 1].map(|at| view["paints"][at]["name"].as_str().unwrap().to_owned());
    let tints = view["paints"][0]["tints"].as_array().unwrap().len();
    let tint = json!({"do": "add_tint", "paint": paint, "with": partner, "parts": [1.0, 9.0],
        "over_black": "#a09a88", "over_white": "#e8dcc0"});
    let view = seen(&mut desk, tint);
    let added = &view["paints"][0]["tints"][tints];
    assert_eq!(added["with"], json!(partner));
    assert_eq!(added["parts"], json!([1.0, 9.0]));
    assert_eq!(added["over"], json!(["#a09a88", "#e8dcc0"]));
    assert!(saved_text(&mut desk, "paints.toml").contains("parts = [1, 9]"));

    let view = seen(
        &mut desk,
        json!({"do": "paint_metallic", "paint": paint, "metallic": true}),
    );
    assert_eq!(view["paints"][0]["metallic"], json!(true));
    let view = seen(
        &mut desk,
        json!({"do": "paint_metallic", "paint": paint, "metallic": false}),
    );
    assert_eq!(view["paints"][0]["metallic"], json!(false));
    assert!(!saved_text(&mut desk, "paints.toml").contains("metallic = false"));

    let view = seen(
        &mut desk,
        json!({"do": "remove_tint", "paint": paint, "tint": tints}),
    );
    assert_eq!(view["paints"][0]["tints"].as_array().unwrap().len(), tints);
    let error = refused(
        &mut desk,
        json!({"do": "remove_tint", "paint": paint, "tint": 7}),
    );
    assert!(error.contains("no tint 8"), "{error}");
    let unknown = json!({"do": "add_tint", "paint": paint, "with": "Moon Dust", "parts": [1.0, 9.0],
        "over_black": "#a09a88", "over_white": "#e8dcc0"});
    let error = refused(&mut desk, unknown);
    assert!(error.contains("Moon Dust"), "{error}");
}
