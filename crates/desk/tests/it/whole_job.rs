//! From a photo to pictures, and the same pictures from the command's own function on the saved files.

use serde_json::json;
use velatura::{DiskFiles, MemoryOutputs, RenderOptions, render, render_pictures, session};
use velatura_desk::{Desk, PutKind, TakeKind};

use crate::{demo, demo_desk, run, small, unzipped, zipped};

/// Strokes on the small demo photo: part and points. Placed by hand.
fn draw_everything(desk: &mut Desk) {
    let strokes = [
        (None, [[30.0, 30.0], [30.0, 750.0]]),
        (None, [[500.0, 30.0], [500.0, 750.0]]),
        (Some("coat"), [[260.0, 350.0], [260.0, 500.0]]),
        (Some("hood"), [[260.0, 190.0], [265.0, 210.0]]),
    ];
    for (part, points) in strokes {
        run(
            desk,
            json!({"do": "stroke", "part": part, "erase": false, "radius": 6.0, "points": points}),
        );
    }
}

/// A desk with the demo photo, two parts and the example paints.
fn started() -> Desk {
    let mut desk = Desk::new().unwrap();
    let view = desk
        .put(PutKind::Photo, "lamplighter.jpg", small("lamplighter.jpg"))
        .unwrap();
    assert_eq!(view.missing, ["parts", "paints", "schemes"]);
    assert_eq!(view.name, "lamplighter");
    for part in ["coat", "hood"] {
        run(&mut desk, json!({"do": "add_part", "name": part}));
    }
    draw_everything(&mut desk);
    run(&mut desk, json!({"do": "example_paints"}));
    desk
}

#[test]
fn a_photo_strokes_and_paints_become_ten_pictures() {
    let mut desk = started();
    let view = run(
        &mut desk,
        json!({"do": "explore", "seed": 1, "replace": true, "mood": null}),
    );
    assert_eq!(view.schemes.len(), 10, "{:?}", view.problems);
    assert!(view.missing.is_empty());
    assert!(view.parts.iter().all(|part| part.share.is_none()));
    let quick = desk.overlay(false).unwrap().unwrap();
    let fine = desk.overlay(true).unwrap().unwrap();
    assert!(quick.width < fine.width);
    let view = run(&mut desk, json!({"do": "look"}));
    let shares: f64 = view.parts.iter().filter_map(|part| part.share).sum();
    assert!((shares - 1.0).abs() < 1e-9, "{shares}");
    let first = desk.tile(0).unwrap();
    let second = desk.tile(1).unwrap();
    assert_eq!((first.width, first.height), (second.width, second.height));
    assert_ne!(first.rgba, second.rgba);
    // Once a tile is made, its chips know what the eye sees.
    let view = run(&mut desk, json!({"do": "look"}));
    assert!(view.schemes[0].chips.iter().all(|chip| chip.seen.is_some()));
    assert!(view.schemes[2].chips.iter().all(|chip| chip.seen.is_none()));
}

#[test]
fn the_saved_project_renders_to_the_same_pictures() {
    let mut desk = started();
    run(
        &mut desk,
        json!({"do": "explore", "seed": 3, "replace": true, "mood": null}),
    );
    let tile = desk.tile(4).unwrap();
    let sheet = desk.take(TakeKind::Sheet, 0, 0).unwrap().bytes;
    let page = desk.take(TakeKind::Page, 0, 0).unwrap().bytes;
    let saved = desk.take(TakeKind::Project, 0, 0).unwrap();
    assert_eq!(saved.name, "lamplighter.zip");

    let folder = tempfile::tempdir().unwrap();
    for (name, bytes) in unzipped(&saved.bytes) {
        std::fs::write(folder.path().join(name), bytes).unwrap();
    }
    let job = session()
        .build()
        .unwrap()
        .load(&DiskFiles, folder.path().join("figure.toml"))
        .unwrap();
    let outputs = MemoryOutputs::new();
    render(&job, &RenderOptions::default().previews(None), &outputs).unwrap();
    let mut files = outputs.take();
    assert!(files.remove("sheet.png").unwrap() == sheet, "sheet.png");
    assert!(files.remove("index.html").unwrap() == page, "index.html");

    let pictures = render_pictures(&job, &RenderOptions::default()).unwrap();
    let crop = job.underpainting.crop_box();
    let width = job.underpainting.subject.width as usize;
    let picture = &pictures.pictures[4].pixels;
    for y in 0..crop.height as usize {
        let start = (crop.y as usize + y) * width + crop.x as usize;
        let row = &picture[start..start + crop.width as usize];
        let from = y * crop.width as usize * 4;
        let drawn = &tile.rgba[from..from + crop.width as usize * 4];
        assert!(
            row.iter()
                .zip(drawn.chunks_exact(4))
                .all(|(code, pixel)| *code == pixel[..3] && pixel[3] == 255),
            "row {y}"
        );
    }
}

#[test]
fn a_saved_project_opens_again_as_it_was() {
    let mut desk = started();
    run(&mut desk, json!({"do": "add_scheme"}));
    let saved = desk.take(TakeKind::Project, 0, 0).unwrap().bytes;
    let tile = desk.tile(0).unwrap();
    let mut again = Desk::new().unwrap();
    let view = again
        .put(PutKind::Project, "lamplighter.zip", saved.clone())
        .unwrap();
    assert_eq!(view.mask, "strokes");
    // What a page keeps opens to the same project.
    let draft = desk.take(TakeKind::Draft, 0, 0).unwrap().bytes;
    assert!(unzipped(&draft).len() + 1 == unzipped(&saved).len());
    let mut kept = Desk::new().unwrap();
    kept.put(PutKind::Project, "lamplighter.zip", draft)
        .unwrap();
    assert!(kept.tile(0).unwrap() == tile, "the tile of the draft");
    assert!(again.tile(0).unwrap() == tile, "the tile");
    assert!(
        again.take(TakeKind::Project, 0, 0).unwrap().bytes == saved,
        "the archive"
    );
    // Its strokes can be continued.
    let more = run(
        &mut again,
        json!({"do": "stroke", "part": "hood", "erase": false, "radius": 10.0, "points": [[250.0, 180.0]]}),
    );
    assert!(more.can_undo);
}

#[test]
fn undo_brings_back_every_earlier_state() {
    let mut desk = demo_desk();
    let tile = desk.tile(0).unwrap();
    let before = run(&mut desk, json!({"do": "look"}));
    let steps = [
        json!({"do": "mix", "scheme": 0, "coat": 0, "paint": "medium", "parts": 9}),
        json!({"do": "film", "scheme": 0, "coat": 0, "film": 0.5}),
        json!({"do": "rename_part", "part": "coat", "name": "great coat"}),
        json!({"do": "remove_part", "part": "hands"}),
        json!({"do": "duplicate_scheme", "scheme": 1}),
        json!({"do": "remove_scheme", "scheme": 0}),
        json!({"do": "undercoat", "kind": "plain"}),
    ];
    let mut views = vec![before.clone()];
    for step in &steps {
        views.push(run(&mut desk, step.clone()));
    }
    for view in views.iter().rev().skip(1) {
        let undone = run(&mut desk, json!({"do": "undo"}));
        assert_eq!(undone.schemes, view.schemes);
        assert_eq!(undone.parts, view.parts);
        assert_eq!(undone.undercoat, view.undercoat);
    }
    assert!(desk.tile(0).unwrap() == tile, "the first picture");
    for view in &views[1..] {
        let redone = run(&mut desk, json!({"do": "redo"}));
        assert_eq!(redone.parts, view.parts);
        assert_eq!(redone.undercoat, view.undercoat);
    }
    let nothing = run(&mut desk, json!({"do": "redo"}));
    assert_eq!(nothing.said, "nothing to do");
}

#[test]
fn only_tiles_whose_picture_changes_get_a_new_number() {
    let mut desk = demo_desk();
    let before = run(&mut desk, json!({"do": "look"}));
    let after = run(
        &mut desk,
        json!({"do": "mix", "scheme": 2, "coat": 0, "paint": "medium", "parts": 7}),
    );
    for (index, (old, new)) in before.schemes.iter().zip(&after.schemes).enumerate() {
        assert_eq!(old.tile == new.tile, index != 2, "scheme {index}");
    }
    let renamed = run(
        &mut desk,
        json!({"do": "rename_scheme", "scheme": 2, "name": "Other"}),
    );
    assert_eq!(renamed.schemes[2].tile, after.schemes[2].tile);
    // A paint that is in the box but in no coat changes no picture.
    let added = run(
        &mut desk,
        json!({"do": "add_paint", "name": "New Rope", "over_black": "#403020", "over_white": "#a08060"}),
    );
    let numbers = |view: &velatura_desk::View| -> Vec<_> {
        view.schemes.iter().map(|scheme| scheme.tile).collect()
    };
    assert_eq!(numbers(&added), numbers(&renamed));
}

#[test]
fn the_part_under_a_place_of_a_tile_is_found() {
    let mut desk = demo_desk();
    let tile = desk.tile(0).unwrap();
    let mut found = std::collections::BTreeSet::new();
    for y in (0..tile.height).step_by(10) {
        for x in (0..tile.width).step_by(10) {
            found.extend(desk.part_at(x, y).unwrap());
        }
    }
    let view = run(&mut desk, json!({"do": "look"}));
    for part in ["coat", "hood", "lantern"] {
        assert!(found.contains(part), "{part} in {found:?}");
        assert!(view.parts.iter().any(|one| one.name == part));
    }
    assert_eq!(desk.part_at(0, 0).unwrap(), None);
    assert_eq!(desk.part_at(tile.width + 5, 0).unwrap(), None);
}

#[test]
fn an_opposite_follows_its_scheme() {
    let mut desk = demo_desk();
    let count = run(&mut desk, json!({"do": "look"})).schemes.len();
    let opposed = run(&mut desk, json!({"do": "oppose", "scheme": 0}));
    assert_eq!(opposed.schemes.len(), count + 1);
    assert!(opposed.said.contains("opposite"), "{}", opposed.said);
    let [first, second] = [0, 1].map(|at| opposed.schemes[at].name.clone());
    assert!(second.contains(&first), "{second}");
}

#[test]
fn two_schemes_are_compared_as_teams() {
    let mut desk = demo_desk();
    let page = desk.take(TakeKind::Pair, 0, 4).unwrap();
    let text = String::from_utf8(page.bytes).unwrap();
    let view = run(&mut desk, json!({"do": "look"}));
    for scheme in [0, 4] {
        assert!(text.contains(&view.schemes[scheme].name));
    }
    assert!(desk.take(TakeKind::Pair, 0, 99).is_err());
}

#[test]
fn a_matched_colour_becomes_the_only_coat_of_its_part() {
    let mut desk = demo_desk();
    let matched = run(
        &mut desk,
        json!({"do": "match", "scheme": 0, "part": "coat", "colour": "#6a7a9a"}),
    );
    let coats = matched.schemes[0].coats.iter();
    assert_eq!(coats.filter(|coat| coat.part == "coat").count(), 1);
    assert!(matched.said.contains("ΔE"), "{}", matched.said);
}

#[test]
fn a_loaded_mask_says_how_much_each_part_covers() {
    let mut desk = demo_desk();
    let view = run(&mut desk, json!({"do": "look"}));
    assert_eq!(view.mask, "file");
    let shares: Vec<f64> = view.parts.iter().filter_map(|part| part.share).collect();
    assert_eq!(shares.len(), view.parts.len());
    assert!(
        (shares.iter().sum::<f64>() - 1.0).abs() < 1e-9,
        "{shares:?}"
    );
    assert!(shares.iter().all(|share| *share > 0.0), "{shares:?}");
}

#[test]
fn before_the_background_has_a_stroke_the_border_of_the_photo_is_background() {
    let mut desk = started();
    run(&mut desk, json!({"do": "clear_strokes"}));
    let (width, height) = {
        let photo = run(&mut desk, json!({"do": "look"})).photo.unwrap();
        (f64::from(photo.width), f64::from(photo.height))
    };
    let part = run(&mut desk, json!({"do": "look"})).parts[0].name.clone();
    let points = [[0.45 * width, 0.5 * height], [0.5 * width, 0.6 * height]];
    run(
        &mut desk,
        json!({"do": "stroke", "part": part, "erase": false, "radius": 8.0, "points": points}),
    );
    let overlay = desk.overlay(true).unwrap().unwrap();
    let drawn = overlay
        .rgba
        .chunks_exact(4)
        .filter(|pixel| pixel[3] > 0)
        .count();
    let all = overlay.rgba.len() / 4;
    assert!(drawn > all / 100, "{drawn} of {all} pixels are figure");
    assert!(drawn < all / 2, "{drawn} of {all} pixels are figure");
    assert_eq!(overlay.rgba[3], 0, "the corner is background");
}

#[test]
fn the_project_that_a_page_kept_is_the_beginning() {
    let mut desk = demo_desk();
    let kept = desk.take(TakeKind::Draft, 0, 0).unwrap().bytes;
    let mut again = Desk::new().unwrap();
    let view = again.put(PutKind::Kept, "desk.zip", kept).unwrap();
    assert!(!view.can_undo, "there is nothing before it");
    assert!(!view.schemes.is_empty());
}

#[test]
fn a_photo_that_a_phone_named_gives_the_figure_no_name() {
    let photo = small("lamplighter.jpg");
    for (file, name) in [
        ("IMG_20261201_093011.jpg", "my figure"),
        ("PXL_20261201.MP.jpg", "my figure"),
        ("photo.jpg", "my figure"),
        ("0042.jpg", "my figure"),
        ("photographer.jpg", "photographer"),
        ("Lamplighter.jpg", "Lamplighter"),
    ] {
        let mut desk = Desk::new().unwrap();
        let view = desk.put(PutKind::Photo, file, photo.clone()).unwrap();
        assert_eq!(view.name, name, "{file}");
    }
}

#[test]
fn rivals_have_a_figure_of_their_own() {
    let mut desk = demo_desk();
    let own = desk.take(TakeKind::Pair, 0, 1).unwrap().bytes;
    let files = [
        "figure.toml",
        "paints.toml",
        "schemes.toml",
        "reedwarden.jpg",
        "reedwarden-mask.png",
    ];
    let files: Vec<(&str, Vec<u8>)> = files
        .iter()
        .map(|name| (*name, demo(&format!("reedwarden/{name}"))))
        .collect();
    let before = run(&mut desk, json!({"do": "look"}));
    let view = desk
        .put(PutKind::Rival, "reedwardens.zip", zipped(&files))
        .unwrap();
    let rival = view.rival.clone().unwrap();
    assert!(rival.name.contains("Reedwarden"), "{}", rival.name);
    assert!(!rival.schemes.is_empty());
    // The project on the desk stays as it is.
    assert_eq!(
        (view.version, &view.schemes),
        (before.version, &before.schemes)
    );
    assert_eq!(view.can_undo, before.can_undo);
    let pair = desk
        .take(TakeKind::Pair, 0, rival.schemes.len() - 1)
        .unwrap()
        .bytes;
    let page = String::from_utf8(pair.clone()).unwrap();
    assert!(page.contains(&rival.name) && pair != own);
    let error = desk
        .take(TakeKind::Pair, 0, rival.schemes.len())
        .unwrap_err();
    assert!(
        error.diagnostics()[0].found.contains("no scheme"),
        "{error}"
    );
    let error = desk
        .put(PutKind::Rival, "no.zip", vec![1, 2, 3])
        .unwrap_err();
    assert_eq!(error.diagnostics()[0].file, "no.zip");
    assert!(
        run(&mut desk, json!({"do": "look"})).rival.is_some(),
        "the rivals stay"
    );
}
