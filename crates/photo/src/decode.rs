//! From the bytes of a picture file to samples as stored. Format, size and memory are checked before anything large is
//! allocated.
//!
//! In: the bytes of a JPEG, PNG, TIFF or WebP. Out: samples, their layout, the profile and the orientation. Not here:
//! colour (`develop.rs`), what a mask's colours mean (`velatura-figure`).

use std::io::Cursor;

use image::error::{ImageError, UnsupportedErrorKind};
use image::{ColorType, ExtendedColorType, ImageDecoder, ImageFormat, ImageReader, Limits};
use velatura_document::{Diagnostic, filled, room_for};

use crate::jpeg;
use crate::orientation::Orientation;

/// What decoders need for themselves, in addition to the samples that they give and to the bytes of the file.
const DECODER_BYTES_PER_PIXEL: u64 = 6;

/// How large a picture may be; both limits are strict and checked from the file's header.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DecodeLimits {
    /// Most pixels, width × height; by default 120 million.
    pub pixels: u64,
    /// Most bytes the decoded samples may take; by default 1.5 GiB. The same number limits the decoder's other memory, as far
    /// as the decoder supports it.
    pub allocation_bytes: u64,
}

impl Default for DecodeLimits {
    fn default() -> Self {
        Self {
            pixels: 120_000_000,
            allocation_bytes: 3 << 29,
        }
    }
}

/// What a pixel is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Channels {
    /// Grey.
    Grey,
    /// Grey with alpha.
    GreyAlpha,
    /// Red, green, blue.
    Rgb,
    /// Red, green, blue, alpha.
    Rgba,
}

/// Bits of a sample.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Depth {
    /// 8 bits.
    Eight,
    /// 16 bits.
    Sixteen,
}

impl Channels {
    /// Samples per pixel.
    #[must_use]
    pub fn channels(self) -> usize {
        match self {
            Self::Grey => 1,
            Self::GreyAlpha => 2,
            Self::Rgb => 3,
            Self::Rgba => 4,
        }
    }

    /// Whether pixels have an alpha sample.
    #[must_use]
    pub fn has_alpha(self) -> bool {
        matches!(self, Self::GreyAlpha | Self::Rgba)
    }
}

/// Samples as stored: 8-bit RGB is ready as pixels, so that the most common photo is never copied.
#[derive(Debug)]
pub enum Samples {
    /// 8-bit RGB.
    Pixels(Vec<[u8; 3]>),
    /// Any other layout; 16-bit samples are in the machine's byte order.
    Bytes(Vec<u8>),
}

/// What the header says.
#[derive(Debug, Clone)]
pub struct Header {
    /// Stored width, before rotation, in pixels.
    pub width: u32,
    /// Stored height, before rotation, in pixels.
    pub height: u32,
    /// How to turn the picture upright.
    pub orientation: Orientation,
    /// What a pixel is made of.
    pub channels: Channels,
    /// Bits of a sample.
    pub depth: Depth,
    /// Its ICC profile.
    pub profile: Option<Vec<u8>>,
}

/// A decoded file.
#[derive(Debug)]
pub struct Raw {
    /// What its header says.
    pub header: Header,
    /// Its samples as stored.
    pub samples: Samples,
}

impl Raw {
    /// The samples as bytes.
    #[must_use]
    pub fn bytes(&self) -> &[u8] {
        match &self.samples {
            Samples::Pixels(pixels) => pixels.as_flattened(),
            Samples::Bytes(bytes) => bytes,
        }
    }

    /// Bytes per pixel.
    #[must_use]
    pub fn bytes_per_pixel(&self) -> usize {
        let samples = self.header.channels.channels();
        match self.header.depth {
            Depth::Eight => samples,
            Depth::Sixteen => samples * 2,
        }
    }

    /// Pixels in all.
    #[must_use]
    pub fn pixel_count(&self) -> usize {
        self.header.width as usize * self.header.height as usize
    }
}

/// Reads the header alone.
///
/// # Errors
/// Like [`decode`], as far as the header shows it.
pub fn peek(name: &str, bytes: &[u8], limits: &DecodeLimits) -> Result<Header, Diagnostic> {
    open(name, bytes, limits).map(|(_, header)| header)
}

/// Decodes the whole picture.
///
/// # Errors
/// A diagnostic if the file is not a picture in a known format, damaged, cut off, made of inks, or larger than `limits`, or if
/// there is not enough memory for it.
///
/// # Panics
/// Never: the decoder gives as many bytes as the header says.
pub fn decode(name: &str, bytes: &[u8], limits: &DecodeLimits) -> Result<Raw, Diagnostic> {
    let (decoder, header) = open(name, bytes, limits)?;
    let pixels = header.width as usize * header.height as usize;
    let of_decoder = DECODER_BYTES_PER_PIXEL * pixels as u64 + 2 * bytes.len() as u64;
    room_for(decoder.total_bytes() + of_decoder, name)?;
    let broken = |error| unreadable(name, &error);
    let samples = if (header.channels, header.depth) == (Channels::Rgb, Depth::Eight) {
        let mut pixels = filled([0; 3], pixels, name)?;
        decoder
            .read_image(pixels.as_flattened_mut())
            .map_err(broken)?;
        Samples::Pixels(pixels)
    } else {
        let total =
            usize::try_from(decoder.total_bytes()).map_err(|_| too_large(name, &header, limits))?;
        let mut bytes = filled(0, total, name)?;
        decoder.read_image(&mut bytes).map_err(broken)?;
        Samples::Bytes(bytes)
    };
    Ok(Raw { header, samples })
}

fn open<'a>(
    name: &str,
    bytes: &'a [u8],
    limits: &DecodeLimits,
) -> Result<(impl ImageDecoder + use<'a>, Header), Diagnostic> {
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .expect("reading from memory cannot go wrong");
    let format = reader.format();
    if format.is_none() {
        return Err(not_a_picture(name, bytes));
    }
    if format == Some(ImageFormat::Jpeg) {
        let survey = jpeg::survey(bytes);
        if survey.components == 4 {
            return Err(cmyk(name));
        }
        if !survey.whole {
            return Err(cut_short(name));
        }
    }
    let mut library_limits = Limits::no_limits();
    library_limits.max_alloc = Some(limits.allocation_bytes);
    reader.limits(library_limits);
    let mut decoder = reader
        .into_decoder()
        .map_err(|error| unreadable(name, &error))?;

    let (width, height) = decoder.dimensions();
    let original = decoder.original_color_type();
    if matches!(
        original,
        ExtendedColorType::Cmyk8 | ExtendedColorType::Cmyk16
    ) {
        return Err(cmyk(name));
    }
    let (channels, depth) = match decoder.color_type() {
        ColorType::L8 => (Channels::Grey, Depth::Eight),
        ColorType::La8 => (Channels::GreyAlpha, Depth::Eight),
        ColorType::Rgb8 => (Channels::Rgb, Depth::Eight),
        ColorType::Rgba8 => (Channels::Rgba, Depth::Eight),
        ColorType::L16 => (Channels::Grey, Depth::Sixteen),
        ColorType::La16 => (Channels::GreyAlpha, Depth::Sixteen),
        ColorType::Rgb16 => (Channels::Rgb, Depth::Sixteen),
        ColorType::Rgba16 => (Channels::Rgba, Depth::Sixteen),
        _ => return Err(other_kind(name, "its samples are floating-point numbers")),
    };
    // A damaged tag is no reason to refuse the picture: it then stays as stored, and without a profile it is sRGB.
    let orientation = decoder
        .orientation()
        .map_or(Orientation::UPRIGHT, Into::into);
    let profile = decoder
        .icc_profile()
        .ok()
        .flatten()
        .filter(|profile| !profile.is_empty());
    let header = Header {
        width,
        height,
        orientation,
        channels,
        depth,
        profile,
    };
    let pixels = u64::from(width) * u64::from(height);
    if pixels > limits.pixels || decoder.total_bytes() > limits.allocation_bytes {
        return Err(too_large(name, &header, limits));
    }
    Ok((decoder, header))
}

fn not_a_picture(name: &str, bytes: &[u8]) -> Diagnostic {
    let (found, help) = if bytes.is_empty() {
        ("the file is empty", "copy or export the picture again")
    } else if bytes.get(4..8) == Some(b"ftyp") {
        ("this is a HEIF picture", "export it as JPEG or PNG")
    } else {
        (
            "this is not a picture in a supported format",
            "export it as PNG or JPEG",
        )
    };
    Diagnostic::error(name, found)
        .expected("a JPEG, PNG, TIFF or WebP")
        .help(help)
}

fn unreadable(name: &str, error: &ImageError) -> Diagnostic {
    match error {
        ImageError::Limits(_) => {
            Diagnostic::error(name, "decoding this picture needs more memory than allowed")
                .expected("a picture of at most 120 megapixels")
                .help("scale it down, or export it as a plain PNG")
        }
        ImageError::Unsupported(kind) => match kind.kind() {
            UnsupportedErrorKind::Format(_) => not_a_picture(name, &[0]),
            UnsupportedErrorKind::Color(_) => {
                other_kind(name, "its colours are stored in an unsupported way")
            }
            _ => other_kind(name, "it uses an unsupported feature of its format"),
        },
        ImageError::IoError(_) => cut_short(name),
        _ => Diagnostic::error(name, "the picture data is damaged or cut off")
            .expected("a complete JPEG, PNG, TIFF or WebP")
            .help("copy or export the picture again"),
    }
}

fn cut_short(name: &str) -> Diagnostic {
    Diagnostic::error(name, "the file ends before the end of the picture")
        .expected("a complete JPEG, PNG, TIFF or WebP")
        .help("copy or export the picture again")
}

fn other_kind(name: &str, why: &str) -> Diagnostic {
    Diagnostic::error(
        name,
        format!("this kind of picture is not supported: {why}"),
    )
    .expected("8 or 16 bits per channel, grey or RGB, with or without alpha; a palette in PNG only")
    .help("export it as PNG")
}

fn cmyk(name: &str) -> Diagnostic {
    Diagnostic::error(name, "the picture uses printing inks (CMYK)")
        .expected("grey or RGB")
        .help("convert it to sRGB in the program you exported it from, and export it again")
}

fn too_large(name: &str, header: &Header, limits: &DecodeLimits) -> Diagnostic {
    let found = format!("the picture is {} × {} pixels", header.width, header.height);
    Diagnostic::error(name, found)
        .expected(format!(
            "at most {} megapixels and {} MiB when decoded",
            limits.pixels / 1_000_000,
            limits.allocation_bytes >> 20
        ))
        .help("scale it down: 12 megapixels are enough for all details of a figure")
}
