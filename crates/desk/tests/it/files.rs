//! Files that painters put: large, turned, wrong, and in the wrong place.

use serde_json::json;
use velatura_desk::{Desk, PutKind, TakeKind, WORKING_EDGE};

use crate::{demo, demo_desk, demo_zip, run, small, unzipped, zipped};

fn problem(desk: &mut Desk, kind: PutKind, name: &str, bytes: &[u8]) -> String {
    let error = desk.put(kind, name, bytes.to_vec()).unwrap_err();
    let problem = &error.diagnostics()[0];
    assert_ne!(problem.found, "");
    format!("{}: {}", problem.file, problem.found)
}

#[test]
fn a_large_photo_is_worked_on_in_a_smaller_copy() {
    let small = image::load_from_memory(&demo("lamplighter/lamplighter.jpg")).unwrap();
    let large = small.resize_exact(3000, 4000, image::imageops::FilterType::Triangle);
    let mut bytes = std::io::Cursor::new(Vec::new());
    large
        .write_to(&mut bytes, image::ImageFormat::Jpeg)
        .unwrap();
    let mut desk = Desk::new().unwrap();
    let view = desk
        .put(PutKind::Photo, "IMG_1.JPG", bytes.into_inner())
        .unwrap();
    let photo = view.photo.unwrap();
    assert_eq!((photo.original.width, photo.original.height), (3000, 4000));
    assert_eq!((photo.width, photo.height), (1200, WORKING_EDGE));
    let pixels = desk.photo().unwrap();
    assert_eq!((pixels.width, pixels.height), (1200, WORKING_EDGE));
    // The light stays: the mean over the photo is that of the small one.
    let mean = |rgba: &[u8]| {
        let sum: u64 = rgba.chunks_exact(4).map(|pixel| u64::from(pixel[1])).sum();
        sum / (rgba.len() as u64 / 4)
    };
    let expected = mean(&small.to_rgba8());
    assert!(mean(&pixels.rgba).abs_diff(expected) <= 2);
}

#[test]
fn wrong_files_are_refused_with_their_name_and_change_nothing() {
    let mut desk = demo_desk();
    let before = run(&mut desk, json!({"do": "look"}));
    let broken = &demo("lamplighter/lamplighter.jpg")[..2000];
    for (kind, name, bytes) in [
        (PutKind::Photo, "notes.txt", b"not a picture".as_slice()),
        (PutKind::Photo, "cut.jpg", broken),
        (PutKind::Photo, "empty.png", b""),
        (PutKind::Mask, "cut.png", broken),
        (PutKind::Mask, "tiny.png", &demo("card/card.jpg")),
        (
            PutKind::Paints,
            "paints.toml",
            b"format = \"velatura-paints/1\"\npaint = 3\n",
        ),
        (PutKind::Paints, "paints.toml", b"\xff\xfe"),
        (PutKind::Schemes, "schemes.toml", b"[[scheme]]\nname = 3\n"),
        (PutKind::Project, "cut.zip", &demo_zip()[..5000]),
        (PutKind::Project, "photo.jpg", broken),
        (PutKind::Card, "card.jpg", b"no card"),
    ] {
        let found = problem(&mut desk, kind, name, bytes);
        assert!(found.starts_with(name), "{found}");
    }
    let nothing = zipped(&[("readme.txt", b"hello".to_vec())]);
    let found = problem(&mut desk, PutKind::Project, "other.zip", &nothing);
    assert!(found.contains("no figure.toml"), "{found}");
    let after = run(&mut desk, json!({"do": "look"}));
    assert_eq!(after.version, before.version);
    assert_eq!(after.schemes, before.schemes);
}

#[test]
fn a_painters_own_folder_opens_as_a_zip() {
    let mut desk = demo_desk();
    let view = run(&mut desk, json!({"do": "look"}));
    assert_eq!(view.mask, "file");
    assert_eq!(view.schemes.len(), 10);
    assert!(view.light_photo.is_some());
    assert!(view.missing.is_empty());
    let saved = desk.take(TakeKind::Project, 0, 0).unwrap();
    // All that the command needs, and every file as it was.
    for (name, bytes) in unzipped(&saved.bytes) {
        assert!(bytes == small(&name), "{name}");
    }
    assert_eq!(unzipped(&saved.bytes).len(), 6);
}

#[test]
fn paths_that_lead_out_of_an_archive_are_left_out() {
    let mut files: Vec<(String, Vec<u8>)> = unzipped(&demo_zip());
    files.push(("../../evil.toml".to_owned(), b"x".to_vec()));
    files.push(("/etc/evil.toml".to_owned(), b"x".to_vec()));
    let borrowed: Vec<(&str, Vec<u8>)> = files
        .iter()
        .map(|(name, bytes)| (&**name, bytes.clone()))
        .collect();
    let mut desk = Desk::new().unwrap();
    let view = desk
        .put(PutKind::Project, "lamplighter.zip", zipped(&borrowed))
        .unwrap();
    assert_eq!(view.schemes.len(), 10);
}

#[test]
fn a_card_is_read_by_the_names_of_its_places() {
    let mut desk = Desk::new().unwrap();
    let view = desk
        .put(PutKind::Card, "card.jpg", demo("card/card.jpg"))
        .unwrap();
    let card = view.card.unwrap();
    assert_eq!((card.name.as_str(), card.places), ("card.jpg", 24));
    let view = run(
        &mut desk,
        json!({"do": "read_card", "names": ["First Paint", "", "Third Paint", ""]}),
    );
    let names: Vec<&str> = view.paints.iter().map(|paint| &*paint.name).collect();
    assert_eq!(names, ["First Paint", "Third Paint"]);
    assert!(view.card.is_none());
    assert!(
        view.paints
            .iter()
            .all(|paint| paint.owned && paint.given == "drawdown")
    );
}

#[test]
fn a_mask_made_over_the_large_photo_fits_the_copy() {
    let mut desk = Desk::new().unwrap();
    let turned = image::load_from_memory(&demo("lamplighter/lamplighter.jpg")).unwrap();
    let large = turned.resize_exact(2400, 3600, image::imageops::FilterType::Triangle);
    let mut bytes = std::io::Cursor::new(Vec::new());
    large
        .write_to(&mut bytes, image::ImageFormat::Jpeg)
        .unwrap();
    desk.put(PutKind::Photo, "large.jpg", bytes.into_inner())
        .unwrap();
    let mask = image::load_from_memory(&demo("lamplighter/lamplighter-mask.png")).unwrap();
    let mask = mask.resize_exact(2400, 3600, image::imageops::FilterType::Nearest);
    let mut bytes = std::io::Cursor::new(Vec::new());
    mask.write_to(&mut bytes, image::ImageFormat::Png).unwrap();
    let view = desk
        .put(PutKind::Mask, "mask.png", bytes.into_inner())
        .unwrap();
    assert_eq!(view.mask, "file");
    assert!(view.parts.len() > 5, "{:?}", view.parts);
    let overlay = desk.overlay(true).unwrap().unwrap();
    assert_eq!((overlay.width, overlay.height), (1067, WORKING_EDGE));
    run(&mut desk, json!({"do": "example_paints"}));
    run(&mut desk, json!({"do": "add_scheme"}));
    assert!(desk.tile(0).is_ok());
}
