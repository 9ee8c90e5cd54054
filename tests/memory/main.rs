//! Memory that large work asks for before it begins, against what it takes: an allocator counts every byte.
//!
//! One test does everything in turn, because the allocator counts for the whole process.

use image::imageops::FilterType;
use peak_alloc::PeakAlloc;
use velatura_document::SourceText;
use velatura_figure::{FigureFile, ground_bytes, plate, read_figure_file, underpainting};
use velatura_photo::flat::PhotoFrame;
use velatura_photo::{DecodeLimits, Photo, decode_photo};
use velatura_regions::{Marked, Marks, REGIONS_BYTES_PER_PIXEL, read_marks, refined, regions};
use velatura_swatch::{CARD_BYTES_PER_PIXEL, read_card, read_layout_file};
use velatura_testkit::pictures::png;

#[global_allocator]
static COUNTED: PeakAlloc = PeakAlloc;

/// Pixels of every picture here: what does not grow with a picture is then a small share.
const SIDE: (u32, u32) = (2250, 3000);

/// Bytes per pixel that `work` holds at one time on top of what is there already, its result included.
fn taken<T>(work: impl FnOnce() -> T) -> (f64, T) {
    let before = COUNTED.current_usage();
    COUNTED.reset_peak_usage();
    let result = work();
    let most = COUNTED.peak_usage().saturating_sub(before);
    (per_pixel_of(most as u64), result)
}

fn per_pixel_of(bytes: u64) -> f64 {
    bytes as f64 / f64::from(SIDE.0 * SIDE.1)
}

/// A picture of the demo at another size, as PNG.
fn enlarged(path: &str, filter: FilterType) -> Vec<u8> {
    let path = format!("{}/../demo_images/{path}", env!("CARGO_MANIFEST_DIR"));
    let picture = image::open(path).unwrap();
    let larger = picture.resize_exact(SIDE.0, SIDE.1, filter);
    let kind = larger.color().into();
    png(SIDE.0, SIDE.1, larger.as_bytes(), kind)
}

fn text(path: &str) -> SourceText {
    let bytes = std::fs::read(format!(
        "{}/../demo_images/{path}",
        env!("CARGO_MANIFEST_DIR")
    ));
    SourceText::from_bytes(path, bytes.unwrap()).unwrap()
}

fn figure() -> FigureFile {
    read_figure_file(&text("lamplighter/figure.toml"))
        .unwrap()
        .value
}

fn photo(path: &str) -> Photo {
    let bytes = enlarged(path, FilterType::Triangle);
    decode_photo(path, &bytes, &DecodeLimits::default())
        .unwrap()
        .value
}

fn marks(path: &str, marked: Marked, photo: &Photo) -> Marks {
    let frame = PhotoFrame {
        width: photo.width,
        height: photo.height,
        photo: "photo",
        orientation: photo.orientation,
    };
    let bytes = enlarged(path, FilterType::Nearest);
    read_marks(path, &bytes, &DecodeLimits::default(), &frame, marked)
        .unwrap()
        .value
}

#[test]
fn large_work_takes_no_more_memory_than_it_asks_for() {
    let figure = figure();
    let lamplighter = enlarged("lamplighter/lamplighter.jpg", FilterType::Triangle);
    let mask = enlarged("lamplighter/lamplighter-mask.png", FilterType::Nearest);
    let plate = || {
        plate(&figure, &lamplighter, &mask, &DecodeLimits::default())
            .unwrap()
            .value
    };
    let mut found = Vec::new();

    let one = plate();
    let asked = per_pixel_of(ground_bytes(&one, false));
    let (per_pixel, _) = taken(|| underpainting(one, &figure, None).unwrap());
    found.push(("a ground", per_pixel, asked));

    let (one, primed) = (plate(), photo("lamplighter/primed.jpg"));
    let asked = per_pixel_of(ground_bytes(&one, true));
    let (per_pixel, _) = taken(|| underpainting(one, &figure, Some(primed)).unwrap());
    found.push(("with a light photo", per_pixel, asked));

    let shown = photo("lamplighter/lamplighter.jpg");
    let strokes = marks("lamplighter/strokes.png", Marked::Strokes, &shown);
    let (per_pixel, _) = taken(|| regions(&shown, &strokes));
    found.push((
        "regions from strokes",
        per_pixel,
        REGIONS_BYTES_PER_PIXEL as f64,
    ));

    let rough = marks(
        "lamplighter/lamplighter-mask.png",
        Marked::RoughMask,
        &shown,
    );
    let (per_pixel, _) = taken(|| refined(&shown, &rough, 12));
    found.push(("a rough mask", per_pixel, REGIONS_BYTES_PER_PIXEL as f64));

    let layout = read_layout_file(&text("card/layout.toml")).unwrap().value;
    let card = photo("card/card.jpg");
    let (per_pixel, reading) = taken(|| read_card("card.jpg", &card, &layout));
    assert!(reading.is_ok(), "the card is readable at this size");
    found.push(("a card", per_pixel, CARD_BYTES_PER_PIXEL as f64));

    for (what, per_pixel, asked) in &found {
        println!("{what}: {per_pixel:.2} bytes per pixel taken, {asked:.2} asked for");
    }
    for (what, per_pixel, asked) in &found {
        assert!(
            *per_pixel <= asked * 1.001,
            "{what}: {per_pixel:.2} taken, {asked:.2} asked for"
        );
    }
    // Must fail if the amount is far too large: work would be refused that has room. Ground and card ask for themselves, and what
    // they reserve is counted, so this can only be checked where the caller asks.
    for (what, per_pixel, asked) in &found {
        let asks_itself = !what.contains("mask") && !what.contains("strokes");
        assert!(
            asks_itself || *per_pixel > 0.7 * asked,
            "{what}: {per_pixel:.2} taken, {asked:.2} asked for"
        );
    }
}
