//! The file formats of previews.
//!
//! In: a whole picture, 8-bit sRGB. Out: its bytes as a file. Not here: PNG a few rows at a time (`previews.rs`).

use image::codecs::jpeg::JpegEncoder;
use image::codecs::webp::WebPEncoder;
use image::{ExtendedColorType, ImageEncoder, ImageResult};
use velatura_document::Error;

/// High enough that a glaze keeps its smooth run (common practice, no source). Measured on the two demo figures, ten previews each:
/// 15 and 17 % of the bytes of the PNG files; WebP takes 58 and 60 %.
const JPEG_QUALITY: u8 = 92;

/// The file format of a preview.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PreviewFormat {
    /// Every pixel as computed, written fast and row by row.
    #[default]
    Png,
    /// Every pixel as computed, in a smaller file; slower.
    Webp,
    /// Nearly as computed, in the smallest file.
    Jpeg,
}

impl PreviewFormat {
    /// All formats.
    pub const ALL: [Self; 3] = [Self::Png, Self::Webp, Self::Jpeg];

    /// How the file's name ends, without the dot.
    #[must_use]
    pub fn extension(self) -> &'static str {
        match self {
            Self::Png => "png",
            Self::Webp => "webp",
            Self::Jpeg => "jpg",
        }
    }

    /// The longest side of a picture, in pixels. Source: the width of the formats' size fields (PNG 31 bits, VP8L 14 bits,
    /// JPEG 16 bits), from memory.
    fn longest_side(self) -> u32 {
        match self {
            Self::Png => i32::MAX as u32,
            Self::Webp => 1 << 14,
            Self::Jpeg => u16::MAX.into(),
        }
    }

    /// Checks that the format can hold a picture of this size.
    ///
    /// # Errors
    /// [`Error::Call`] if it is too large.
    pub fn check_size(self, width: u32, height: u32) -> Result<(), Error> {
        let longest = self.longest_side();
        if width.max(height) <= longest {
            return Ok(());
        }
        Err(Error::refused(
            "",
            format!("a preview has {width} × {height} pixels"),
            &format!(
                "at most {longest} pixels on each side, the limit of {}",
                self.extension()
            ),
            "choose another format for the previews, or a smaller photo",
        ))
    }

    /// A whole picture of `width` × `height` pixels, row-major, as a file's bytes.
    ///
    /// # Errors
    /// [`Error::Call`] if the picture is too large for the format, has no pixels, or if `pixels` is not as long as its sides say.
    pub fn encoded(self, pixels: &[[u8; 3]], width: u32, height: u32) -> Result<Vec<u8>, Error> {
        self.check_size(width, height)?;
        let bytes = pixels.as_flattened();
        let colour = ExtendedColorType::Rgb8;
        if u64::from(width) * u64::from(height) != pixels.len() as u64 {
            return Err(Error::refused(
                "",
                format!("{} pixels", pixels.len()),
                &format!("{width} × {height}"),
                "",
            ));
        }
        let mut file = Vec::new();
        let written: ImageResult<()> = match self {
            Self::Png => return png(bytes, width, height),
            Self::Webp => {
                WebPEncoder::new_lossless(&mut file).write_image(bytes, width, height, colour)
            }
            Self::Jpeg => JpegEncoder::new_with_quality(&mut file, JPEG_QUALITY)
                .write_image(bytes, width, height, colour),
        };
        written.map_err(|error| {
            let extension = self.extension();
            Error::refused("", error.to_string(), &format!("a {extension} picture"), "")
        })?;
        Ok(file)
    }
}

fn png(bytes: &[u8], width: u32, height: u32) -> Result<Vec<u8>, Error> {
    let mut png = crate::PreviewWriter::new(Vec::new(), width, height)?;
    png.write_bytes(bytes)?;
    png.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_gives_the_picture_back() {
        let (width, height) = (37_u8, 21_u8);
        let pixels: Vec<[u8; 3]> = (0..height)
            .flat_map(|y| (0..width).map(move |x| [5 * x, 8 * y, 3 * x + 4 * y]))
            .collect();
        for format in PreviewFormat::ALL {
            let file = format
                .encoded(&pixels, width.into(), height.into())
                .unwrap();
            let guessed = image::guess_format(&file).unwrap();
            assert!(guessed.extensions_str().contains(&format.extension()));
            let back = image::load_from_memory(&file).unwrap().into_rgb8();
            assert_eq!(back.dimensions(), (width.into(), height.into()));
            let off = back
                .as_raw()
                .iter()
                .zip(pixels.as_flattened())
                .map(|(a, b)| a.abs_diff(*b))
                .max();
            // A smooth picture at high quality loses a few code values; the other formats lose nothing.
            let allowed = if format == PreviewFormat::Jpeg { 8 } else { 0 };
            assert!(off.unwrap() <= allowed, "{format:?} is {off:?} off");
        }
    }

    #[test]
    fn a_picture_that_does_not_fit_is_refused() {
        for (format, fits) in [(PreviewFormat::Webp, 16_384), (PreviewFormat::Jpeg, 65_535)] {
            format.check_size(fits, 1).unwrap();
            let refused = format.check_size(1, fits + 1).unwrap_err().to_string();
            assert!(refused.contains(&fits.to_string()), "{refused}");
            assert!(format.encoded(&[[0; 3]; 5], 2, 3).is_err());
            assert!(format.encoded(&[], 0, 0).is_err(), "{format:?} of nothing");
        }
    }
}
