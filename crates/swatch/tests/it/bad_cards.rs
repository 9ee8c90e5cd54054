//! Bad photos of cards and wrong layouts: each with its whole message.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    missing_docs,
    unreachable_pub,
    reason = "everything here is a test: it may fail loudly and prints its figures"
)]

use velatura_document::Diagnostic;
use velatura_document::SourceText;
use velatura_photo::{DecodeLimits, decode_photo};
use velatura_swatch::{Strip, read_card, read_layout_file};
use velatura_testkit::cards::Scene;

fn source(text: &str) -> SourceText {
    SourceText::new("layout.toml", text)
}

/// Everything reported about a photo: warnings, or the errors that stopped the work.
fn reported(bytes: &[u8], layout: &str) -> (bool, Vec<String>) {
    let layout =
        read_layout_file(&source(layout)).unwrap_or_else(|problems| panic!("{problems:?}"));
    let layout = layout.value;
    let photo = decode_photo("card.jpg", bytes, &DecodeLimits::default())
        .unwrap()
        .value;
    let text = |found: Vec<Diagnostic>| found.iter().map(ToString::to_string).collect();
    match read_card("card.jpg", &photo, &layout) {
        Ok(reading) => (true, text(reading.warnings)),
        Err(errors) => (false, text(errors)),
    }
}

/// Small pictures are enough where only the message matters.
fn scene() -> Scene {
    Scene {
        noise_codes: 1.5,
        ..Scene::upright()
    }
}

#[test]
fn a_good_photo_is_reported_nothing_about() {
    let scene = scene();
    assert_eq!(
        reported(&scene.jpeg(92), &scene.layout()),
        (true, Vec::new())
    );
}

#[test]
fn a_photo_without_a_card_and_one_that_cuts_it_off() {
    let mut scene = scene();
    let help = "  help: photograph the whole card from above so that it fills most of the picture, or write the pixels of the marks into the layout: corners = [[x, y], …], clockwise from the upper left of the card";
    let expected =
        "  expected: one card with all four corner marks, sharp, complete and without glare";
    scene.corners = scene.corners.map(|[x, y]| [x + 5000.0, y]);
    assert_eq!(
        reported(&scene.jpeg(92), &scene.layout()).1,
        [format!(
            "error: card.jpg: no corner mark of a card is visible\n{expected}\n{help}"
        )]
    );
    // The card's upper left is outside.
    scene.corners = Scene::upright().corners.map(|[x, y]| [x - 160.0, y]);
    assert_eq!(
        reported(&scene.jpeg(92), &scene.layout()).1,
        [format!(
            "error: card.jpg: 2 of 4 corner marks are visible; the upper left one (with a hole in its disc) is missing\n{expected}\n{help}"
        )]
    );
}

#[test]
fn given_corners_outside_the_photo() {
    let scene = scene();
    let layout = scene.layout().replacen(
        "\n\n",
        "\ncorners = [[-200, 0], [700, 0], [700, 1200], [-200, 1200]]\n\n",
        1,
    );
    let (good, found) = reported(&scene.jpeg(92), &layout);
    assert!(!good);
    assert_eq!(
        found,
        [
            "error: card.jpg: the bare card is partly outside the photo\n  in: layout.toml\n  expected: the whole card in the photo\n  help: photograph the whole card with a little of the table around it, or correct `corners`"
        ]
    );
}

#[test]
fn clipped_white_stops_and_a_mirrored_card_is_seen() {
    let over = Scene {
        exposure: [1.3, 1.2, 1.1],
        ..scene()
    };
    let (good, found) = reported(&over.jpeg(92), &over.layout());
    assert!(!good);
    assert_eq!(
        found,
        [
            "error: card.jpg: the bare white is clipped: 100 % of its pixels are at the maximum\n  expected: white below code 254 in every channel: otherwise the light on it, and so the white balance, is unknown\n  help: take the photo again with less exposure (on a phone: touch the card, then drag down), so that white is light grey"
        ]
    );

    let mut mirrored = scene();
    let [a, b, c, d] = mirrored.corners;
    mirrored.corners = [b, a, d, c];
    let (good, found) = reported(&mirrored.jpeg(92), &mirrored.layout());
    assert!(!good && found.len() == 1, "{found:?}");
    assert!(
        found[0].contains("where bare black and bare white should be")
            && found[0].contains("mirrored"),
        "{found:?}"
    );
}

#[test]
fn blur_is_a_warning_first_and_then_an_error() {
    // 4.2 pixels per mm: 10 % to 90 % of a Gaussian's edge is 2.56 deviations.
    for (blur_px, stops) in [(3.2, false), (6.5, true)] {
        let blurred = Scene { blur_px, ..scene() };
        let corners = blurred
            .corners
            .map(|[x, y]| format!("[{x}, {y}]"))
            .join(", ");
        let layout = blurred
            .layout()
            .replacen("\n\n", &format!("\ncorners = [{corners}]\n\n"), 1);
        let (good, found) = reported(&blurred.jpeg(92), &layout);
        assert_eq!(good, !stops, "{found:?}");
        let kind = if stops { "error" } else { "warning" };
        let width = 2.56 * f64::from(blur_px) / 4.2;
        let near = [width - 0.3, width + 0.3];
        let begin =
            format!("{kind}: card.jpg: the photo is blurred: the edge between black and white is ");
        let rest = found[0]
            .strip_prefix(&begin)
            .unwrap_or_else(|| panic!("{found:?}"));
        let reported: f64 = rest.split(' ').next().unwrap().parse().unwrap();
        assert!(
            (near[0]..near[1]).contains(&reported),
            "{reported}, {near:?}"
        );
        assert!(rest.ends_with("at most 1.5 mm; from 3 mm, neighbouring fields blend into each other\n  help: hold the phone still, clean its lens, touch the card to focus, or use more light"), "{rest}");
    }
}

#[test]
fn a_glint_haze_uneven_light_and_darkness_are_reported() {
    let glint = Scene {
        glint: Some(([22.0, 41.0], 3.0, 0.6)),
        ..scene()
    };
    let (good, found) = reported(&glint.jpeg(92), &glint.layout());
    assert!(
        good && found
            .iter()
            .any(|one| one.starts_with("warning: card.jpg: over black, ")
                && one.contains(
                    "of the field shows glare\n  in: field \"Oil Amber\" (place 1 of layout.toml)"
                )),
        "{found:?}"
    );

    let haze = Scene {
        veil: [0.06; 3],
        ..scene()
    };
    let (good, found) = reported(&haze.jpeg(92), &haze.layout());
    assert!(good && found.len() == 1, "{found:?}");
    assert!(found[0].starts_with("warning: card.jpg: the bare black measures 9 % of the bare white\n  expected: 1 % for the cards of the layout"), "{found:?}");

    let uneven = Scene {
        gradient: [0.46, 0.22, -0.05],
        ..scene()
    };
    let (good, found) = reported(&uneven.jpeg(92), &uneven.layout());
    assert!(
        good && found.iter().any(|one| one.contains("the light is uneven")),
        "{found:?}"
    );

    let dark = Scene {
        exposure: [0.12; 3],
        ..scene()
    };
    let (good, found) = reported(&dark.jpeg(92), &dark.layout());
    assert!(
        good && found.iter().any(|one| one
            .starts_with("warning: card.jpg: the photo is dark: bare white has luminance 0.10")),
        "{found:?}"
    );
}

#[test]
fn a_place_without_a_drawdown_and_a_colour_outside_srgb_are_reported() {
    let scene = scene();
    let layout = scene.layout() + "\n[[field]]\nname = \"Nothing\"\n";
    let (good, found) = reported(&scene.jpeg(92), &layout);
    assert!(good);
    assert_eq!(
        found,
        [
            "warning: card.jpg: the field looks like bare card on both strips\n  in: field \"Nothing\" (place 13 of layout.toml)\n  expected: a drawdown across both\n  help: remove the field from the layout, or correct its `place`"
        ]
    );

    // Two of them are one message.
    let layout = layout + "\n[[field]]\nname = \"Nothing more\"\n";
    let (good, found) = reported(&scene.jpeg(92), &layout);
    assert!(good);
    assert_eq!(
        found,
        [
            "warning: card.jpg: 2 fields look like bare card on both strips: \"Nothing\" (place 13), \"Nothing more\" (place 14)\n  in: layout.toml\n  expected: a drawdown across both\n  help: remove the field from the layout, or correct its `place`"
        ]
    );

    // A card that is truly darker than the layout says makes a saturated paint leave the gamut.
    let (good, found) = reported(
        &scene.jpeg(92),
        &scene.layout().replace("#1c1c1c", "#0c0c0c"),
    );
    assert!(
        good && found.iter().any(|one| one.contains("outside sRGB")),
        "{found:?}"
    );
}

#[test]
fn every_mistake_of_a_layout_is_reported_at_once() {
    let text = r##"format = "velatura-layout/1"
corners = [[0, 0], [0, 100], [100, 100], [100, 0]]

[cards]
black = "#f4f2ee"
white = "#1c1c1c"

[[field]]
name = "Oil Amber"
shade = 2

[[field]]
name = "Oil Amber"

[[field]]
name = "Oil Amber"
with = "Gul White"
parts = [1, 0]

[[field]]
name = "Sedge"
place = 40
"##;
    let problems = read_layout_file(&source(text)).unwrap_err();
    let found: Vec<&str> = problems.iter().map(|one| one.found.as_str()).collect();
    assert_eq!(
        found,
        [
            "the corners are not in clockwise order",
            "the black card (#f4f2ee) is not darker than the white card (#1c1c1c)",
            "unknown key `shade`",
            "number 2 of `parts` is 0",
            "this field would be in place 40 of the card",
        ]
    );
    assert!(
        problems.iter().all(|one| one.expected.is_some()),
        "{problems:?}"
    );
}

#[test]
fn paints_need_one_drawdown_each_and_tints_name_paints_of_the_card() {
    let text = "format = \"velatura-layout/1\"\n\n[[field]]\nname = \"Oil Amber\"\n\n[[field]]\nname = \"Gull White\"\n\n[[field]]\nname = \"Gull White\"\n\n[[field]]\nname = \"Oil Amber\"\nwith = \"Gul White\"\nparts = [1, 9]\n";
    let problems = read_layout_file(&source(text)).unwrap_err();
    let found: Vec<String> = problems
        .iter()
        .map(|one| {
            format!(
                "{} / {}",
                one.found,
                one.help
                    .as_ref()
                    .map(ToString::to_string)
                    .unwrap_or_default()
            )
        })
        .collect();
    assert_eq!(
        found,
        [
            "two fields are called \"Gull White\" / rename one of them, or remove the worse one",
            "there is no drawdown of \"Gul White\" alone / did you mean \"Gull White\"?",
        ]
    );
}

#[test]
fn painted_places_without_a_name_are_reported_together() {
    let scene = scene();
    let mut layout = scene.layout();
    // The last two of twelve are not named.
    for _ in 0..2 {
        layout.truncate(layout.rfind("\n[[field]]").unwrap());
    }
    let (good, found) = reported(&scene.jpeg(92), &layout);
    assert!(good);
    assert_eq!(
        found,
        [
            "warning: card.jpg: 2 places are painted, but the layout does not name them: 11, 12\n  in: layout.toml\n  expected: a [[field]] for every drawdown, in the order of the places or with `place`\n  help: add the missing fields; if the names belong to other places, check their order"
        ]
    );
}

#[test]
fn rows_without_drawdowns_need_no_black_strip() {
    let mut scene = scene();
    scene.drawdowns.truncate(8);
    let right = reported(&scene.jpeg(92), &scene.layout());
    assert_eq!(right, (true, Vec::new()));
    // Where the black card is missing, the strip is white paper.
    let white = velatura_testkit::cards::WHITE.linear();
    for pair in &scene.geometry.pairs[1..] {
        let strip = scene.geometry.strip(pair, Strip::Black);
        scene.patches.push((strip, white));
    }
    assert_eq!(reported(&scene.jpeg(92), &scene.layout()), right);
    // Must fail: the first row needs its own.
    let strip = scene.geometry.strip(&scene.geometry.pairs[0], Strip::Black);
    scene.patches.push((strip, white));
    let (good, found) = reported(&scene.jpeg(92), &scene.layout());
    assert!(!good, "{found:?}");
}
