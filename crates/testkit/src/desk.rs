//! Small figures made up for tests: rectangles of opaque paint under even light, so that every colour is known in advance.

#![allow(
    dead_code,
    clippy::unwrap_used,
    clippy::missing_assert_message,
    reason = "each test file uses its part of it, and a test may fail loudly"
)]

use std::collections::BTreeMap;
use std::io::Cursor;
use std::path::Path;

use image::{GrayImage, ImageFormat, Luma, Rgb, RgbImage};
use velatura::{
    Job, MemoryFiles, MemoryOutputs, OutputFolder, Outputs, PairOptions, PairReport, Side, pair,
    session,
};
use velatura_document::quoted;

/// One rectangle of the figure, in pixels of the photo; rectangles of one name are one region.
pub struct Part {
    pub name: &'static str,
    pub x: std::ops::Range<u32>,
    pub y: std::ops::Range<u32>,
}

/// A figure: its parts on a picture of 120 × 200 pixels, and how tall it is.
pub struct Figure {
    pub parts: Vec<Part>,
    pub height_mm: f64,
    pub count: u32,
}

/// Mask colours of the first parts.
const MASKS: [[u8; 3]; 5] = [
    [230, 25, 75],
    [67, 99, 216],
    [255, 225, 25],
    [60, 180, 75],
    [145, 30, 180],
];
pub const SIZE: (u32, u32) = (120, 200);

impl Figure {
    /// A hood over a coat; together 160 pixels tall.
    pub fn hooded() -> Self {
        Self {
            parts: vec![
                Part {
                    name: "hood",
                    x: 40..80,
                    y: 20..60,
                },
                Part {
                    name: "coat",
                    x: 30..90,
                    y: 60..180,
                },
            ],
            height_mm: 32.0,
            count: 3,
        }
    }

    /// The job of this figure under one scheme: an opaque paint, `#rrggbb`, for each named part. The photo is a grey of
    /// #808080 that is all light, so that each part shows its paint as its drawdown dried.
    pub fn painted(&self, scheme: &str, colours: &[(&str, &str)]) -> Job {
        let mut paints =
            "format = \"velatura-paints/1\"\n[cards]\nblack = \"#1c1c1c\"\nwhite = \"#f0f0f0\"\n"
                .to_owned();
        let mut schemes = format!(
            "format = \"velatura-schemes/1\"\n[[scheme]]\nname = {}\nteam = \"Test <team> & more\"\n",
            quoted(scheme)
        );
        for (number, (region, colour)) in colours.iter().enumerate() {
            paints += &format!(
                "[[paint]]\nname = \"Paint {number} & <co>\"\nover_black = \"{colour}\"\nover_white = \"{colour}\"\n"
            );
            schemes += &format!(
                "[[scheme.coat]]\nregion = \"{region}\"\nmix = {{ \"Paint {number} & <co>\" = 3 }}\nfilm = 4.0\n"
            );
        }
        self.with(&paints, &schemes)
    }

    /// The job of this figure with other text files.
    pub fn with(&self, paints: &str, schemes: &str) -> Job {
        let mut figure = format!(
            "format = \"velatura-figure/1\"\nname = \"Made <up> & plain\"\nphoto = \"photo.png\"\nmask = \"mask.png\"\n\
             height_mm = {:?}\ncount = {}\n[undercoat]\nkind = \"plain\"\nwhite = \"#808080\"\n",
            self.height_mm, self.count
        );
        let mut mask = RgbImage::new(SIZE.0, SIZE.1);
        let mut names: Vec<&str> = Vec::new();
        for part in &self.parts {
            let known = names.iter().position(|name| *name == part.name);
            let index = known.unwrap_or(names.len());
            let [red, green, blue] = MASKS[index];
            if known.is_none() {
                names.push(part.name);
                figure += &format!(
                    "[[region]]\nname = \"{}\"\nmask_colour = \"#{red:02x}{green:02x}{blue:02x}\"\n",
                    part.name
                );
            }
            for y in part.y.clone() {
                for x in part.x.clone() {
                    mask.put_pixel(x, y, Rgb([red, green, blue]));
                }
            }
        }
        let photo = GrayImage::from_pixel(SIZE.0, SIZE.1, Luma([0x80]));
        let mut files: BTreeMap<&str, Vec<u8>> = BTreeMap::new();
        files.insert("figure.toml", figure.into_bytes());
        files.insert("paints.toml", paints.as_bytes().to_vec());
        files.insert("schemes.toml", schemes.as_bytes().to_vec());
        let mut bytes = Cursor::new(Vec::new());
        mask.write_to(&mut bytes, ImageFormat::Png).unwrap();
        files.insert("mask.png", bytes.into_inner());
        let mut bytes = Cursor::new(Vec::new());
        photo.write_to(&mut bytes, ImageFormat::Png).unwrap();
        files.insert("photo.png", bytes.into_inner());
        let session = session().build().unwrap();
        session
            .load(&files.into_iter().collect::<MemoryFiles>(), "figure.toml")
            .unwrap_or_else(|error| panic!("{error}"))
    }
}

/// The pair of two jobs' first schemes, written into `folder`.
pub fn written(jobs: [&Job; 2], folder: &Path, options: &PairOptions) -> PairReport {
    written_to(jobs, options, &OutputFolder::new(folder))
}

/// The same, without keeping the files.
pub fn compared(jobs: [&Job; 2]) -> PairReport {
    written_to(jobs, &PairOptions::default(), &MemoryOutputs::new())
}

fn written_to(jobs: [&Job; 2], options: &PairOptions, outputs: &dyn Outputs) -> PairReport {
    let sides = jobs.map(|job| Side { job, scheme: 0 });
    pair(&sides, options, outputs)
        .unwrap_or_else(|error| panic!("{error}"))
        .report
}
