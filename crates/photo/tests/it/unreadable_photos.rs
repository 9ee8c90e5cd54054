//! Files that are not a photo, or incomplete, or too large: each gets a message, none a panic.

use image::ExtendedColorType;
use velatura_document::Diagnostic;
use velatura_photo::{DecodeLimits, decode_photo};
use velatura_testkit::pictures::{colourful, jpeg, pixels, png_rgb, tiff, webp};

fn refused(bytes: &[u8]) -> Diagnostic {
    let result = decode_photo("photo", bytes, &DecodeLimits::default());
    result
        .map(|photo| (photo.value.width, photo.value.height))
        .unwrap_err()
}

#[test]
fn a_header_of_3600_megapixels_is_refused_before_anything_is_allocated() {
    let mut bomb = png_rgb(1, 1, |_, _| [0; 3]);
    bomb[16..20].copy_from_slice(&60_000_u32.to_be_bytes());
    bomb[20..24].copy_from_slice(&60_000_u32.to_be_bytes());
    let checksum = crc(&bomb[12..29]);
    bomb[29..33].copy_from_slice(&checksum.to_be_bytes());
    assert!(bomb.len() < 200, "{}", bomb.len());
    let problem = refused(&bomb).to_string();
    assert!(
        problem.contains("60000 × 60000 pixels") && problem.contains("120 megapixels"),
        "{problem}"
    );

    let limits = DecodeLimits {
        pixels: 99,
        ..DecodeLimits::default()
    };
    assert!(decode_photo("photo", &png_rgb(10, 10, |_, _| [0; 3]), &limits).is_err());
    assert!(decode_photo("photo", &png_rgb(9, 11, |_, _| [0; 3]), &limits).is_ok());
    let limits = DecodeLimits {
        allocation_bytes: 299,
        ..DecodeLimits::default()
    };
    assert!(
        decode_photo(
            "photo",
            &tiff(10, 10, &[0; 300], ExtendedColorType::Rgb8),
            &limits
        )
        .is_err()
    );
}

/// source: PNG specification, annex D (CRC-32 of ISO 3309).
fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| {
            if crc & 1 == 1 {
                0xedb8_8320 ^ (crc >> 1)
            } else {
                crc >> 1
            }
        })
    })
}

#[test]
fn files_cut_short_are_refused_without_a_panic() {
    let grain = |x: u32, y: u32| colourful(x.wrapping_mul(37) ^ y, y.wrapping_mul(91));
    let flat = pixels(40, 30, grain);
    let samples = [
        ("JPEG", jpeg(40, 30, grain), 1),
        ("PNG", png_rgb(40, 30, grain), 13),
        (
            "TIFF",
            tiff(40, 30, flat.as_flattened(), ExtendedColorType::Rgb8),
            1,
        ),
        ("WebP", webp(40, 30, grain), 2),
    ];
    for (kind, whole, slack) in samples {
        assert!(
            decode_photo("photo", &whole, &DecodeLimits::default()).is_ok(),
            "{kind}"
        );
        let mut cuts = 0;
        // A PNG's last chunk is empty and a WebP is padded to even length: without them the picture is still complete.
        for length in (0..whole.len() - slack).step_by(7) {
            let problem = refused(&whole[..length]);
            assert!(
                problem.is_error() && problem.help.is_some(),
                "{kind} cut at {length}"
            );
            let text = problem.to_string();
            assert!(
                !text.contains("invalid") && !text.contains("failed"),
                "{text}"
            );
            cuts += 1;
        }
        assert!(cuts > 100, "{kind}: {cuts} cuts");
    }
}

#[test]
fn damaged_bytes_give_a_picture_or_a_message_but_no_panic() {
    let (mut state, mut refused) = (0x2545_f491_4f6c_dd1d_u64, 0);
    let whole = [
        jpeg(24, 24, colourful),
        png_rgb(24, 24, colourful),
        webp(24, 24, colourful),
    ];
    for file in &whole {
        for _ in 0..400 {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            let mut damaged = file.clone();
            let at = usize::try_from(state >> 20).unwrap() % damaged.len();
            damaged[at] ^= 1 << (state & 7);
            refused +=
                usize::from(decode_photo("photo", &damaged, &DecodeLimits::default()).is_err());
        }
    }
    assert!(refused > 50, "{refused} of 1,200 were refused");
}

#[test]
fn what_is_no_picture_is_recognised() {
    assert!(refused(b"").to_string().contains("the file is empty"));
    assert!(
        refused(b"format = \"velatura-figure/1\"")
            .to_string()
            .contains("not a picture")
    );
    assert!(
        refused(b"\0\0\0\x18ftypheic\0\0\0\0")
            .to_string()
            .contains("HEIF")
    );
    assert!(
        refused(b"GIF89a\x01\0\x01\0\0\0\0;")
            .to_string()
            .contains("not a picture in a supported format")
    );
}

#[test]
fn printing_inks_are_refused() {
    let cmyk = tiff_cmyk();
    assert!(refused(&cmyk).to_string().contains("CMYK"));
    let mut four = jpeg(8, 8, colourful);
    let frame = four
        .windows(2)
        .position(|pair| pair == [0xff, 0xc0])
        .unwrap();
    four[frame + 9] = 4;
    assert!(refused(&four).to_string().contains("CMYK"));
}

/// source: TIFF 6.0: one pixel, 4 samples of 8 bits, photometric interpretation 5 (separated).
fn tiff_cmyk() -> Vec<u8> {
    let entries: [(u16, u16, u32, u32); 9] = [
        (256, 3, 1, 1),
        (257, 3, 1, 1),
        (258, 3, 4, 122),
        (259, 3, 1, 1),
        (262, 3, 1, 5),
        (273, 4, 1, 130),
        (277, 3, 1, 4),
        (278, 3, 1, 1),
        (279, 4, 1, 4),
    ];
    let mut bytes = b"II\x2a\0\x08\0\0\0".to_vec();
    bytes.extend(9_u16.to_le_bytes());
    for (tag, kind, count, value) in entries {
        bytes.extend(tag.to_le_bytes());
        bytes.extend(kind.to_le_bytes());
        bytes.extend(count.to_le_bytes());
        bytes.extend(value.to_le_bytes());
    }
    bytes.extend([0; 4]);
    assert_eq!(bytes.len(), 122, "the offsets above count on it");
    bytes.extend([8, 0, 8, 0, 8, 0, 8, 0]);
    bytes.extend([1, 2, 3, 4]);
    bytes
}
