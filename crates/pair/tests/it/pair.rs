//! Two teams on one table: numbers and verdict on pairs with a known answer.

use velatura_pair::{Cue, EyeReport, Grade, PairOptions, PairReport};
use velatura_pipeline::optics::colour::{Encoded, Linear, delta_e, encode, luminance};
use velatura_pipeline::optics::vision::{Deficiency, Eye};
use velatura_testkit::desk::{Figure, Part, compared, written};

/// Two teams of hooded figures, each in one colour for hood and coat.
fn one_colour_each(first: &str, second: &str) -> PairReport {
    let job =
        |colour| Figure::hooded().painted("One colour", &[("hood", colour), ("coat", colour)]);
    compared([&job(first), &job(second)])
}

fn eye<'a>(report: &'a PairReport, view: usize, name: &str) -> &'a EyeReport {
    let mut eyes = report.views[view].eyes.iter();
    eyes.find(|eye| eye.eye == name).unwrap()
}

#[test]
fn identical_teams_look_alike_to_everybody_from_everywhere() {
    let report = one_colour_each("#5a7d46", "#5a7d46");
    assert_eq!(report.verdict.grade, Grade::Alike);
    assert_eq!(report.verdict.line, "look alike");
    for view in &report.views {
        for eye in &view.eyes {
            assert!(
                eye.distance.0 < 1e-6 && eye.delta_e.0 < 1e-6 && eye.michelson.0 < 1e-6,
                "{} {:?}",
                eye.eye,
                eye.distance
            );
        }
    }
    // Must fail: one team a clear step lighter.
    assert_ne!(
        one_colour_each("#5a7d46", "#b0d39c").verdict.grade,
        Grade::Alike
    );
}

#[test]
fn one_hue_in_two_brightnesses_stands_apart_by_brightness_for_everybody() {
    let report = one_colour_each("#2f4a1e", "#a3c08f");
    let verdict = &report.verdict;
    assert_eq!(
        (verdict.grade, verdict.by.as_slice()),
        (Grade::Apart, [Cue::Brightness].as_slice())
    );
    assert_eq!(verdict.worst, Grade::Apart);
    assert!(
        verdict
            .line
            .starts_with("stand apart by brightness; no large part is alike in both (closest: "),
        "{}",
        verdict.line
    );
    assert!(eye(&report, 0, "grey").michelson.0 > 0.5);
}

/// A red and the green with the same luminance in this colour vision, as codes.
fn red_and_green(eye: &Eye) -> [String; 2] {
    let red: Encoded = "#b02a20".parse().unwrap();
    let wanted = luminance(eye.sees(red.linear()));
    let green = |level: f64| Linear([0.12, 0.6, 0.05].map(|channel| channel * level));
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if luminance(eye.sees(green(middle))) < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    let Linear(found) = green(low);
    assert!(found.iter().all(|channel| encode(*channel) < 1.0));
    [red.to_string(), green(low).encoded().to_string()]
}

#[test]
fn red_and_green_of_one_luminance_stand_apart_by_colour_but_not_for_red_green_blind_eyes() {
    let [red, green] = red_and_green(&Eye::USUAL);
    let report = one_colour_each(&red, &green);
    println!("{red} {green}: {}", report.verdict.line);
    let verdict = &report.verdict;
    assert_eq!(
        (verdict.grade, verdict.by.as_slice()),
        (Grade::Apart, [Cue::Colour].as_slice())
    );
    assert!(eye(&report, 0, "normal").michelson.0 < 0.01);
    for name in ["protan", "deutan", "protan (1999)", "deutan (1999)"] {
        let seen = eye(&report, 0, name);
        assert!(seen.grade < Grade::Apart, "{name}: {:?}", seen.delta_e);
        assert!(
            seen.delta_e.0 * 2.5 < eye(&report, 0, "normal").delta_e.0,
            "{name}: {:?}",
            seen.delta_e
        );
    }
    // Tritan vision distinguishes red from green.
    assert_eq!(eye(&report, 0, "tritan").grade, Grade::Apart);
    assert!(
        verdict.line.contains("with deutan vision") && verdict.line.contains("with protan vision"),
        "{}",
        verdict.line
    );
    assert!(verdict.worst < Grade::Apart);
}

#[test]
fn what_one_kind_of_eye_sees_as_equal_in_brightness_looks_alike_to_it() {
    for kind in [Deficiency::Protan, Deficiency::Deutan] {
        let [red, green] = red_and_green(&Eye::machado(kind, 1.0));
        let report = one_colour_each(&red, &green);
        let seen = eye(&report, 0, &kind.to_string());
        assert_eq!(seen.grade, Grade::Alike, "{kind}: {:?}", seen.delta_e);
        assert_eq!(report.verdict.grade, Grade::Apart);
        // Must fail: at severity 0 it equals normal vision.
        let scratch = tempfile::tempdir().unwrap();
        let job = |colour: &str| {
            Figure::hooded().painted("One colour", &[("hood", colour), ("coat", colour)])
        };
        let options = PairOptions::default().severity(0.0);
        let report = written([&job(&red), &job(&green)], scratch.path(), &options);
        assert_eq!(eye(&report, 0, &kind.to_string()).grade, Grade::Apart);
    }
}

#[test]
fn the_figures_are_those_of_the_paints() {
    let figure = Figure::hooded();
    let first = figure.painted("First", &[("hood", "#c0a040"), ("coat", "#204a80")]);
    let second = figure.painted("Second", &[("hood", "#26507f"), ("coat", "#b04030")]);
    let report = compared([&first, &second]);
    let lab = |code: &str| code.parse::<Encoded>().unwrap().lab();
    let usual = eye(&report, 0, "normal");
    // Intermediate codes have 8 bits, and a pixel of the page at a border covers two parts.
    let close =
        |found: f64, expected: f64| assert!((found - expected).abs() < 1.0, "{found} {expected}");
    close(usual.delta_e.0, delta_e(lab("#204a80"), lab("#b04030")));
    close(
        usual.lightness_difference.0,
        lab("#b04030").0[0] - lab("#204a80").0[0],
    );
    // The first team's coat has almost the same paint as the second's hood.
    let near = &usual.nearest[0];
    assert_eq!(
        (near.first.as_str(), near.second.as_str()),
        ("coat", "hood")
    );
    close(near.delta_e.0, delta_e(lab("#204a80"), lab("#26507f")));
    assert!(
        report
            .verdict
            .line
            .contains("; alike in both: coat / hood, ΔE "),
        "{}",
        report.verdict.line
    );
    for (team, coat) in report.teams.iter().zip([0x80, 0x30]) {
        assert_eq!(team.dominant.regions, ["coat"]);
        // 60 × 120 of 60 × 120 + 40 × 40 pixels.
        assert!(
            (team.dominant.share.0 - 7200.0 / 8800.0).abs() < 0.01,
            "{:?}",
            team.dominant.share
        );
        assert!(
            team.dominant.srgb.0[2].abs_diff(coat) <= 2,
            "{:?}",
            team.dominant.srgb
        );
    }
    // Swapped teams change the sign of the difference in lightness and nothing else.
    let exchanged = compared([&second, &first]);
    let other = eye(&exchanged, 0, "normal");
    close(other.lightness_difference.0, -usual.lightness_difference.0);
    close(other.delta_e.0, usual.delta_e.0);
}

#[test]
fn parts_of_one_paint_count_together_and_small_parts_confuse_nobody() {
    let figure = Figure {
        parts: vec![
            Part {
                name: "cape",
                x: 20..60,
                y: 20..100,
            },
            Part {
                name: "sleeves",
                x: 60..100,
                y: 20..100,
            },
            Part {
                name: "skirt",
                x: 20..100,
                y: 100..150,
            },
            Part {
                name: "belt",
                x: 20..100,
                y: 150..156,
            },
        ],
        height_mm: 32.0,
        count: 1,
    };
    let paints = |skirt| {
        [
            ("cape", "#9a3030"),
            ("sleeves", "#983230"),
            ("skirt", skirt),
            ("belt", "#333333"),
        ]
    };
    let first = figure.painted("First", &paints("#305090"));
    let second = figure.painted("Second", &paints("#308040"));
    let report = compared([&first, &second]);
    assert_eq!(
        report.teams[0].dominant.regions.len(),
        2,
        "{:?}",
        report.teams[0].dominant
    );
    assert_eq!(
        report.verdict.grade,
        Grade::Close,
        "both are red for the most part"
    );
    assert!(
        report
            .verdict
            .line
            .starts_with("are easily confused because most of both is nearly one colour"),
        "{}",
        report.verdict.line
    );
    let reported = report
        .views
        .iter()
        .flat_map(|view| &view.eyes)
        .flat_map(|eye| &eye.nearest);
    assert!(
        reported.clone().count() > 20
            && reported
                .clone()
                .all(|near| near.first != "belt" && near.second != "belt")
    );
}

#[test]
fn from_far_away_a_fine_pattern_runs_together() {
    // Stripes of 4 pixels, 0.2 mm: about an arc-minute from 0.6 m, a third of one from 2 m.
    let bands = (0..40_u32).map(|row| Part {
        name: ["odd", "even"][usize::try_from(row % 2).unwrap()],
        x: 20..100,
        y: 20 + row * 4..24 + row * 4,
    });
    let figure = Figure {
        parts: bands.collect(),
        height_mm: 8.0,
        count: 2,
    };
    let first = figure.painted("Stripes", &[("odd", "#c02020"), ("even", "#20a020")]);
    // The mean light of the two.
    let second = figure.painted("Plain", &[("odd", "#8e7720"), ("even", "#8e7720")]);
    let report = compared([&first, &second]);
    let [close, far] = [0, 3].map(|view| eye(&report, view, "normal").distance.0);
    assert!(close > 40.0 && far < close / 4.0, "{close} {far}");
    assert_eq!(eye(&report, 0, "normal").grade, Grade::Apart);
    assert_eq!(report.verdict.grade, Grade::Alike, "from across the table");
    assert!(
        report.verdict.line.contains("; close up they stand apart"),
        "{}",
        report.verdict.line
    );
    // Stripes that exchange their colours are the same stripes, from everywhere.
    let third = figure.painted("Exchanged", &[("odd", "#20a020"), ("even", "#c02020")]);
    let report = compared([&first, &third]);
    for view in 0..4 {
        assert_eq!(eye(&report, view, "normal").grade, Grade::Alike);
    }
}

/// A cape over a skirt of the same size, a belt, and a staff.
fn caped() -> Figure {
    let part = |name, x, y| Part { name, x, y };
    Figure {
        parts: vec![
            part("cape", 20..100, 20..90),
            part("skirt", 20..100, 90..160),
            part("belt", 20..100, 160..166),
            part("staff", 100..112, 20..166),
        ],
        height_mm: 32.0,
        count: 1,
    }
}

#[test]
fn teams_that_only_exchange_two_parts_are_one_team_in_two_colours() {
    let painted = |cape, skirt| {
        let colours = [("cape", cape), ("skirt", skirt), ("belt", "#333333")];
        caped().painted("Exchanged", &colours)
    };
    let report = compared([
        &painted("#9a3030", "#305090"),
        &painted("#305090", "#9a3030"),
    ]);
    assert_eq!(
        report.verdict.grade,
        Grade::Alike,
        "{}",
        report.verdict.line
    );
    // Must fail: the skirt alone changes, and half of the figure is enough.
    let report = compared([
        &painted("#9a3030", "#305090"),
        &painted("#9a3030", "#d8c060"),
    ]);
    assert_ne!(
        report.verdict.grade,
        Grade::Alike,
        "{}",
        report.verdict.line
    );
}

#[test]
fn one_small_accent_makes_no_other_team() {
    let painted = |belt| {
        let colours = [("cape", "#9a3030"), ("skirt", "#6a2020"), ("belt", belt)];
        caped().painted("Accent", &colours)
    };
    let report = compared([&painted("#20232a"), &painted("#e0d040")]);
    assert_eq!(report.verdict.line, "look alike");
}

#[test]
fn a_part_that_is_bare_in_both_teams_is_never_the_closest() {
    let painted = |cape, skirt| caped().painted("Bare staff", &[("cape", cape), ("skirt", skirt)]);
    let report = compared([
        &painted("#9a3030", "#5a1a1a"),
        &painted("#305090", "#8fb0d8"),
    ]);
    let mut pairs = report
        .views
        .iter()
        .flat_map(|view| &view.eyes)
        .flat_map(|eye| &eye.nearest);
    assert!(pairs.all(|near| near.first != "staff" || near.second != "staff"));
    assert_eq!(
        report.verdict.grade,
        Grade::Apart,
        "{}",
        report.verdict.line
    );
    assert!(
        report
            .verdict
            .line
            .contains("; no large part is alike in both (closest: "),
        "{}",
        report.verdict.line
    );
    // Must fail: bare in one and painted in the other counts.
    let grey = caped().painted("Grey", &[("cape", "#808080"), ("staff", "#9a3030")]);
    let report = compared([&painted("#9a3030", "#5a1a1a"), &grey]);
    let mut pairs = report
        .views
        .iter()
        .flat_map(|view| &view.eyes)
        .flat_map(|eye| &eye.nearest);
    assert!(pairs.any(|near| near.second == "staff"));
}

#[test]
fn a_wide_low_figure_is_shown_smaller_and_the_page_says_so() {
    let figure = Figure {
        parts: vec![
            Part {
                name: "left",
                x: 0..60,
                y: 100..101,
            },
            Part {
                name: "right",
                x: 60..120,
                y: 100..101,
            },
        ],
        height_mm: 16.0,
        count: 40,
    };
    let paints = [("left", "#9a3030"), ("right", "#305090")];
    let job = figure.painted("Wide", &paints);
    let scratch = tempfile::tempdir().unwrap();
    let report = written([&job, &job], scratch.path(), &PairOptions::default());
    assert_eq!(report.verdict.grade, Grade::Alike);
    let page = std::fs::read_to_string(scratch.path().join("pair.html")).unwrap();
    for view in &report.views[1..] {
        // 120 pixels wide and 1 tall, 16 mm: 1.92 m, and 1840 pixels have room for 0.41 m from 0.6 m away.
        let share = view.true_size_share.unwrap().0;
        assert!((0.1..0.9).contains(&share), "{share}");
        assert!(page.contains(&format!("shown at {share:.2} of its size")));
    }
    let picture = image::open(scratch.path().join("pair.png")).unwrap();
    assert!(picture.width() == 1920 && picture.height() < 8000);
    // Must fail: an ordinary figure is shown at its size, and nothing is said.
    let ordinary = one_colour_each("#5a7d46", "#5a7d46");
    assert!(
        ordinary
            .views
            .iter()
            .all(|view| view.true_size_share.is_none())
    );
}
