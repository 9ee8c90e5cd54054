//! Masks: colours to regions, blended edges, sizes, and the messages about them.

use image::ExtendedColorType;
use velatura_document::Diagnostic;
use velatura_figure::{BlendedEdges, FigureFile, plate, read_mask};
use velatura_photo::flat::PhotoFrame;
use velatura_photo::{DecodeLimits, Orientation};
use velatura_testkit::pictures::{
    BLUE, ByteOrder, RED, figure, jpeg, pixels, png, png_rgb, with_exif,
};

const PLAIN: &str = "kind = \"plain\"";

fn fit(width: u32, height: u32) -> PhotoFrame<'static> {
    PhotoFrame {
        width,
        height,
        photo: "photo.png",
        orientation: Orientation::UPRIGHT,
    }
}

fn read(bytes: &[u8], width: u32, height: u32) -> (Vec<u8>, Vec<Diagnostic>) {
    let fit = fit(width, height);
    read_mask(
        "mask.png",
        bytes,
        &figure(PLAIN),
        &DecodeLimits::default(),
        &fit,
        BlendedEdges::NearerColour,
    )
    .unwrap_or_else(|e| panic!("{e}"))
    .into_parts()
}

fn halves(x: u32) -> [u8; 3] {
    if x < 4 { RED } else { BLUE }
}

#[test]
fn colours_within_two_codes_are_the_region_and_others_background() {
    let shifted = |by: u8| [RED[0] - by, RED[1] + by, RED[2]];
    let bytes = png_rgb(9, 9, |x, y| match (x / 3, y / 3) {
        (0, 0) => RED,
        (0, 1) => shifted(2),
        (0, _) => shifted(3),
        (1, _) => BLUE,
        (_, 0) => [0; 3],
        (_, 1) => [255; 3],
        _ => [90, 120, 30],
    });
    let (labels, warnings) = read(&bytes, 9, 9);
    assert_eq!(
        labels,
        pixels(9, 9, |x, y| match (x / 3, y / 3) {
            (0, 0 | 1) => 1,
            (1, _) => 2,
            _ => 0,
        })
    );
    assert_eq!(warnings.len(), 2, "{warnings:#?}");
    assert_eq!(
        warnings[1].found,
        "no region has the colour #5a781e (9 pixels)"
    );
    let reported = warnings[0].to_string();
    assert!(
        reported
            .contains("9 pixels in a colour close to #e6194b of region \"coat\", mostly #e31c4b"),
        "{reported}"
    );
}

#[test]
fn grey_sixteen_bit_and_transparent_masks_are_read() {
    let text = velatura_testkit::pictures::figure_text(PLAIN)
        .replace("#e6194b", "#404040")
        .replace("#4363d8", "#c0c0c0");
    let figure = velatura_figure::read_figure_file(&velatura_testkit::pictures::source(&text))
        .unwrap()
        .value;
    let read = |bytes: &[u8]| {
        let fit = fit(3, 1);
        read_mask(
            "mask.png",
            bytes,
            &figure,
            &DecodeLimits::default(),
            &fit,
            BlendedEdges::NearerColour,
        )
        .unwrap()
        .value
    };
    assert_eq!(
        read(&png(3, 1, &[0x40, 0xc0, 0], ExtendedColorType::L8)),
        [1, 2, 0]
    );
    let sixteen: Vec<u8> = [0x4040_u16, 0xc0c0, 0x1010]
        .iter()
        .flat_map(|code| code.to_ne_bytes())
        .collect();
    assert_eq!(
        read(&png(3, 1, &sixteen, ExtendedColorType::L16)),
        [1, 2, 0]
    );
    let alpha = [0x40, 255, 0xc0, 127, 0xc0, 128];
    assert_eq!(read(&png(3, 1, &alpha, ExtendedColorType::La8)), [1, 0, 2]);
}

/// A disc of red on blue on black, drawn with 8 × 8 samples per pixel.
fn smooth(x: u32, y: u32) -> [u8; 3] {
    let mut sums = [0_u32; 3];
    for (dx, dy) in (0..8).flat_map(|dx| (0..8).map(move |dy| (dx, dy))) {
        let colour = sharp(8 * x + dx, 8 * y + dy);
        sums.iter_mut()
            .zip(colour)
            .for_each(|(sum, code)| *sum += u32::from(code));
    }
    sums.map(|sum| u8::try_from(sum / 64).expect("a mean of codes"))
}

fn sharp(x: u32, y: u32) -> [u8; 3] {
    let from_centre = |x: u32| (f64::from(x) + 0.5) / 8.0 - 20.0;
    let radius = from_centre(x).hypot(from_centre(y));
    if radius < 8.3 {
        RED
    } else if radius < 15.7 {
        BLUE
    } else {
        [0; 3]
    }
}

#[test]
fn blended_edges_go_to_the_nearer_colour() {
    let (labels, warnings) = read(&png_rgb(40, 40, smooth), 40, 40);
    let truth = pixels(40, 40, |x, y| {
        let mut counts = [0; 3];
        for (dx, dy) in (0..8).flat_map(|dx| (0..8).map(move |dy| (dx, dy))) {
            let label = match sharp(8 * x + dx, 8 * y + dy) {
                RED => 1,
                BLUE => 2,
                _ => 0,
            };
            counts[label] += 1;
        }
        counts
    });
    let mut clear = 0;
    for (label, counts) in labels.iter().zip(&truth) {
        // If two colours share a pixel evenly, both are correct.
        if let Some(most) = (0..3).find(|label| counts[*label] > 40) {
            assert_eq!(usize::from(*label), most, "{counts:?}");
            clear += 1;
        }
    }
    assert!(clear > 1500, "{clear}");
    assert_eq!(warnings.len(), 1, "{warnings:#?}");
    // The circle is 4.6 pixels to each side of column 20 where row 4 ends.
    let reported = warnings[0].to_string();
    assert!(
        reported.contains("the edges are blended") && reported.contains("the first at (15, 4)"),
        "{reported}"
    );

    // Must fail: without that rule the edges are background.
    let fit = fit(40, 40);
    let bytes = png_rgb(40, 40, smooth);
    let (strict, warnings) = read_mask(
        "mask.png",
        &bytes,
        &figure(PLAIN),
        &DecodeLimits::default(),
        &fit,
        BlendedEdges::Background,
    )
    .unwrap()
    .into_parts();
    let background = |labels: &[u8]| labels.iter().filter(|label| **label == 0).count();
    assert!(background(&strict) > background(&labels) + 50);
    assert!(warnings[0].to_string().contains("they count as background"));
}

#[test]
fn a_flat_colour_between_two_regions_colours_stays_background() {
    let between: [u8; 3] = std::array::from_fn(|i| RED[i] / 2 + BLUE[i] / 2);
    let bytes = png_rgb(12, 8, |x, _| {
        if x < 4 {
            RED
        } else if x < 8 {
            between
        } else {
            BLUE
        }
    });
    let (labels, _) = read(&bytes, 12, 8);
    assert_eq!(labels.iter().filter(|label| **label == 0).count(), 4 * 8);
    // Must fail: the same colour as a line of one pixel is an edge.
    let bytes = png_rgb(12, 8, |x, _| {
        if x < 4 {
            RED
        } else if x == 4 {
            between
        } else {
            BLUE
        }
    });
    assert!(!read(&bytes, 12, 8).0.contains(&0));
}

#[test]
fn a_region_without_pixels_is_a_warning_that_names_the_nearest_colour() {
    let near = [BLUE[0], BLUE[1] + 5, BLUE[2]];
    let (_, warnings) = read(&png_rgb(8, 8, |x, _| if x < 4 { RED } else { near }), 8, 8);
    let reported = warnings[0].to_string();
    assert!(
        reported.contains("figure.toml:15:15: region \"hood\" has no pixel in mask.png"),
        "{reported}"
    );
    assert!(
        reported.contains("the closest colour there is #4368d8 (32 pixels near it)"),
        "{reported}"
    );
    let (_, warnings) = read(
        &png_rgb(8, 8, |x, _| if x < 4 { RED } else { [0; 3] }),
        8,
        8,
    );
    assert!(warnings[0].to_string().contains("hidden in this view"));
    assert!(read(&png_rgb(8, 8, |x, _| halves(x)), 8, 8).1.is_empty());
}

fn refused(bytes: &[u8], fit: &PhotoFrame<'_>) -> String {
    let figure = figure(PLAIN);
    let read = read_mask(
        "mask.png",
        bytes,
        &figure,
        &DecodeLimits::default(),
        fit,
        BlendedEdges::NearerColour,
    );
    read.expect_err("the mask is wrong").to_string()
}

#[test]
fn a_mask_without_any_region_is_an_error() {
    let reported = refused(&png_rgb(8, 8, |_, _| [9, 9, 9]), &fit(8, 8));
    assert!(
        reported.contains("no region has a pixel in this mask")
            && reported.contains("#090909 (64 pixels)"),
        "{reported}"
    );
    assert!(refused(&png_rgb(8, 8, |_, _| [0; 3]), &fit(8, 8)).contains("completely black"));
}

#[test]
fn a_mask_of_another_size_is_reported_how_to_mend_it() {
    let turned = PhotoFrame {
        orientation: Orientation::from_exif(6),
        ..fit(6, 8)
    };
    let reported = refused(&png_rgb(8, 6, |x, _| halves(x)), &turned);
    assert_eq!(
        reported,
        "error: mask.png: the mask is 8 × 6 pixels, the photo 6 × 8\n  in: figure.toml:4:8, `mask`\n  \
         expected: 6 × 8, the size of photo.png after its EXIF rotation (orientation 6)\n  \
         help: the mask was painted over the photo before rotation: turn it 90° clockwise"
    );
    let anticlockwise = PhotoFrame {
        orientation: Orientation::from_exif(8),
        ..turned
    };
    assert!(
        refused(&png_rgb(8, 6, |x, _| halves(x)), &anticlockwise).contains("90° anticlockwise")
    );
    let plain = fit(8, 6);
    assert!(refused(&png_rgb(6, 8, |x, _| halves(x)), &plain).contains("turn it by 90°"));
    assert!(
        refused(&png_rgb(16, 12, |x, _| halves(x)), &plain).contains("scale the mask to 8 × 6")
    );
    assert!(refused(&png_rgb(9, 6, |x, _| halves(x)), &plain).contains("cropped"));
}

#[test]
fn a_mask_with_its_own_rotation_is_turned() {
    let bytes = with_exif(
        &jpeg(48, 32, |x, _| if x < 24 { RED } else { BLUE }),
        6,
        ByteOrder::Little,
    );
    let (labels, _) = read(&bytes, 32, 48);
    let at = |x: usize, y: usize| labels[y * 32 + x];
    // JPEG shifts flat colours by a code or two, which still counts.
    assert_eq!((at(16, 4), at(16, 44)), (1, 2));
}

fn plate_of(figure: &FigureFile, photo: &[u8], mask: &[u8]) -> Result<Vec<u8>, Vec<Diagnostic>> {
    plate(figure, photo, mask, &DecodeLimits::default()).map(|plate| plate.value.subject.region)
}

#[test]
fn problems_of_photo_and_mask_come_together() {
    let figure = figure(PLAIN);
    let (photo, mask) = (jpeg(8, 8, |_, _| [90; 3]), png_rgb(8, 8, |x, _| halves(x)));
    assert!(plate_of(&figure, &photo, &mask).is_ok());
    // The header of the photo is complete, its data is not; the mask has another size.
    let png = png_rgb(8, 8, |x, y| {
        [
            u8::try_from(x * 29 + y).unwrap(),
            7,
            u8::try_from(y * 31).unwrap(),
        ]
    });
    let problems = plate_of(&figure, &png[..60], &png_rgb(4, 4, |x, _| halves(x))).unwrap_err();
    assert_eq!(problems.len(), 2, "{problems:#?}");
    assert_eq!(
        problems[0].within.as_deref(),
        Some("figure.toml:3:9, `photo`")
    );
    let problems = plate_of(&figure, b"", &mask).unwrap_err();
    assert!(problems[0].to_string().contains("the file is empty"));
}

#[test]
fn holes_in_the_photo_are_background_and_the_lamp_is_the_figures() {
    let figure = figure(PLAIN);
    let photo = pixels(8, 2, |x, _| {
        if x == 0 {
            [9, 9, 9, 0]
        } else if x < 6 {
            [120, 100, 80, 255]
        } else {
            [0, 0, 255, 255]
        }
    });
    let photo = png(8, 2, photo.as_flattened(), ExtendedColorType::Rgba8);
    let mask = png_rgb(8, 2, |x, _| if x < 6 { halves(x) } else { [0; 3] });
    let plate = plate(&figure, &photo, &mask, &DecodeLimits::default())
        .unwrap()
        .value;
    assert_eq!(
        plate.subject.region,
        pixels(8, 2, |x, _| [0, 1, 1, 1, 2, 2, 0, 0][x as usize])
    );
    let linear = velatura_optics::colour::Encoded([120, 100, 80]).linear();
    let y = velatura_optics::colour::luminance(linear);
    for (found, channel) in plate.subject.lamp.iter().zip(linear.0) {
        assert!(
            (found - channel / y).abs() < 1e-12,
            "{:?}",
            plate.subject.lamp
        );
    }
}
