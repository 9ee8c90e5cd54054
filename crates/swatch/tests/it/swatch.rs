//! Colours read from photos of cards with known colours, and messages about bad photos.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    missing_docs,
    unreachable_pub,
    reason = "everything here is a test: it may fail loudly and prints its figures"
)]

use velatura_document::{Diagnostic, SourceText, Warned};
use velatura_optics::colour::{Encoded, Linear, delta_e};
use velatura_photo::{DecodeLimits, Photo, decode_photo};
use velatura_swatch::{
    CardGeometry, CardReading, LayoutFile, RectMm, Strip, StripPair, read_card, read_layout_file,
};
use velatura_testkit::cards::{Scene, WHITE};

/// What the swatches must reach on rendered cards (stated before they were measured): ΔE, median and worst.
const MEDIAN: f64 = 1.5;
const WORST: f64 = 3.0;

/// JPEG quality of phones at their best setting (from memory). At 85 the steps of dark chroma alone cost up to ΔE 3.5 on
/// the darkest films in yellow light, see `harder_compression_costs_the_darkest_films_most`.
const PHONE_QUALITY: u8 = 92;

fn layout(text: &str) -> LayoutFile {
    let source = SourceText::new("layout.toml", text);
    let layout = read_layout_file(&source).unwrap_or_else(|problems| panic!("{problems:?}"));
    layout.value
}

fn decoded(bytes: &[u8]) -> Photo {
    decode_photo("card.jpg", bytes, &DecodeLimits::default())
        .unwrap()
        .value
}

fn read(scene: &Scene, quality: u8) -> Result<(CardReading, Vec<Diagnostic>), Vec<Diagnostic>> {
    read_card(
        "card.jpg",
        &decoded(&scene.jpeg(quality)),
        &layout(&scene.layout()),
    )
    .map(Warned::into_parts)
}

/// ΔE of every drawdown on both strips, sorted.
fn errors(scene: &Scene, reading: &CardReading) -> Vec<f64> {
    assert_eq!(reading.fields.len(), scene.drawdowns.len());
    let mut errors: Vec<f64> = reading
        .fields
        .iter()
        .zip(&scene.drawdowns)
        .flat_map(|(field, truth)| {
            [
                (field.over_black.srgb, truth.over[0]),
                (field.over_white.srgb, truth.over[1]),
            ]
        })
        .map(|(found, truth)| delta_e(found.lab(), truth.lab()))
        .collect();
    errors.sort_by(f64::total_cmp);
    errors
}

fn assert_recovered(what: &str, scene: &Scene, reading: &CardReading) {
    let errors = errors(scene, reading);
    let (median, worst) = (errors[errors.len() / 2], errors[errors.len() - 1]);
    println!("{what}: median ΔE {median:.2}, worst {worst:.2}");
    assert!(
        median <= MEDIAN && worst <= WORST,
        "{what}: median {median}, worst {worst}"
    );
}

fn reported(problems: &[Diagnostic]) -> String {
    problems
        .iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join("\n\n")
}

#[test]
fn colours_come_back_at_every_quarter_turn_through_tilt_gradient_cast_veil_noise_and_jpeg() {
    for quarters in 0..4 {
        let scene = Scene::at_a_window().turned(quarters);
        let (reading, warnings) =
            read(&scene, PHONE_QUALITY).unwrap_or_else(|found| panic!("{}", reported(&found)));
        assert!(warnings.is_empty(), "{}", reported(&warnings));
        for (found, truth) in reading.corners_px.iter().zip(scene.corners) {
            let off = (found[0] - truth[0]).hypot(found[1] - truth[1]);
            assert!(
                off < 1.0,
                "turn {quarters}: a corner is off by {off} pixels"
            );
        }
        assert_recovered(
            &format!("turned by {} degrees", 90 * quarters),
            &scene,
            &reading,
        );
    }
}

#[test]
fn an_even_clean_card_gives_codes_to_the_rounding() {
    // A little noise, like every sensor: without it, all pixels of a film would be rounded in the same way.
    let scene = Scene {
        noise_codes: 1.5,
        ..Scene::upright()
    };
    let (reading, warnings) =
        read(&scene, 98).unwrap_or_else(|found| panic!("{}", reported(&found)));
    assert!(warnings.is_empty(), "{}", reported(&warnings));
    let errors = errors(&scene, &reading);
    println!(
        "clean: median ΔE {:.2}, worst {:.2}",
        errors[errors.len() / 2],
        errors[errors.len() - 1]
    );
    assert!(errors[errors.len() - 1] < 1.0, "{errors:?}");
}

#[test]
fn a_larger_photo_from_further_away_and_a_card_that_lies_askew_are_read_as_well() {
    let mut scene = Scene::at_a_window();
    scene.size = [2400, 1800];
    scene.corners = [
        [1010.0, 260.0],
        [1890.0, 720.0],
        [1300.0, 1640.0],
        [420.0, 1210.0],
    ];
    scene.noise_codes = 4.0;
    let (reading, _) = read(&scene, 80).unwrap_or_else(|found| panic!("{}", reported(&found)));
    assert_recovered("askew", &scene, &reading);
}

#[test]
fn without_a_light_surface_the_same_photo_misses_the_bound() {
    // Must fail: one white balance for the whole card, from the bare white next to the first place, without subtracting haze.
    let scene = Scene::at_a_window();
    let photo = decoded(&scene.jpeg(85));
    let (reading, _) = read(&scene, 85).unwrap();
    let plane = |mm: [f64; 2]| {
        // The test's own mapping from mm to pixels, from the scene's corners.
        let [width, height] = scene.geometry.marks_mm;
        let to = |list: [[f64; 2]; 4]| list.map(|[x, y]| (x as f32, y as f32));
        let map = imageproc::geometric_transformations::Projection::from_control_points(
            to([[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]]),
            to(scene.corners),
        )
        .unwrap();
        map * (mm[0] as f32, mm[1] as f32)
    };
    let mean = |middle: [f64; 2]| {
        let (x, y) = plane(middle);
        let mut sum = [0.0; 3];
        for dy in -3_i32..=3 {
            for dx in -3_i32..=3 {
                let at = (y.round() as i32 + dy) * photo.width as i32 + x.round() as i32 + dx;
                let pixel = Encoded(photo.photo[at as usize]).linear().0;
                sum = std::array::from_fn(|i| sum[i] + pixel[i] / 49.0);
            }
        }
        sum
    };
    let white = mean([13.0, 67.0]);
    let mut naive: Vec<f64> = Vec::new();
    for (place, drawdown) in scene.drawdowns.iter().enumerate() {
        for (strip, truth) in [Strip::Black, Strip::White].into_iter().zip(drawdown.over) {
            let rect = scene.geometry.field(place, strip);
            let seen = mean([0, 1].map(|i| f64::midpoint(rect.from[i], rect.to[i])));
            let found: [f64; 3] = std::array::from_fn(|i| seen[i] / white[i] * WHITE.linear().0[i]);
            naive.push(delta_e(Linear(found).lab(), truth.lab()));
        }
    }
    naive.sort_by(f64::total_cmp);
    let ours = errors(&scene, &reading);
    println!(
        "naive: median ΔE {:.2}, worst {:.2}",
        naive[naive.len() / 2],
        naive[naive.len() - 1]
    );
    assert!(
        naive[naive.len() / 2] > MEDIAN && naive[naive.len() - 1] > WORST,
        "{naive:?}"
    );
    assert!(ours[ours.len() / 2] < naive[naive.len() / 2]);
}

#[test]
fn harder_compression_costs_the_darkest_films_most() {
    let scene = Scene::at_a_window();
    let worst = |quality| {
        let (reading, _) =
            read(&scene, quality).unwrap_or_else(|found| panic!("{}", reported(&found)));
        let errors = errors(&scene, &reading);
        println!(
            "quality {quality}: median ΔE {:.2}, worst {:.2}",
            errors[errors.len() / 2],
            errors[errors.len() - 1]
        );
        assert!(errors[errors.len() / 2] <= MEDIAN);
        errors[errors.len() - 1]
    };
    let (best, good, poor) = (worst(98), worst(85), worst(60));
    assert!(
        best < good && good < poor && good <= 4.0,
        "{best} {good} {poor}"
    );
}

#[test]
fn a_chart_in_the_photo_undoes_what_the_camera_does_to_colours() {
    // Reference values are invented, as the chart is.
    let references = [
        "#b03a2e", "#4f8a3c", "#2f4f9e", "#d9c13a", "#8e3f8a", "#3a9ba6", "#c98a5e", "#808080",
    ];
    let mut scene = Scene::at_a_window();
    scene.camera = [[0.82, 0.13, 0.05], [0.10, 0.78, 0.12], [0.02, 0.16, 0.82]];
    let bare = read(&scene, PHONE_QUALITY).unwrap().0;
    // Patches in the place of the third pair, which has no drawdown.
    let mut text = scene.layout()
        + "\n[chart]\nsource = \"invented for this test\"\nlicence = \"MIT\"\npatch_mm = 14\n";
    for (index, code) in references.iter().enumerate() {
        let (x, y) = (22.0 + 18.0 * index as f64, 205.0);
        scene.patches.push((
            RectMm {
                from: [x - 7.0, y - 7.0],
                to: [x + 7.0, y + 7.0],
            },
            code.parse::<Encoded>().unwrap().linear(),
        ));
        text += &format!("\n[[chart.patch]]\nat_mm = [{x}, {y}]\nsrgb = \"{code}\"\n");
    }
    // The chart covers the white there, so only two pairs are left to measure the light.
    scene.drawdowns.truncate(8);
    let mut layout = layout(&text);
    layout.fields.truncate(8);
    layout.geometry.pairs.truncate(2);
    layout.geometry.bare_white.truncate(4);
    let photo = decoded(&scene.jpeg(PHONE_QUALITY));
    let reading = read_card("card.jpg", &photo, &layout)
        .unwrap_or_else(|found| panic!("{}", reported(&found)))
        .value;
    let chart = reading.chart.clone().unwrap();
    println!(
        "chart: mean ΔE {:.2} before, {:.2} after, worst {:.2}",
        chart.mean_before, chart.mean_after, chart.worst_after
    );
    assert!(
        chart.mean_before > 4.0 && chart.mean_after < 1.0,
        "{chart:?}"
    );
    assert_recovered("with a chart", &scene, &reading);
    // Must fail: the same camera without the chart.
    let mut without = errors(
        &Scene {
            drawdowns: velatura_testkit::cards::drawdowns(),
            ..scene
        },
        &bare,
    );
    without.sort_by(f64::total_cmp);
    assert!(without[without.len() / 2] > MEDIAN, "{without:?}");
}

#[test]
fn given_corners_and_a_card_of_ones_own_do_without_marks() {
    let mut scene = Scene::at_a_window();
    scene.geometry = CardGeometry {
        marks_mm: [120.0, 90.0],
        first_mm: 10.0,
        field_mm: 14.0,
        step_mm: 20.0,
        across: 5,
        pairs: vec![StripPair {
            black_mm: [45.0, 75.0],
            white_mm: [15.0, 45.0],
        }],
        bare_white: Vec::new(),
    };
    scene.drawdowns.truncate(5);
    scene.size = [1200, 1000];
    scene.corners = [
        [210.0, 170.0],
        [1010.0, 140.0],
        [1060.0, 800.0],
        [180.0, 760.0],
    ];
    let card = "\ncorners = [[210, 170], [1010, 140], [1060, 800], [180, 760]]\n";
    let own = "\n[card]\nmarks_mm = [120, 90]\nfirst_mm = 10\nfield_mm = 14\nstep_mm = 20\nacross = 5\n\n[[card.pair]]\nwhite_mm = [15, 45]\nblack_mm = [45, 75]\n";
    let text = scene.layout().replacen("\n\n", &format!("{card}\n"), 1) + own;
    let photo = decoded(&scene.jpeg(PHONE_QUALITY));
    let (reading, warnings) = read_card("card.jpg", &photo, &layout(&text))
        .unwrap_or_else(|found| panic!("{}", reported(&found)))
        .into_parts();
    assert!(warnings.is_empty(), "{}", reported(&warnings));
    assert_recovered("own card", &scene, &reading);
}
