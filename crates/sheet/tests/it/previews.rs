//! PNGs decode to the same pixels, and a writer that fails leads to a message.

use std::io::{self, Write};

use image::{Rgb, RgbImage};
use std::error::Error as _;

use velatura_document::Error;
use velatura_sheet::{PreviewWriter, write_picture};

fn picture(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        let mixed = (x * 31 + y * 17 + x * y).to_le_bytes();
        Rgb([
            mixed[0],
            mixed[1].wrapping_add(mixed[0] / 3),
            u8::MAX - mixed[0],
        ])
    })
}

fn rows_of(picture: &RgbImage) -> Vec<[u8; 3]> {
    picture.pixels().map(|pixel| pixel.0).collect()
}

#[test]
fn decoding_gives_the_pixels_back_at_odd_widths_and_any_chunking() {
    for (width, height) in [(1, 1), (1, 9), (7, 5), (333, 41), (1001, 130)] {
        let original = picture(width, height);
        let pixels = rows_of(&original);
        for rows_at_once in [1, 2, 7, 64, 1000] {
            let mut png = PreviewWriter::new(Vec::new(), width, height).unwrap();
            let chunk = usize::try_from(width).unwrap() * rows_at_once;
            for rows in pixels.chunks(chunk) {
                png.write_rows(rows).unwrap();
            }
            png.write_rows(&[]).unwrap();
            let bytes = png.finish().unwrap();
            let back = image::load_from_memory(&bytes).unwrap().into_rgb8();
            assert_eq!(back, original, "{width} × {height}, {rows_at_once} rows");
        }
        let bytes = write_picture(Vec::new(), &original).unwrap();
        let mut other = image::load_from_memory(&bytes).unwrap().into_rgb8();
        assert_eq!(other, original);
        other.get_pixel_mut(0, height - 1).0[2] ^= 1;
        assert_ne!(other, original, "must fail: one code of one pixel differs");
    }
}

#[test]
fn it_is_8_bit_rgb_marked_as_srgb_and_ends_as_a_png_ends() {
    let bytes = write_picture(Vec::new(), &picture(5, 4)).unwrap();
    let reader = png::Decoder::new(io::Cursor::new(&bytes))
        .read_info()
        .unwrap();
    let info = reader.info();
    assert_eq!(info.color_type, png::ColorType::Rgb);
    assert_eq!(info.bit_depth, png::BitDepth::Eight);
    assert!(info.srgb.is_some());
    // PNG (third edition), 11.2.4: an empty IEND and its CRC.
    assert!(bytes.ends_with(b"\0\0\0\0IEND\xaeB`\x82"));
    let ends = bytes.windows(4).filter(|four| four == b"IEND").count();
    assert_eq!(ends, 1);
}

#[test]
fn a_wrong_number_of_rows_is_refused() {
    let pixels = rows_of(&picture(6, 4));
    let is_call = |result: Result<(), Error>| matches!(result, Err(Error::Call(_)));

    let mut png = PreviewWriter::new(Vec::new(), 6, 4).unwrap();
    assert!(is_call(png.write_rows(&pixels[..5])), "a broken row");
    png.write_rows(&pixels[..18]).unwrap();
    assert!(is_call(png.write_rows(&pixels[..12])), "a row too many");
    assert!(is_call(png.finish().map(drop)), "a row is missing");

    let mut png = PreviewWriter::new(Vec::new(), 6, 4).unwrap();
    png.write_rows(&pixels).unwrap();
    png.finish().unwrap();
    assert!(is_call(PreviewWriter::new(Vec::new(), 0, 4).map(drop)));
    assert!(is_call(PreviewWriter::new(Vec::new(), 4, 0).map(drop)));
}

/// A disk with room for this many bytes.
struct SmallDisk(usize);

impl Write for SmallDisk {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.0 == 0 {
            return Err(io::Error::from(io::ErrorKind::StorageFull));
        }
        let taken = bytes.len().min(self.0);
        self.0 -= taken;
        Ok(taken)
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

#[test]
fn a_full_disk_is_reported_wherever_it_fills_up() {
    let original = picture(501, 300);
    let whole = write_picture(Vec::new(), &original).unwrap().len();
    assert!(whole > 300_000, "more than one chunk is written: {whole}");
    for room in (0..64)
        .chain((64..whole).step_by(20_011))
        .chain(whole - 40..whole)
    {
        match write_picture(SmallDisk(room), &original) {
            Err(error @ Error::Machine(_)) => {
                let source = error.source().and_then(|source| source.downcast_ref());
                let kind = source.map(io::Error::kind);
                assert_eq!(kind, Some(io::ErrorKind::StorageFull), "room for {room}");
                let reported = error.to_string();
                assert!(reported.contains("; nothing was written"), "{reported}");
            }
            other => panic!("room for {room} of {whole}: {}", other.is_ok()),
        }
    }
    assert!(write_picture(SmallDisk(whole), &original).is_ok());
}
