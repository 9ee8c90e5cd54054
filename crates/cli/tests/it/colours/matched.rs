//! `velatura match`.

use serde_json::Value;
use velatura_pipeline::optics::colour::Encoded;
use velatura_tests::assert_close;

use super::{PAINTS, desk, keys, number};
use crate::desk::Desk;

fn matches(reported: &Value) -> &Vec<Value> {
    reported["matches"].as_array().unwrap()
}

/// A colour over #e0e0e0 that two of the paints can make.
fn reachable(desk: &Desk) -> String {
    let reported = desk.json(&[
        "predict",
        "--coat",
        "Oil Amber:1,Deep Eel:2,medium:2",
        "--over",
        "#e0e0e0",
    ]);
    reported["results"][0]["srgb"].as_str().unwrap().to_owned()
}

#[test]
fn the_best_come_first_from_owned_paints_with_what_they_are_worth() {
    let desk = desk();
    let reported = desk.json(&["match", "--target", "#5fa8a0", "--over", "#e0e0e0"]);
    assert_eq!(reported["format"], "velatura-match/1");
    assert_eq!(reported["target"]["srgb"], "#5fa8a0");
    assert_eq!(reported["films"], serde_json::json!([0.5, 1.0, 1.5, 2.0]));
    let matches = matches(&reported);
    assert_eq!(matches.len(), 5);
    for one in matches {
        assert_eq!(
            keys(one),
            [
                "basis",
                "best_at",
                "coats",
                "delta_e",
                "estimated_error",
                "film",
                "in_gamut",
                "lab",
                "mix",
                "one_part_off",
                "srgb"
            ]
        );
        let mix = one["mix"].as_object().unwrap();
        assert!(!mix.contains_key("Tar Violet"), "it is not owned: {mix:?}");
        let parts: u64 = mix.values().map(|parts| parts.as_u64().unwrap()).sum();
        assert!(parts <= 10 && mix.len() - usize::from(mix.contains_key("medium")) <= 3);
        let slips = one["one_part_off"]["each"].as_array().unwrap();
        assert_eq!(slips.len(), mix.len());
        let worst = slips
            .iter()
            .flat_map(|slip| [slip["more"].as_f64(), slip["less"].as_f64()])
            .flatten()
            .fold(0.0, f64::max);
        assert_close(
            number(&one["one_part_off"]["worst"]),
            worst,
            1e-9,
            "worst slip",
        );
    }
    let best_at: Vec<&str> = matches
        .iter()
        .flat_map(|one| one["best_at"].as_array().unwrap())
        .map(|word| word.as_str().unwrap())
        .collect();
    assert_eq!(matches[0]["best_at"][0], "nearest");
    for word in ["simplest", "hardest to spoil", "most medium"] {
        assert_eq!(
            best_at.iter().filter(|own| **own == word).count(),
            1,
            "{word}"
        );
    }
    for pair in matches.windows(2) {
        assert!(number(&pair[0]["delta_e"]) <= number(&pair[1]["delta_e"]));
    }
    assert!(number(&reported["best_possible_delta_e"]) <= number(&matches[0]["delta_e"]));
}

#[test]
fn what_match_promises_predict_keeps() {
    let desk = desk();
    let reported = desk.json(&[
        "match", "--target", "#7a9a60", "--over", "#c0c0c0", "--count", "3",
    ]);
    for one in matches(&reported) {
        let coat: Vec<String> = one["mix"]
            .as_object()
            .unwrap()
            .iter()
            .map(|(name, parts)| format!("{name}:{parts}"))
            .collect();
        let film = one["film"].to_string();
        let dried = desk.json(&[
            "predict",
            "--coat",
            &coat.join(","),
            "--film",
            &film,
            "--over",
            "#c0c0c0",
        ]);
        for key in ["srgb", "lab", "basis", "in_gamut"] {
            assert_eq!(dried["results"][0][key], one[key], "{key}");
        }
    }
}

#[test]
fn limits_are_kept() {
    let desk = desk();
    let reported = desk.json(&[
        "match",
        "--target",
        "#7a9a60",
        "--over",
        "#c0c0c0",
        "--count",
        "8",
        "--max-paints",
        "1",
        "--max-parts",
        "4",
        "--film",
        "0.7",
    ]);
    assert_eq!(matches(&reported).len(), 8);
    for one in matches(&reported) {
        let mix = one["mix"].as_object().unwrap();
        assert!(
            mix.keys().filter(|name| *name != "medium").count() == 1,
            "{mix:?}"
        );
        assert!(
            mix.values()
                .map(|parts| parts.as_u64().unwrap())
                .sum::<u64>()
                <= 4
        );
        assert_close(number(&one["film"]), 0.7, 1e-12, "film");
    }
}

#[test]
fn a_paint_named_as_the_target_is_matched_from_the_others() {
    let desk = desk();
    let reported = desk.json(&["match", "--target", "Oil Amber", "--over", "#f0f0f0"]);
    // On the white card the target is the drawdown.
    let lab = |hex: &str| hex.parse::<Encoded>().unwrap().lab();
    let target = reported["target"]["srgb"].as_str().unwrap();
    assert!(
        velatura_pipeline::optics::colour::delta_e(lab(target), lab("#f4a520")) < 1.0,
        "{target}"
    );
    assert!(
        matches(&reported)
            .iter()
            .all(|one| !one["mix"].as_object().unwrap().contains_key("Oil Amber"))
    );
    // A paint that is not owned can still be the target.
    let violet = desk.json(&["match", "--target", "Tar Violet", "--over", "#f0f0f0"]);
    assert!(number(&matches(&violet)[0]["delta_e"]) > 5.0);
}

#[test]
fn a_place_of_a_photo_is_its_mean_in_linear_light() {
    let desk = desk();
    // Left half alternately black and white, right half one colour.
    let photo = image::RgbImage::from_fn(8, 4, |x, y| {
        image::Rgb(match (x < 4, (x + y) % 2) {
            (true, 0) => [0; 3],
            (true, _) => [255; 3],
            _ => [0x5f, 0xa8, 0xa0],
        })
    });
    photo.save(desk.path("photo.png")).unwrap();
    let target = |place: &str| {
        let reported = desk.json(&[
            "match", "--target", place, "--over", "#e0e0e0", "--count", "1",
        ]);
        reported["target"]["srgb"].as_str().unwrap().to_owned()
    };
    assert_eq!(target("photo.png@4,0,4,4"), "#5fa8a0");
    assert_eq!(
        target("photo.png@0,0,4,2"),
        "#bcbcbc",
        "half the light is code 188"
    );
    desk.stops(
        &[
            "match",
            "--target",
            "photo.png@5,0,4,1",
            "--over",
            "#e0e0e0",
        ],
        2,
        "error: the rectangle 5,0,4,1 extends beyond photo.png, or is fully transparent
  in: --target
  expected: pixels inside the upright photo, which is 8 × 4",
    );
    desk.stops(
        &["match", "--target", "photo.png@5,0", "--over", "#e0e0e0"],
        2,
        "error: \"5,0\" is not a rectangle of pixels
  in: --target
  expected: LEFT,TOP,WIDTH,HEIGHT in whole pixels, width and height at least 1, such as 300,500,40,30",
    );
    desk.stops(
        &["match", "--target", "foto.png@5,0,1,1", "--over", "#e0e0e0"],
        1,
        "error: foto.png: there is no such file
  help: check the path; paths in a file are relative to that file",
    );
}

#[test]
fn out_of_reach_is_said_with_a_colour_that_would_help() {
    let desk = desk();
    let near = desk.json(&["match", "--target", &reachable(&desk), "--over", "#e0e0e0"]);
    assert!(
        near.get("helpful_colour").is_none() && near.get("nearest_in_cielab").is_none(),
        "{near}"
    );
    let far = desk.json(&["match", "--target", "#8030c0", "--over", "#e0e0e0"]);
    assert!(number(&far["best_possible_delta_e"]) > 5.0);
    assert!(number(&far["best_possible_delta_e"]) <= number(&matches(&far)[0]["delta_e"]));
    assert!(far["nearest_in_cielab"]["mix"].is_object());
    // A violet over a light undercoat needs a transparent violet glaze: more blue than green.
    let helpful: Encoded = far["helpful_colour"]["over_white"]
        .as_str()
        .unwrap()
        .parse()
        .unwrap();
    let [red, green, blue] = helpful.0;
    assert!(blue > red && red > green, "{helpful}");
    assert!(
        number(&far["helpful_colour"]["contrast_ratio"]) < 0.3,
        "{far}"
    );
    let text = desk.text(&["match", "--target", "#8030c0", "--over", "#e0e0e0"]);
    assert!(
        text.contains("Out of reach") && text.contains(&helpful.to_string()),
        "{text}"
    );
}

#[test]
fn the_table_for_people_holds_mixes_that_predict_takes() {
    let desk = desk();
    let target = reachable(&desk);
    let text = desk.text(&[
        "match", "--target", &target, "--over", "#e0e0e0", "--count", "2",
    ]);
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines[0], format!("target {target} over #e0e0e0"));
    assert_eq!(lines.len(), 5, "{text}");
    let mix = lines[3][17..]
        .split("  ")
        .find(|word| !word.is_empty())
        .unwrap()
        .trim();
    desk.text(&["predict", "--coat", mix, "--over", "#e0e0e0"]);
}

#[test]
fn wrong_calls_and_empty_shelves_are_reported() {
    let desk = desk();
    desk.stops(
        &["match", "--target", "Oil Ambre", "--over", "#e0e0e0"],
        2,
        "error: no paint in paints.toml is called \"Oil Ambre\"
  in: --target
  expected: a colour such as \"#5fa8a0\", a paint's name, or PHOTO@LEFT,TOP,WIDTH,HEIGHT in pixels
  help: did you mean \"Oil Amber\"?",
    );
    for wrong in [
        ["--film", "0"],
        ["--max-paints", "0"],
        ["--max-parts", "0"],
        ["--count", "0"],
    ] {
        let output = desk.run(
            &[
                &["match", "--target", "#5fa8a0", "--over", "#e0e0e0"],
                &wrong[..],
            ]
            .concat(),
        );
        assert_eq!(output.status.code(), Some(2), "{wrong:?}");
    }
    // A shelf with only the target paint.
    let (violet, _) = PAINTS
        .split_once("[[paint]]\nname = \"Bark, burnt\"")
        .unwrap();
    let (cards, _) = PAINTS.split_once("[[paint]]").unwrap();
    let violet = &violet[violet.rfind("[[paint]]").unwrap()..];
    desk.write("paints.toml", &format!("{cards}{violet}"));
    desk.stops(
        &["match", "--target", "#5fa8a0", "--over", "#e0e0e0"],
        1,
        "error: paints.toml: there is no paint to mix with
  expected: at least one owned paint other than the target
  help: remove `owned = false` from the paints that you have",
    );
}

/// A call without the options that are given again later.
fn last_of_each<'a>(call: &[&'a str]) -> Vec<&'a str> {
    let mut kept: Vec<&str> = Vec::new();
    let mut words = call.iter().copied();
    while let Some(word) = words.next() {
        if !word.starts_with("--") {
            kept.push(word);
            continue;
        }
        if let Some(at) = kept.iter().position(|other| *other == word) {
            kept.drain(at..at + 2);
        }
        kept.extend([word, words.next().unwrap()]);
    }
    kept
}

#[test]
fn a_search_that_leaves_mixes_out_says_so_and_a_small_one_does_not() {
    let desk = desk();
    let call = ["match", "--target", "#5fa8a0", "--over", "#e0e0e0"];
    let many = [&call[..], &["--max-paints", "4", "--max-parts", "100"]].concat();
    let text = desk.text(&many);
    assert!(
        text.contains("These paints make 370.1 million colours, too many to try them all"),
        "{text}"
    );
    // Each number that is named fits.
    let ways = text.split_once("To try them all, ").unwrap().1;
    let ways: Vec<&str> = ways
        .lines()
        .next()
        .unwrap()
        .trim_end_matches('.')
        .split(", or ")
        .collect();
    let options = ways.iter().filter(|way| way.starts_with("--"));
    let mut tried = 0;
    for way in options {
        let words: Vec<&str> = way
            .split_whitespace()
            .filter(|word| *word != "with")
            .collect();
        let narrower = [&many[..], &words].concat();
        let narrower: Vec<&str> = last_of_each(&narrower);
        assert!(!desk.text(&narrower).contains("too many"), "{narrower:?}");
        tried += 1;
    }
    assert!(tried > 0, "{text}");
    let thinned = desk.json(&many);
    assert_eq!(thinned["thinned"], true);
    let small = desk.json(&call);
    assert_eq!(small["thinned"], false);
    assert!(!desk.text(&call).contains("too many"));
    // More parts in a mix come at least about as near.
    let nearest = |found: &Value| number(&matches(found)[0]["delta_e"]);
    assert!(
        nearest(&thinned) <= nearest(&small) + 0.01,
        "{thinned} {small}"
    );
}
