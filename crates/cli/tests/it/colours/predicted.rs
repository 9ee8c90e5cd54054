//! `velatura predict`.

use velatura_pipeline::optics::colour::{Encoded, Lab};
use velatura_tests::assert_close;

use super::{desk, keys, number};
use crate::desk::Desk;

/// Luminance of one result.
fn luminance(desk: &Desk, coats: &[&str], over: &str) -> f64 {
    let mut call = vec!["predict", "--over", over];
    for coat in coats {
        call.extend(["--coat", coat]);
    }
    number(&desk.json(&call)["results"][0]["luminance"])
}

#[test]
fn results_stand_in_the_order_of_the_undercoats_with_all_their_parts() {
    let desk = desk();
    let reported = desk.json(&[
        "predict",
        "--paints",
        "paints.toml",
        "--coat",
        "Oil Amber:3,medium:7",
        "--over",
        "#e0e0e0",
        "--over",
        "#808080",
    ]);
    assert_eq!(reported["format"], "velatura-predict/1");
    let results = reported["results"].as_array().unwrap();
    assert_eq!(
        (results[0]["over"].as_str(), results[1]["over"].as_str()),
        (Some("#e0e0e0"), Some("#808080"))
    );
    assert_eq!(results.len(), 2);
    for result in results {
        assert_eq!(
            keys(result),
            [
                "basis",
                "estimated_error",
                "in_gamut",
                "lab",
                "luminance",
                "over",
                "srgb",
                "xyz"
            ]
        );
        assert_eq!(
            (result["basis"].as_str(), result["in_gamut"].as_bool()),
            (Some("drawdown+tint"), Some(true))
        );
        // The three forms of one colour agree.
        let code: Encoded = result["srgb"].as_str().unwrap().parse().unwrap();
        let reported = Lab([0, 1, 2].map(|channel| number(&result["lab"][channel])));
        assert_eq!(reported.linear().encoded(), code, "code of the Lab");
        assert_close(
            number(&result["xyz"][1]),
            number(&result["luminance"]),
            1e-4,
            "Y",
        );
    }
    assert!(number(&results[0]["luminance"]) > number(&results[1]["luminance"]));
}

#[test]
fn a_drawdown_over_its_card_comes_back() {
    let desk = desk();
    for (card, given) in [("#f0f0f0", "#f4a520"), ("#1c1c1c", "#4d3718")] {
        let reported = desk.json(&["predict", "--coat", "Oil Amber:1", "--over", card]);
        let lab = |hex: &str| hex.parse::<Encoded>().unwrap().lab();
        let dried = reported["results"][0]["srgb"].as_str().unwrap();
        // The goal for codes is ΔE 0.5 at film 1 (a tint pulls a little).
        let off = velatura_pipeline::optics::colour::delta_e(lab(dried), lab(given));
        assert!(off < 1.0, "{dried} {given}");
    }
}

#[test]
fn medium_gives_back_exactly_what_went_in() {
    let desk = desk();
    let overs = ["#000000", "#010203", "#1c1c1c", "#ff0000", "#ffffff"];
    let mut call = vec![
        "predict", "--coat", "medium:3", "--coat", "medium:1", "--film", "2",
    ];
    overs.iter().for_each(|over| call.extend(["--over", over]));
    let reported = desk.json(&call);
    for (result, over) in reported["results"].as_array().unwrap().iter().zip(overs) {
        assert_eq!(result["srgb"], over);
        assert_eq!(result["basis"], "as-photographed");
        assert_eq!(result["in_gamut"], true);
    }
}

#[test]
fn coats_lie_in_the_order_of_the_call_and_films_count() {
    let desk = desk();
    let (white, eel) = ("Gull White:1", "Deep Eel:1");
    assert!(
        luminance(&desk, &[eel, white], "#808080") > luminance(&desk, &[white, eel], "#808080")
    );
    let film = |films: &[&str]| {
        let mut call = vec![
            "predict", "--over", "#e0e0e0", "--coat", eel, "--coat", "medium:1",
        ];
        films.iter().for_each(|film| call.extend(["--film", film]));
        number(&desk.json(&call)["results"][0]["luminance"])
    };
    assert!(film(&["0.5"]) > film(&[]) && film(&[]) > film(&["2"]));
    // One film per coat: the one of the medium is invisible.
    assert_close(film(&["0.5", "2"]), film(&["0.5", "1"]), 1e-6, "luminance");
    assert!(film(&["1", "0.5"]) < film(&["0.5", "1"]));
    // With more medium, the colour is closer to the undercoat (common practice, no source).
    assert!(
        luminance(&desk, &["Deep Eel:1,medium:9"], "#e0e0e0")
            > luminance(&desk, &["Deep Eel:5,medium:5"], "#e0e0e0")
    );
}

#[test]
fn a_measured_undercoat_is_taken_in_its_own_convention() {
    let desk = desk();
    let spectrum = |name: &str, specular: &str, value: &str| {
        let list = [value; 81].join(", ");
        desk.write(
            name,
            &format!(
                "start_nm = 380\nstep_nm = 5\nspecular = \"{specular}\"\nreflectance = [{list}]\n"
            ),
        );
    };
    spectrum("out.toml", "excluded", "21.586");
    spectrum("in.toml", "included", "0.25586");
    let reported = desk.json(&[
        "predict",
        "--coat",
        "Oil Amber:1",
        "--over",
        "#808080",
        "--over",
        "spectrum:out.toml",
        "--over",
        "spectrum:in.toml",
    ]);
    let y = |index: usize| number(&reported["results"][index]["luminance"]);
    // Code 128 is linear 0.21586: the same grey as a colour, as a spectrum, and including the surface's 4 %.
    assert_close(y(1), y(0), 1e-5, "over a spectrum");
    assert_close(
        y(2),
        y(0) + 0.04,
        1e-5,
        "over a spectrum that holds the surface",
    );
    assert_eq!(reported["results"][2]["over"], "spectrum:in.toml");
}

#[test]
fn the_table_for_people_has_a_line_per_undercoat() {
    let desk = desk();
    let text = desk.text(&[
        "predict",
        "--coat",
        "Bark, burnt:1,medium:2",
        "--over",
        "#808080",
        "--over",
        "#e0e0e0",
    ]);
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines.len(), 3, "{text}");
    assert!(lines[0].starts_with("over") && lines[0].ends_with("basis"));
    assert!(
        lines[1].starts_with("#808080  #") && lines[1].ends_with("  drawdown"),
        "{text}"
    );
}

#[test]
fn a_wrong_call_is_reported_whole_with_the_name_that_was_meant() {
    let desk = desk();
    let coat = |text: &str, expected: &str| {
        desk.stops(
            &["predict", "--coat", text, "--over", "#808080"],
            2,
            expected,
        )
    };
    coat(
        "Oil Ambre:3,Bark, burnt,medium:0,:2",
        "error: no paint is called \"Oil Ambre\"
  in: --coat \"Oil Ambre:3,Bark, burnt,medium:0,:2\"
  expected: a paint in paints.toml (5 paints), or medium
  help: did you mean \"Oil Amber\"?

error: \"Bark, burnt\" has no parts
  in: --coat \"Oil Ambre:3,Bark, burnt,medium:0,:2\"
  expected: paints with their parts by volume, such as \"Oil Amber:3,medium:7\"
  help: add a number: \"Bark, burnt:1\"

error: 0 parts of \"medium\"
  in: --coat \"Oil Ambre:3,Bark, burnt,medium:0,:2\"
  expected: paints with their parts by volume, such as \"Oil Amber:3,medium:7\"
  help: use parts from 0.000001 to 1,000,000, or remove it from the mix

error: the mix has a part without a name
  in: --coat \"Oil Ambre:3,Bark, burnt,medium:0,:2\"
  expected: paints with their parts by volume, such as \"Oil Amber:3,medium:7\"
  help: write the paint's name before the colon",
    );
    coat(
        "Oil Amber:1e308,medium:1000001",
        "error: 1e308 parts of \"Oil Amber\"
  in: --coat \"Oil Amber:1e308,medium:1000001\"
  expected: paints with their parts by volume, such as \"Oil Amber:3,medium:7\"
  help: use parts from 0.000001 to 1,000,000, or remove it from the mix

error: 1000001 parts of \"medium\"
  in: --coat \"Oil Amber:1e308,medium:1000001\"
  expected: paints with their parts by volume, such as \"Oil Amber:3,medium:7\"
  help: use parts from 0.000001 to 1,000,000, or remove it from the mix",
    );
    coat(
        "Oil Amber:3,,Oil Amber:x,Oil Amber:1",
        "error: the mix has an empty part
  in: --coat \"Oil Amber:3,,Oil Amber:x,Oil Amber:1\"
  expected: paints with their parts by volume, such as \"Oil Amber:3,medium:7\"
  help: remove the comma with nothing before or after it

error: \"x\" parts of \"Oil Amber\"
  in: --coat \"Oil Amber:3,,Oil Amber:x,Oil Amber:1\"
  expected: paints with their parts by volume, such as \"Oil Amber:3,medium:7\"
  help: write a number with a decimal point, not a comma: 2.5

error: \"Oil Amber\" appears twice
  in: --coat \"Oil Amber:3,,Oil Amber:x,Oil Amber:1\"
  expected: paints with their parts by volume, such as \"Oil Amber:3,medium:7\"
  help: write it once, with all of its parts",
    );
    desk.stops(
        &[
            "predict", "--coat", "medium:1", "--over", "808080", "--over", "grey",
        ],
        2,
        "error: \"808080\" is not a colour
  in: --over
  expected: a colour such as \"#808080\", or spectrum:FILE
  help: add a # and quotes: \"#808080\"

error: \"grey\" is not a colour
  in: --over
  expected: a colour such as \"#808080\", or spectrum:FILE
  help: write # and six hexadecimal digits, in quotes: the shell reads a bare # as a comment",
    );
    desk.stops(
        &[
            "predict", "--coat", "medium:1", "--film", "1", "--film", "2", "--over", "#808080",
        ],
        2,
        "error: 2 --film options for 1 coat
  expected: --film once for all coats, or once per coat",
    );
    for film in ["-1", "21", "thick", "nan"] {
        let output = desk.run(&[
            "predict", "--coat", "medium:1", "--film", film, "--over", "#808080",
        ]);
        assert_eq!(output.status.code(), Some(2), "{film}");
    }
}

#[test]
fn wrong_and_missing_files_end_with_one_but_no_file_named_is_a_wrong_call() {
    let desk = desk();
    desk.stops(
        &[
            "predict",
            "--paints",
            "paint.toml",
            "--coat",
            "medium:1",
            "--over",
            "#808080",
        ],
        1,
        "error: paint.toml: there is no such file
  help: check the path; paths in a file are relative to that file",
    );
    desk.write(
        "half.toml",
        "start_nm = 400\nstep_nm = 10\nspecular = \"included\"\nreflectance = [0.2, 0.2]\n",
    );
    desk.stops(
        &[
            "predict",
            "--coat",
            "medium:1",
            "--over",
            "spectrum:half.toml",
        ],
        1,
        "error: half.toml:4:1: `reflectance` ends at 410 nm
   | reflectance = [0.2, 0.2]
   | ^^^^^^^^^^^
  in: the file
  expected: values up to at least 680 nm, better 700 nm
  help: check `start_nm` and `step_nm`, or add the missing values",
    );
    std::fs::remove_file(desk.path("paints.toml")).unwrap();
    desk.stops(
        &["predict", "--coat", "medium:1", "--over", "#808080"],
        2,
        "error: --paints is missing, and there is no paints.toml in this folder
  help: name the file: --paints FILE",
    );
}
