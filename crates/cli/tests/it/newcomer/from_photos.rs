//! From photos to a sheet with an image editor only for the strokes: a mask from strokes, paints from a card, proposed schemes.

use std::path::Path;

use serde_json::Value;

use super::velatura;

fn done(arguments: &[&str]) {
    let output = velatura(arguments, "2");
    let reported = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "{arguments:?}\n{reported}");
}

#[test]
fn photo_strokes_and_card_photo_become_a_sheet() {
    let desk = tempfile::tempdir().unwrap();
    let place = |name: &str| desk.path().join(name).to_str().unwrap().to_owned();
    let demo = |name: &str| {
        velatura_tests::root()
            .join("demo_images/lamplighter")
            .join(name)
    };
    for name in ["lamplighter.jpg", "primed.jpg", "figure.toml"] {
        std::fs::copy(demo(name), desk.path().join(name)).unwrap();
    }
    let strokes = demo("strokes.png");
    let mask = place("lamplighter-mask.png");
    done(&[
        "regions",
        &place("lamplighter.jpg"),
        "--strokes",
        strokes.to_str().unwrap(),
        "--out",
        &mask,
    ]);
    let (card, layout) = ("demo_images/card/card.jpg", "demo_images/card/layout.toml");
    done(&[
        "swatch",
        card,
        "--layout",
        layout,
        "--out",
        &place("paints.toml"),
    ]);
    let figure = place("figure.toml");
    done(&[
        "explore",
        &figure,
        "--count",
        "4",
        "--out",
        &place("schemes.toml"),
    ]);
    done(&[
        "check",
        &figure,
        &place("paints.toml"),
        &place("schemes.toml"),
    ]);
    done(&["render", &figure, "--sheet-only", "--out", &place("out")]);

    let out = Path::new(&place("out")).to_owned();
    assert!(image::open(out.join("sheet.png")).unwrap().width() > 400);
    let report = std::fs::read_to_string(out.join("report.json")).unwrap();
    let report: Value = serde_json::from_str(&report).unwrap();
    let schemes = report["schemes"].as_array().unwrap();
    assert_eq!(schemes.len(), 4);
    for region in schemes
        .iter()
        .flat_map(|scheme| scheme["regions"].as_array().unwrap())
    {
        assert!(region["pixels"].as_u64().unwrap() > 0, "{region}");
        assert_eq!(region["basis"], "drawdown+tint", "{region}");
    }
}
