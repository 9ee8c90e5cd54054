//! Two teams on one table: the page's pictures and the files that are written.

use roxmltree::Document;
use velatura_output::OutputFolder;
use velatura_pair::{PairOptions, Screen, Side, pair};
use velatura_testkit::desk::{Figure, written};
use velatura_testkit::pages::xml;

#[test]
fn the_taller_figure_is_taller_at_every_scale() {
    let tall = Figure {
        height_mm: 64.0,
        ..Figure::hooded()
    };
    let colours = [("hood", "#c0a040"), ("coat", "#204a80")];
    let (short, tall) = (
        Figure::hooded().painted("Short", &colours),
        tall.painted("Tall", &colours),
    );
    let scratch = tempfile::tempdir().unwrap();
    written([&short, &tall], scratch.path(), &PairOptions::default());
    let page = std::fs::read_to_string(scratch.path().join("pair.html")).unwrap();
    let strict = xml(&page);
    let read = Document::parse(&strict).unwrap();
    let heights: Vec<f64> = read
        .descendants()
        .filter(|node| node.has_tag_name("img"))
        .map(|node| node.attribute("height").unwrap().parse().unwrap())
        .collect();
    // Close up, six other kinds of colour vision, three distances: two pictures each.
    assert_eq!(heights.len(), 20);
    for two in heights.chunks(2) {
        assert!((two[1] / two[0] - 2.0).abs() < 0.1, "{two:?}");
    }
    // 32 mm seen from 2 m is as tall as 11.4 mm at arm's length, 711 mm: 43 pixels at 96 per inch, and the crop has
    // some space around the figure.
    assert!((heights[18] - 43.0).abs() < 10.0, "{}", heights[18]);
}

#[test]
fn the_page_is_whole_alone_and_takes_names_as_text() {
    let colours = [("hood", "#c0a040"), ("coat", "#204a80")];
    let first = Figure::hooded().painted("Wick & Ember <x>", &colours);
    let second = Figure::hooded().painted("\"Fog\"light", &colours);
    let scratch = tempfile::tempdir().unwrap();
    let report = written([&first, &second], scratch.path(), &PairOptions::default());
    let page = std::fs::read_to_string(scratch.path().join("pair.html")).unwrap();
    let strict = xml(&page);
    let read = Document::parse(&strict).unwrap();
    let text: String = read
        .descendants()
        .filter(|node| node.is_text())
        .filter_map(|node| node.text())
        .collect();
    for reported in [
        "Wick & Ember <x>",
        "\"Fog\"light",
        "Test <team> & more",
        &report.verdict.line,
    ] {
        assert!(text.contains(reported), "{reported}");
    }
    for picture in read.descendants().filter(|node| node.has_tag_name("img")) {
        assert!(
            picture
                .attribute("src")
                .unwrap()
                .starts_with("data:image/png;base64,")
        );
        assert!(
            picture.attribute("alt").is_some_and(|alt| alt.len() > 10),
            "a picture without words"
        );
    }
    let tables = read
        .descendants()
        .filter(|node| node.has_tag_name("table"))
        .count();
    assert_eq!(tables, 4 + 2, "four views and two teams");
    assert!(
        !page.contains("<script") && !page.contains("href=") && !page.contains("url("),
        "nothing is fetched"
    );

    let figures = std::fs::read_to_string(scratch.path().join("report.json")).unwrap();
    let figures: serde_json::Value = serde_json::from_str(&figures).unwrap();
    assert_eq!(figures["format"], "velatura-pair/1");
    assert_eq!(figures["verdict"]["line"], report.verdict.line.as_str());
    assert_eq!(figures["views"].as_array().unwrap().len(), 4);
    assert_eq!(figures["views"][3]["eyes"].as_array().unwrap().len(), 7);
    let picture = image::open(scratch.path().join("pair.png")).unwrap();
    assert_eq!(picture.width(), 1920);
}

#[test]
fn a_screen_on_which_a_figure_would_not_fit_is_refused_and_nothing_is_written() {
    let giant = Figure {
        height_mm: 900.0,
        ..Figure::hooded()
    };
    let job = giant.painted("Giant", &[("coat", "#204a80")]);
    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().join("out");
    let side = Side {
        job: &job,
        scheme: 0,
    };
    let output = OutputFolder::new(&out);
    let reported = pair(&[side, side], &PairOptions::default(), &output)
        .unwrap_err()
        .to_string();
    assert!(
        reported.contains("Made <up> & plain") && reported.contains("the screen's pixels per inch"),
        "{reported}"
    );
    assert!(!out.exists());
    // Must pass: a coarser screen.
    let options = PairOptions::default().screen(Screen {
        ppi: 48.0,
        ..Screen::default()
    });
    written([&job, &job], &out, &options);
}
