//! Drybrushed figures of which nothing is known but a photo and a mask: no light photo, no black, no white.
//!
//! The constants of the estimate (`crates/figure/src/ground/lit.rs`) were chosen on other path-traced figures of the same two
//! sculpts, in other poses, under other lamps and with other noise.

use std::path::Path;

use velatura_document::MemoryFiles;
use velatura_optics::colour::{Encoded, Linear};
use velatura_pipeline::Job;
use velatura_tests::{DEMO, RIVALS, built_in_session, picture, read_from_root};

use super::{SCALE, mean_delta_e, previews};

/// A drybrushed figure in memory, its undercoat described by `undercoat` alone.
struct Alone {
    folder: &'static str,
    photo: Vec<u8>,
    mask: &'static str,
    regions: String,
}

impl Alone {
    fn of(figure: &'static str, photo: &str, mask: &'static str) -> Self {
        let text = String::from_utf8(read_from_root(figure).unwrap()).unwrap();
        let regions = text.split_once("[[region]]").expect("a region").1;
        let folder = figure.strip_suffix("/figure.toml").expect("a figure file");
        Self {
            folder,
            photo: read_from_root(&format!("{folder}/{photo}")).unwrap(),
            mask,
            regions: format!("[[region]]{regions}"),
        }
    }

    fn job(&self, undercoat: &str) -> Job {
        self.job_of(self.photo.clone(), undercoat)
    }

    fn job_of(&self, photo: Vec<u8>, undercoat: &str) -> Job {
        let figure = format!(
            "format = \"velatura-figure/1\"\nname = \"Alone\"\nphoto = \"photo\"\nmask = \"mask\"\n[undercoat]\n\
             kind = \"black-to-white\"\n{undercoat}\n{}",
            self.regions
        );
        let read = |file: &str| read_from_root(&format!("{}/{file}", self.folder)).unwrap();
        // The photo is black-to-white already, so no scheme needs to simulate that.
        let schemes = String::from_utf8(read("schemes.toml"))
            .unwrap()
            .replace("\"black-to-white\"", "\"as-photographed\"");
        let files = MemoryFiles::new()
            .with("figure.toml", figure)
            .with("photo", photo)
            .with("mask", read(self.mask))
            .with("paints.toml", read("paints.toml"))
            .with("schemes.toml", schemes);
        built_in_session()
            .load(&files, Path::new("figure.toml"))
            .unwrap_or_else(|error| panic!("{error}"))
    }
}

fn lamplighter() -> Alone {
    Alone::of(DEMO, "lamplighter.jpg", "lamplighter-mask.png")
}

/// The Reedwarden, primed black and drybrushed; at the truth's size and without noise.
fn reedwarden() -> Alone {
    Alone::of(RIVALS, "truth/black-to-white-bare.png", "truth/mask.png")
}

const WITHOUT_ANYTHING: &str = "";
/// What the program took for light before it estimated it: a constant share of the tone.
const CONSTANT_SHARE: &str = "light_share = 0.2";

/// Mean ΔE of the previews against the truth of each scheme.
fn errors(job: &Job, scale: usize, mask: &str, painted: &[(&str, &str)]) -> Vec<f64> {
    let names: Vec<&str> = painted.iter().map(|(name, _)| *name).collect();
    let (_, mask) = picture(mask);
    previews(job, &names, scale)
        .iter()
        .zip(painted)
        .map(|(shown, (_, file))| mean_delta_e(shown, &picture(file).1, &mask).0)
        .collect()
}

#[test]
fn a_photo_and_a_mask_are_enough_for_previews_near_the_truth() {
    let lamplighters = [
        ("Foglight", "demo_images/lamplighter/truth/foglight.png"),
        (
            "Wick & Ember",
            "demo_images/lamplighter/truth/wick-ember.png",
        ),
    ];
    let reedwardens = [(
        "Black Water",
        "demo_images/reedwarden/truth/black-water-over-black.png",
    )];
    // The goal is 2.6. We reach 1.87, 1.91 and 2.40; the bounds are below what the constant share reaches.
    // Files, bound, pixels of the photo per pixel of the truth, the truth's mask, schemes.
    type Figure<'a> = (Alone, f64, usize, &'a str, &'a [(&'a str, &'a str)]);
    let figures: [Figure<'_>; 2] = [
        (
            lamplighter(),
            2.1,
            SCALE,
            "demo_images/lamplighter/truth/mask.png",
            &lamplighters,
        ),
        (
            reedwarden(),
            2.6,
            1,
            "demo_images/reedwarden/truth/mask.png",
            &reedwardens,
        ),
    ];
    for (alone, most, scale, mask, painted) in figures {
        let ours = errors(&alone.job(WITHOUT_ANYTHING), scale, mask, painted);
        let by_share = errors(&alone.job(CONSTANT_SHARE), scale, mask, painted);
        for ((name, _), (ours, by_share)) in painted.iter().zip(ours.iter().zip(&by_share)) {
            println!(
                "{name:14} mean ΔE {ours:.2} from the photo alone, {by_share:.2} by a constant share"
            );
            assert!(*ours <= most, "{name}: {ours}");
            // Must fail: the constant share.
            assert!(*by_share > most, "{name}: {by_share}");
        }
    }
}

/// The photo with all light multiplied, as PNG.
fn exposed(photo: &[u8], times: f64) -> Vec<u8> {
    let mut picture = image::load_from_memory(photo).unwrap().into_rgb8();
    for pixel in picture.pixels_mut() {
        let light = Encoded(pixel.0)
            .linear()
            .0
            .map(|light| (light * times).min(1.0));
        pixel.0 = Linear(light).encoded().0;
    }
    let mut bytes = std::io::Cursor::new(Vec::new());
    picture
        .write_to(&mut bytes, image::ImageFormat::Png)
        .unwrap();
    bytes.into_inner()
}

#[test]
fn the_exposure_of_the_photo_hardly_changes_the_paint() {
    let alone = reedwarden();
    let substrate = |undercoat: &str, times: f64| {
        let job = alone.job_of(exposed(&alone.photo, times), undercoat);
        let planes = job.underpainting;
        let of_figure = planes.substrate.iter().zip(&planes.subject.region);
        of_figure
            .filter(|(_, region)| **region != 0)
            .map(|(substrate, _)| f64::from(*substrate).ln())
            .collect::<Vec<f64>>()
    };
    #[allow(clippy::cast_precision_loss, reason = "few pixels")]
    let change = |undercoat: &str, times: f64| {
        let (as_it_is, other) = (substrate(undercoat, 1.0), substrate(undercoat, times));
        let off = as_it_is.iter().zip(&other).map(|(a, b)| (a - b).abs());
        off.sum::<f64>() / as_it_is.len() as f64
    };
    for times in [0.5, 0.25, 1.2] {
        let (ours, by_share) = (
            change(WITHOUT_ANYTHING, times),
            change(CONSTANT_SHARE, times),
        );
        println!(
            "exposure × {times}: paint changes by {ours:.3} in its logarithm, {by_share:.3} by a constant share"
        );
        // Two stops down, recesses are codes of 8 bits near 0.
        assert!(ours < 0.08, "× {times}: {ours}");
    }
    // Must fail: a constant share takes a darker photo for darker paint.
    assert!(change(CONSTANT_SHARE, 0.5) > 0.3);
}
