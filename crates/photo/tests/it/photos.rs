//! Photos: every format, depth and layout, rotation and profiles.

use image::ExtendedColorType;
use velatura_optics::colour::{Encoded, Linear, decode, luminance};
use velatura_photo::{DecodeLimits, Orientation, Photo, decode_photo};
use velatura_testkit::pictures::{
    ByteOrder, colourful, jpeg, pixels, png, png_rgb, png_with_profile, tiff, webp, with_exif,
};

fn decoded(bytes: &[u8]) -> Photo {
    let photo =
        decode_photo("photo", bytes, &DecodeLimits::default()).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(photo.warnings, [], "nothing is wrong with it");
    photo.value
}

fn sixteen(samples: &[u16]) -> Vec<u8> {
    samples
        .iter()
        .flat_map(|sample| sample.to_ne_bytes())
        .collect()
}

#[test]
fn eight_bit_srgb_passes_through_byte_for_byte() {
    let wanted = pixels(256, 256, colourful);
    let srgb = moxcms::ColorProfile::new_srgb().encode().unwrap();
    let flat = wanted.as_flattened();
    for (what, bytes) in [
        ("PNG", png_rgb(256, 256, colourful)),
        (
            "PNG with the profile sRGB",
            png_with_profile(256, 256, flat, ExtendedColorType::Rgb8, Some(srgb)),
        ),
        ("TIFF", tiff(256, 256, flat, ExtendedColorType::Rgb8)),
        ("WebP", webp(256, 256, colourful)),
    ] {
        let photo = decoded(&bytes);
        assert_eq!((photo.width, photo.height), (256, 256));
        assert!(photo.photo == wanted, "{what}");
        assert_eq!(photo.orientation, Orientation::UPRIGHT);
    }
}

#[test]
fn luminance_is_bt709_on_linear_light() {
    let photo = decoded(&png_rgb(256, 256, colourful));
    for (pixel, y) in photo.photo.iter().zip(&photo.luminance) {
        // Half a step of the plane, and f32 in the sum.
        let off = luminance(Encoded(*pixel).linear()) * 65535.0 - f64::from(*y);
        assert!(off.abs() < 0.51, "{pixel:?}: {off}");
    }
    // Must fail: the weights on encoded values (ITU-R BT.709 means linear light).
    let encoded = (0.2126 * 0.5 + 0.7152 * 0.25) * 65535.0;
    let photo = decoded(&png_rgb(1, 1, |_, _| [128, 64, 0]));
    assert!((encoded - f64::from(photo.luminance[0])).abs() > 5000.0);
}

#[test]
fn grey_alpha_and_sixteen_bits_are_read_in_png_and_tiff() {
    let codes: Vec<u16> = (0..=255)
        .map(|i| i * 257)
        .chain([1, 70, 300, 30_000, 65_534])
        .collect();
    let width = u32::try_from(codes.len()).unwrap();
    let rgb: Vec<u16> = codes
        .iter()
        .flat_map(|code| [*code, code / 2, code / 4])
        .collect();
    let rgba: Vec<u16> = codes
        .iter()
        .flat_map(|code| [*code, code / 2, code / 4, 40_000])
        .collect();
    let grey_alpha: Vec<u16> = codes.iter().flat_map(|code| [*code, 9]).collect();
    let colour = |code: u16| [code, code / 2, code / 4];
    let grey = |code: u16| [code; 3];
    type Of<'a> = &'a dyn Fn(u16) -> [u16; 3];
    let cases: [(&str, Vec<u8>, Of<'_>); 6] = [
        (
            "PNG RGB",
            png(width, 1, &sixteen(&rgb), ExtendedColorType::Rgb16),
            &colour,
        ),
        (
            "PNG RGBA",
            png(width, 1, &sixteen(&rgba), ExtendedColorType::Rgba16),
            &colour,
        ),
        (
            "PNG grey",
            png(width, 1, &sixteen(&codes), ExtendedColorType::L16),
            &grey,
        ),
        (
            "PNG grey, alpha",
            png(width, 1, &sixteen(&grey_alpha), ExtendedColorType::La16),
            &grey,
        ),
        (
            "TIFF RGB",
            tiff(width, 1, &sixteen(&rgb), ExtendedColorType::Rgb16),
            &colour,
        ),
        (
            "TIFF grey",
            tiff(width, 1, &sixteen(&codes), ExtendedColorType::L16),
            &grey,
        ),
    ];
    for (what, bytes, of) in cases {
        let photo = decoded(&bytes);
        for (index, code) in codes.iter().enumerate() {
            let channels = of(*code);
            let linear = Linear(channels.map(|code| decode(f64::from(code) / 65535.0)));
            let y = luminance(linear) * 65535.0;
            assert!(
                (f64::from(photo.luminance[index]) - y).abs() < 0.51,
                "{what}, {code}"
            );
            let eight = channels.map(|code| f64::from(code) / 257.0);
            for (found, wanted) in photo.photo[index].iter().zip(eight) {
                assert!(
                    (f64::from(*found) - wanted).abs() <= 0.501,
                    "{what}, {code}"
                );
            }
        }
    }
    // Must fail: luminance from 8-bit codes would be equal for these two.
    let photo = decoded(&png(
        2,
        1,
        &sixteen(&[30_000, 30_020]),
        ExtendedColorType::L16,
    ));
    assert_eq!(photo.photo[0], photo.photo[1]);
    assert_ne!(photo.luminance[0], photo.luminance[1]);
}

#[test]
fn a_palette_is_read() {
    // source: PNG specification, colour type 3; a 2 × 1 picture with two palette entries, written with the png crate.
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, 2, 1);
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_palette(vec![10, 20, 30, 200, 100, 50]);
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(&[1, 0]).unwrap();
    writer.finish().unwrap();
    assert_eq!(decoded(&bytes).photo, [[200, 100, 50], [10, 20, 30]]);
}

/// Corners of the upright picture (top left, top right, bottom left, bottom right) when the stored one has A B / C D.
/// source: Exif 2.32, tag 0x0112: which side the stored row 0 and column 0 are on.
const CORNERS: [(u8, &str); 8] = [
    (1, "ABCD"),
    (2, "BADC"),
    (3, "DCBA"),
    (4, "CDAB"),
    (5, "ACBD"),
    (6, "CADB"),
    (7, "DBCA"),
    (8, "BDAC"),
];

#[test]
fn all_eight_exif_orientations_are_turned_upright() {
    let levels = [("A", 40_u8), ("B", 100), ("C", 160), ("D", 220)];
    let stored = jpeg(48, 32, |x, y| {
        [levels[usize::from(x >= 24) + 2 * usize::from(y >= 16)].1; 3]
    });
    for (orientation, corners) in CORNERS {
        for order in [ByteOrder::Big, ByteOrder::Little] {
            let photo = decoded(&with_exif(&stored, orientation, order));
            let size = if orientation >= 5 { (32, 48) } else { (48, 32) };
            assert_eq!(
                (photo.width, photo.height),
                size,
                "orientation {orientation}"
            );
            assert_eq!(photo.orientation.exif(), orientation);
            let (width, height) = (photo.width as usize, photo.height as usize);
            let found: String = [
                (2, 2),
                (width - 3, 2),
                (2, height - 3),
                (width - 3, height - 3),
            ]
            .iter()
            .map(|(x, y)| {
                let code = photo.photo[y * width + x][0];
                levels
                    .iter()
                    .min_by_key(|(_, level)| level.abs_diff(code))
                    .unwrap()
                    .0
            })
            .collect();
            assert_eq!(found, corners, "orientation {orientation}, {order:?}");
            let y = photo.luminance[2 * width + 2];
            assert!(
                y.abs_diff(luminance_code(photo.photo[2 * width + 2])) <= 1,
                "luminance is turned as well"
            );
        }
    }
    // Must fail: no two orientations look the same.
    let alike = CORNERS
        .iter()
        .any(|(a, x)| CORNERS.iter().any(|(b, y)| a != b && x == y));
    assert!(!alike);
    assert_eq!(
        decoded(&with_exif(&stored, 9, ByteOrder::Big)).orientation,
        Orientation::UPRIGHT
    );
}

fn luminance_code(pixel: [u8; 3]) -> u16 {
    let y = (luminance(Encoded(pixel).linear()) * 65535.0).round();
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and 65,535"
    )]
    let code = y as u16;
    code
}

/// Linear Display P3 to linear sRGB. source: W3C CSS Color 4, sample code (from memory; its rows sum to 1).
const P3_TO_SRGB: [[f64; 3]; 3] = [
    [1.224_940_176, -0.224_940_176, 0.0],
    [-0.042_056_955, 1.042_056_955, 0.0],
    [-0.019_637_555, -0.078_636_046, 1.098_273_600],
];

#[test]
fn display_p3_is_turned_into_srgb() {
    let p3: Vec<[u8; 3]> = pixels(12, 12, |x, y| {
        [60 + x * 10, 70 + y * 9, 90 + (x + y) * 4].map(|code| u8::try_from(code).unwrap())
    });
    let profile = moxcms::ColorProfile::new_display_p3().encode().unwrap();
    let photo = decoded(&png_with_profile(
        12,
        12,
        p3.as_flattened(),
        ExtendedColorType::Rgb8,
        Some(profile),
    ));
    let mut changed = 0;
    for ((before, after), y) in p3.iter().zip(&photo.photo).zip(&photo.luminance) {
        let linear = Encoded(*before).linear().0;
        let wide = P3_TO_SRGB.map(|row| row.iter().zip(linear).map(|(a, b)| a * b).sum::<f64>());
        // What is outside sRGB is clipped, in the photo and in its luminance alike.
        let expected = Linear(wide.map(|channel| channel.clamp(0.0, 1.0)));
        for (found, wanted) in after.iter().zip(expected.encoded().0) {
            // Both are rounded; profiles have primaries with 16 bits.
            assert!(
                found.abs_diff(wanted) <= 1,
                "{before:?}: {after:?}, expected {expected:?}"
            );
        }
        let wanted = luminance(expected);
        assert!(
            (f64::from(*y) / 65535.0 - wanted).abs() < 0.004 * wanted,
            "{before:?}"
        );
        changed += usize::from(before != after);
    }
    // Must fail: a profile that is ignored.
    assert!(changed > 100, "{changed}");
}

#[test]
fn a_grey_profile_is_honoured_and_a_damaged_one_left_aside() {
    let codes: Vec<u8> = (0..=255).collect();
    let profile = moxcms::ColorProfile::new_gray_with_gamma(1.8)
        .encode()
        .unwrap();
    let photo = decoded(&png_with_profile(
        256,
        1,
        &codes,
        ExtendedColorType::L8,
        Some(profile.clone()),
    ));
    for code in [30_u8, 100, 200] {
        let y = f64::from(photo.luminance[usize::from(code)]) / 65535.0;
        let wanted = (f64::from(code) / 255.0).powf(1.8);
        assert!(
            (y - wanted).abs() < 0.01 * wanted,
            "{code}: {y}, expected {wanted}"
        );
        // Must fail: read as sRGB.
        assert!((y - decode(f64::from(code) / 255.0)).abs() > 0.02 * wanted);
    }
    let colours = pixels(4, 4, colourful);
    for (bytes, why) in [
        (b"no profile at all".to_vec(), "damaged"),
        (profile, "another kind of picture"),
    ] {
        let bytes = png_with_profile(
            4,
            4,
            colours.as_flattened(),
            ExtendedColorType::Rgb8,
            Some(bytes),
        );
        let (photo, warnings) = decode_photo("photo.png", &bytes, &DecodeLimits::default())
            .unwrap()
            .into_parts();
        assert_eq!(photo.photo, colours);
        assert_eq!(warnings.len(), 1);
        assert!(
            !warnings[0].is_error() && warnings[0].to_string().contains(why),
            "{}",
            warnings[0]
        );
    }
}

#[test]
fn transparent_pixels_are_remembered_and_reported() {
    let bytes = png(2, 1, &[9, 9, 9, 0, 8, 8, 8, 1], ExtendedColorType::Rgba8);
    let (photo, warnings) = decode_photo("photo.png", &bytes, &DecodeLimits::default())
        .unwrap()
        .into_parts();
    assert_eq!(photo.transparent, Some(vec![true, false]));
    assert!(
        warnings[0]
            .to_string()
            .contains("the photo has holes: 1 pixel fully transparent")
    );
    assert_eq!(
        decoded(&png(1, 1, &[9, 9, 9, 5], ExtendedColorType::Rgba8)).transparent,
        None
    );
}
