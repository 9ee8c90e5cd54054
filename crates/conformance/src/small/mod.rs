//! A tiny job for examples and checks: a Lamplighter of 20 × 72 pixels with two paints and three schemes, made in memory.
//!
//! In: nothing. Out: its files, or the pipeline's data from them. Everything in it is invented, and the same on every call.

use velatura_document::{Diagnostic, MemoryFiles};
use velatura_optics::colour::Encoded;
use velatura_photo::{DecodeLimits, Photo, decode_photo, picture_png};
use velatura_regions::Marks;

use velatura_pipeline::{
    Cancel, Error, Job, Parameters, Run, Session, SheetChip, SheetPicture, SheetRequest,
    SheetScheme,
};

const WIDTH: usize = 20;
const HEIGHT: usize = 72;
/// Pixels of backdrop around the figure.
const BACKDROP: usize = 3;
/// First row below the hood, and first row of the lantern.
const HOOD_ENDS: usize = 24;
const LANTERN_BEGINS: usize = 58;
/// Regions' colours in the mask, as in `figure.toml`.
const HOOD: [u8; 3] = [0x43, 0x63, 0xd8];
const COAT: [u8; 3] = [0xe6, 0x19, 0x4b];
const LANTERN: [u8; 3] = [0xf0, 0x32, 0xe6];
/// Mark of a pixel that no stroke touches.
const UNMARKED: u8 = u8::MAX;

/// The names of the job's files.
const FILES: [&str; 5] = [
    "figure.toml",
    "paints.toml",
    "schemes.toml",
    "photo.png",
    "mask.png",
];

/// The bytes of one of the job's files: `figure.toml`, `paints.toml`, `schemes.toml`, `photo.png` or `mask.png`.
///
/// # Errors
/// If no file has that name.
pub fn small_file(path: &str) -> Result<Vec<u8>, Diagnostic> {
    let text = |text: &str| Ok(text.as_bytes().to_vec());
    #[allow(clippy::cast_possible_truncation, reason = "twenty")]
    let picture = |of: fn(usize, usize) -> [u8; 3]| {
        let pixels: Vec<[u8; 3]> = places().map(|(x, y)| of(x, y)).collect();
        Ok(picture_png(&pixels, WIDTH as u32))
    };
    match path {
        "figure.toml" => text(include_str!("figure.toml")),
        "paints.toml" => text(include_str!("paints.toml")),
        "schemes.toml" => text(include_str!("schemes.toml")),
        "photo.png" => picture(photographed),
        "mask.png" => picture(masked),
        _ => Err(Diagnostic::error(path, "the small job has no such file")
            .expected("figure.toml, paints.toml, schemes.toml, photo.png or mask.png")),
    }
}

/// All files of the job.
///
/// # Panics
/// Never: all of them are there.
#[must_use]
pub fn small_files() -> MemoryFiles {
    FILES
        .into_iter()
        .map(|name| (name, small_file(name).expect("each is there")))
        .collect()
}

/// The job as a session's stages read it: figure, planes, paints, schemes.
///
/// # Errors
/// An error of a stage of the session.
pub fn small_job(session: &Session) -> Result<Job, Error> {
    session.load(&small_files(), "figure.toml")
}

/// Like [`small_job`], with `tables` at the end of `figure.toml`: `"[stage.dust]\namount = 0.5"`.
///
/// # Errors
/// Problems of the tables, or an error of a stage of the session.
pub fn small_job_with(session: &Session, tables: &str) -> Result<Job, Error> {
    let figure = include_str!("figure.toml").to_owned() + "\n" + tables;
    session.load(&small_files().with("figure.toml", figure), "figure.toml")
}

/// The pictures of all schemes of a job, in their order: 8-bit sRGB, row-major, of the photo's size.
///
/// # Errors
/// An error of a stage of the job's session.
pub fn pictures(job: &Job) -> Result<Vec<Vec<[u8; 3]>>, Error> {
    let run = Run::new(job, &Cancel::default());
    let planned = run.plan(&job.schemes)?;
    let mut pictures = vec![Vec::new(); planned.len()];
    run.render(&planned, &mut pictures, &|_| ())?;
    Ok(pictures)
}

/// The job's photo, 20 × 72 pixels.
///
/// # Panics
/// Never: it is our own PNG.
#[must_use]
pub fn small_photo() -> Photo {
    let bytes = small_file("photo.png").expect("the job has a photo");
    let decoded = decode_photo("photo.png", &bytes, &DecodeLimits::default());
    decoded.expect("a PNG of our own").value
}

/// Strokes on that photo: one down the middle of each region, in the figure's order, and one of background in the corner.
#[must_use]
pub fn small_strokes() -> Marks {
    let marks = places().map(|(x, y)| match (x, y) {
        (10, 8..20) => 1,
        (10, 30..50) => 2,
        (10, 62..66) => 3,
        (0..2, 0..2) => 0,
        _ => UNMARKED,
    });
    Marks {
        colours: vec![Encoded(HOOD), Encoded(COAT), Encoded(LANTERN)],
        marks: marks.collect(),
    }
}

/// The request for a sheet of the job's three schemes.
#[must_use]
pub fn small_sheet_request(parameters: Parameters) -> SheetRequest {
    let scheme = |name: &str, finish: &str, chip: [u8; 3]| SheetScheme {
        name: name.to_owned(),
        team: "Lamplighters".to_owned(),
        undercoat: "as photographed".to_owned(),
        finish: finish.to_owned(),
        chips: vec![SheetChip {
            region: "coat".to_owned(),
            seen: Encoded(chip),
            dried: Encoded(chip),
        }],
    };
    SheetRequest {
        heading: "Lamplighter, tiny".to_owned(),
        sub_heading: "black to white".to_owned(),
        crop: (20, 72),
        columns: None,
        long_edge: None,
        schemes: vec![
            scheme("Foglight", "matte", [44, 96, 104]),
            scheme("Wick Smoke", "satin", [128, 92, 40]),
            scheme("Harbour Glass", "gloss", [60, 130, 142]),
        ],
        parameters,
    }
}

/// Pictures for a sheet, each of one flat grey.
#[must_use]
pub fn small_sheet_pictures(request: &SheetRequest, size: (u32, u32)) -> Vec<SheetPicture> {
    let pixels = size.0 as usize * size.1 as usize;
    (0_u8..=255)
        .zip(&request.schemes)
        .map(|(index, _)| SheetPicture {
            width: size.0,
            height: size.1,
            pixels: vec![[40_u8.saturating_add(index.saturating_mul(30)); 3]; pixels],
        })
        .collect()
}

/// A `report.json` of the job, for sheet texts.
#[must_use]
pub fn small_report() -> &'static str {
    include_str!("report.json")
}

/// Columns and rows, row by row.
fn places() -> impl Iterator<Item = (usize, usize)> {
    (0..HEIGHT).flat_map(|y| (0..WIDTH).map(move |x| (x, y)))
}

fn is_backdrop(x: usize, y: usize) -> bool {
    let between = |at: usize, side: usize| (BACKDROP..side - BACKDROP).contains(&at);
    !between(x, WIDTH) || !between(y, HEIGHT)
}

fn masked(x: usize, y: usize) -> [u8; 3] {
    match y {
        _ if is_backdrop(x, y) => [0; 3],
        0..HOOD_ENDS => HOOD,
        HOOD_ENDS..LANTERN_BEGINS => COAT,
        _ => LANTERN,
    }
}

/// A rounded body in a slightly warm light, with folds every nine rows and a little grain.
fn photographed(x: usize, y: usize) -> [u8; 3] {
    if is_backdrop(x, y) {
        return [24, 24, 26];
    }
    let from_middle = x.abs_diff(WIDTH / 2);
    let fold = if y % 9 < 2 { 70 } else { 0 };
    let grain = (x * 7 + y * 5) % 11;
    let tone = 225 - 11 * from_middle - fold - grain;
    [tone, tone * 97 / 100, tone * 92 / 100].map(|code| u8::try_from(code).expect("at most 225"))
}
