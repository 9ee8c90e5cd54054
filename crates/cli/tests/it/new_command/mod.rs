//! `velatura new`: from a photo with strokes to a figure that renders.

use std::path::Path;

use velatura_photo::{DecodeLimits, decode_photo};

use crate::desk::Desk;

fn demo(file: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../demo_images/lamplighter")
        .join(file)
        .display()
        .to_string()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// The demo's photo, turned as its EXIF tag says.
fn upright_photo() -> image::RgbImage {
    let bytes = std::fs::read(demo("lamplighter.jpg")).unwrap();
    let photo = decode_photo("photo", &bytes, &DecodeLimits::default());
    let photo = photo.unwrap().value;
    let pixels = photo.photo.as_flattened().to_vec();
    image::RgbImage::from_raw(photo.width, photo.height, pixels).unwrap()
}

/// The demo's strokes painted on its photo, saved by a lossy encoder as a phone does.
fn copy_with_strokes(desk: &Desk) -> image::RgbImage {
    let mut photo = upright_photo();
    let strokes = image::open(demo("strokes.png")).unwrap().to_rgba8();
    for (x, y, stroke) in strokes.enumerate_pixels() {
        let [r, g, b, alpha] = stroke.0;
        if alpha == 255 {
            photo.put_pixel(x, y, image::Rgb([r, g, b]));
        }
    }
    photo.save(desk.path("copy.jpg")).unwrap();
    photo
}

/// Compares a picture with the one that the guide shows. With `VELATURA_UPDATE=guide` it is written anew, and the test fails.
fn is_in_the_guide(name: &str, made: &image::RgbImage) {
    use image::imageops::{FilterType, resize};
    let height = made.height() * 500 / made.width();
    let small = resize(made, 500, height, FilterType::Triangle);
    let path = velatura_tests::root().join("docs/pictures").join(name);
    if std::env::var("VELATURA_UPDATE").is_ok_and(|what| what == "guide") {
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        small.save(&path).unwrap();
        panic!("{name} was written anew: look at it, then run without VELATURA_UPDATE");
    }
    let kept = image::open(&path).unwrap_or_else(|why| panic!("{name}: {why}"));
    let kept = kept.to_rgb8();
    assert_eq!(kept.dimensions(), small.dimensions(), "{name}");
    let off: u64 = kept
        .as_raw()
        .iter()
        .zip(small.as_raw())
        .map(|(kept, made)| u64::from(kept.abs_diff(*made)))
        .sum();
    // The guide's pictures are saved by a lossy encoder.
    let mean = off as f64 / small.as_raw().len() as f64;
    assert!(
        mean < 3.0,
        "docs/pictures/{name} is out of date by {mean:.1} codes; write it with \
         VELATURA_UPDATE=guide cargo test --workspace --test it new_command, once for each picture"
    );
}

#[test]
fn a_photo_with_strokes_becomes_a_figure_that_renders() {
    let desk = Desk::empty();
    let copy = copy_with_strokes(&desk);
    let photo = demo("lamplighter.jpg");
    for (strokes, folder) in [(demo("strokes.png"), "a"), ("copy.jpg".to_owned(), "b")] {
        let call = [
            "new",
            &photo,
            "--strokes",
            &strokes,
            "--out",
            folder,
            "--part",
            "red=coat",
            "--part",
            "blue=hood",
            "--example-paints",
            "--name",
            "My \"first\" one",
        ];
        let output = desk.run(&call);
        let printed = text(&output.stdout);
        assert!(output.status.success(), "{}", text(&output.stderr));
        for name in [
            "figure.toml",
            "schemes.toml",
            "mask.png",
            "legend.png",
            "paints.toml",
        ] {
            assert!(desk.path(folder).join(name).is_file(), "{name}");
            assert!(printed.contains(&format!("{folder}/{name}")), "{printed}");
        }
        // The legend is below the photo, as wide as it.
        let legend = image::open(desk.path(folder).join("legend.png")).unwrap();
        let legend = legend.to_rgb8();
        if folder == "b" {
            is_in_the_guide("strokes.jpg", &copy);
            is_in_the_guide("legend.jpg", &legend);
        }
        let shown = upright_photo();
        assert_eq!(legend.width(), shown.width());
        assert!(legend.height() > shown.height());

        let figure = format!("{folder}/figure.toml");
        let checked = desk.run(&["check", &figure]);
        assert!(checked.status.success(), "{}", text(&checked.stdout));
        let out = format!("{folder}/out");
        let rendered = desk.run(&["render", &figure, "--out", &out, "--sheet-only"]);
        assert!(rendered.status.success(), "{}", text(&rendered.stderr));
        let report = std::fs::read(desk.path(&out).join("report.json")).unwrap();
        let report: serde_json::Value = serde_json::from_slice(&report).unwrap();
        assert_eq!(report["figure"], "My \"first\" one");
        // The demo has strokes for so many parts; each has a coat.
        let coats = report["schemes"][0]["regions"].as_array().unwrap();
        assert!(coats.len() >= 5, "{report}");

        let before = std::fs::read(desk.path(&figure)).unwrap();
        let again = desk.run(&call);
        let reported = text(&again.stderr);
        assert_eq!(again.status.code(), Some(2), "{reported}");
        for name in [
            "figure.toml",
            "schemes.toml",
            "mask.png",
            "legend.png",
            "paints.toml",
        ] {
            let named = format!("error: {folder}/{name}: this file exists already");
            assert!(reported.contains(&named), "{reported}");
        }
        assert_eq!(std::fs::read(desk.path(&figure)).unwrap(), before);
    }
}

#[test]
fn parts_get_the_names_that_were_given_to_their_colours() {
    let desk = Desk::with_job();
    let strokes = image::RgbaImage::from_fn(40, 30, |x, y| {
        image::Rgba(match (x, y) {
            (4..=10, 10..=14) => [230, 25, 75, 255],
            (25..=30, 10..=14) => [67, 99, 216, 255],
            (_, 0..=1) => [0, 0, 0, 255],
            _ => [0; 4],
        })
    });
    strokes.save(desk.path("strokes.png")).unwrap();
    let call = |parts: &[&str], out: &str| {
        let mut call = vec!["new", "photo.png", "--strokes", "strokes.png", "--out", out];
        for part in parts {
            call.extend(["--part", part]);
        }
        desk.run(&call)
    };
    let made = call(&["red=coat", "#4363D8 = deep hood"], "named");
    assert!(made.status.success(), "{}", text(&made.stderr));
    let figure = std::fs::read_to_string(desk.path("named/figure.toml")).unwrap();
    for part in [
        "name = \"coat\"\nmask_colour = \"#e6194b\"",
        "name = \"deep hood\"\nmask_colour = \"#4363d8\"",
        "photo = \"../photo.png\"",
    ] {
        assert!(figure.contains(part), "{part}: {figure}");
    }
    let schemes = std::fs::read_to_string(desk.path("named/schemes.toml")).unwrap();
    assert!(
        schemes.contains("region = \"deep hood\"\nmix = { medium = 1 }"),
        "{schemes}"
    );
    // A paints file next to the photo is used where no folder is named.
    std::fs::create_dir(desk.path("own")).unwrap();
    for name in ["photo.png", "strokes.png", "paints.toml"] {
        std::fs::copy(desk.path(name), desk.path("own").join(name)).unwrap();
    }
    let own = desk.run(&["new", "own/photo.png", "--strokes", "own/strokes.png"]);
    assert!(own.status.success(), "{}", text(&own.stderr));
    let schemes = std::fs::read_to_string(desk.path("own/schemes.toml")).unwrap();
    assert!(
        schemes.contains("mix = { \"Oil Amber\" = 1, medium = 2 }"),
        "{schemes}"
    );

    for (parts, found) in [
        (&["green=x"][..], "\"green\" is the colour of no strokes"),
        (&["red=x", "blue=x"], "two parts are called \"x\""),
        (&["red"], "expected a colour and a name, such as red=coat"),
    ] {
        let refused = call(parts, "refused");
        let reported = text(&refused.stderr);
        assert_eq!(refused.status.code(), Some(2), "{reported}");
        assert!(reported.contains(found), "{reported}");
        assert!(!desk.path("refused").exists());
    }
}
