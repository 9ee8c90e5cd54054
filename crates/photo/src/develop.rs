//! From samples as stored to a photo: 8-bit sRGB and linear luminance, upright.
//!
//! Luminance comes from 16-bit codes where there are 16 (and after a profile always), so that dark tones keep their steps. The
//! work is done in runs of pixels, so no full-size buffer is wider than the planes themselves.

use std::sync::LazyLock;

use rayon::prelude::*;
use velatura_document::{Diagnostic, Warned, counted};
use velatura_optics::colour::{BT709, decode as linear};

use crate::Photo;
use crate::decode::{Channels, Depth, Raw, Samples};
use crate::profile::{Conversion, Unusable, conversion};

/// Pixels that one task works on.
const RUN: usize = 1 << 16;

/// Linear light of every 16-bit sRGB code, times 65,535.
pub(crate) static LINEAR: LazyLock<Vec<f32>> = LazyLock::new(|| {
    #[allow(
        clippy::cast_possible_truncation,
        reason = "f32 keeps what a 16-bit plane can hold"
    )]
    (0..=u16::MAX)
        .map(|code| (linear(f64::from(code) / 65535.0) * 65535.0) as f32)
        .collect()
});

/// Makes a photo from a decoded file, with warnings about what was ignored.
pub(crate) fn develop(name: &str, raw: Raw) -> Warned<Photo> {
    let header = raw.header.clone();
    let (developer, warnings) = Developer::new(name, &raw).into_parts();
    let transparent = developer.transparent;
    let conversion = developer.conversion;
    let (photo, luminance) = match (raw.samples, &conversion) {
        (Samples::Pixels(pixels), Conversion::PassThrough) => {
            let luminance = luminance_of_codes(&pixels);
            (pixels, luminance)
        }
        (samples, _) => converted(
            &Raw {
                header: raw.header,
                samples,
            },
            &conversion,
        ),
    };

    let (width, height, orientation) = (header.width, header.height, header.orientation);
    let (turned_width, turned_height) = orientation.turned_size(width, height);
    let photo = Photo {
        width: turned_width,
        height: turned_height,
        photo: orientation.turned(photo, width, height),
        luminance: orientation.turned(luminance, width, height),
        transparent: transparent.map(|plane| orientation.turned(plane, width, height)),
        orientation,
    };
    Warned::new(photo, warnings)
}

/// What it takes to develop a file, whole or row by row.
pub(crate) struct Developer {
    conversion: Conversion,
    /// Which pixels have alpha 0, if any has.
    transparent: Option<Vec<bool>>,
}

impl Developer {
    /// With warnings about what is ignored.
    pub(crate) fn new(name: &str, raw: &Raw) -> Warned<Self> {
        let mut warnings = Vec::new();
        let header = &raw.header;
        let conversion =
            conversion(header.profile.as_deref(), header.channels).unwrap_or_else(|why| {
                warnings.push(left_aside(name, why));
                Conversion::PassThrough
            });
        let transparent = transparent_pixels(raw);
        if let Some(transparent) = &transparent {
            let count = transparent.iter().filter(|is| **is).count();
            let holes = counted(count, "pixel");
            let found = format!("the photo has holes: {holes} fully transparent");
            warnings.push(
                Diagnostic::warning(name, found)
                    .expected("a photo without holes")
                    .help("they count as background; fill them if they belong to the figure"),
            );
        }
        let developer = Self {
            conversion,
            transparent,
        };
        Warned::new(developer, warnings)
    }

    /// The 16-bit sRGB codes of some pixels as stored.
    pub(crate) fn codes(&self, raw: &Raw, bytes: &[u8]) -> Vec<[u16; 3]> {
        srgb_codes(raw, bytes, &self.conversion)
    }
}

fn left_aside(name: &str, why: Unusable) -> Diagnostic {
    let found = match why {
        Unusable::Damaged => "the colour profile in the file is damaged",
        Unusable::OtherKind => "the colour profile in the file belongs to another kind of picture",
    };
    Diagnostic::warning(name, found)
        .expected("an ICC profile for grey or RGB, or none (then sRGB)")
        .help("the picture is read as sRGB; if tones look wrong, export it again with an sRGB profile")
}

/// Which pixels have alpha 0, if any has.
fn transparent_pixels(raw: &Raw) -> Option<Vec<bool>> {
    if !raw.header.channels.has_alpha() {
        return None;
    }
    let pixel = raw.bytes_per_pixel();
    let alpha = match raw.header.depth {
        Depth::Eight => pixel - 1..pixel,
        Depth::Sixteen => pixel - 2..pixel,
    };
    let hole = |pixel: &[u8]| pixel[alpha.clone()].iter().all(|byte| *byte == 0);
    let pixels = raw.bytes().par_chunks_exact(pixel);
    if !pixels.clone().any(hole) {
        return None;
    }
    let mut holes = vec![false; raw.pixel_count()];
    holes
        .par_iter_mut()
        .zip(pixels)
        .for_each(|(is, pixel)| *is = hole(pixel));
    Some(holes)
}

fn luminance_of_codes(pixels: &[[u8; 3]]) -> Vec<u16> {
    let mut luminance = vec![0; pixels.len()];
    luminance
        .par_chunks_mut(RUN)
        .zip(pixels.par_chunks(RUN))
        .for_each(|(luminance, pixels)| {
            for (y, pixel) in luminance.iter_mut().zip(pixels) {
                *y = luminance_code(pixel.map(|code| u16::from(code) * 257));
            }
        });
    luminance
}

/// Photo and luminance through a profile, or of samples that are not 8-bit RGB.
fn converted(raw: &Raw, conversion: &Conversion) -> (Vec<[u8; 3]>, Vec<u16>) {
    let mut photo = vec![[0; 3]; raw.pixel_count()];
    let mut luminance = vec![0; raw.pixel_count()];
    photo
        .par_chunks_mut(RUN)
        .zip(luminance.par_chunks_mut(RUN))
        .zip(raw.bytes().par_chunks(RUN * raw.bytes_per_pixel()))
        .for_each(|((photo, luminance), bytes)| {
            let codes = srgb_codes(raw, bytes, conversion);
            for ((pixel, y), codes) in photo.iter_mut().zip(luminance).zip(&codes) {
                *pixel = codes.map(eight_bits);
                *y = luminance_code(*codes);
            }
        });
    (photo, luminance)
}

/// The 16-bit sRGB codes of a run of pixels.
fn srgb_codes(raw: &Raw, bytes: &[u8], conversion: &Conversion) -> Vec<[u16; 3]> {
    let pixel = raw.bytes_per_pixel();
    let sample = |bytes: &[u8], channel: usize| match raw.header.depth {
        Depth::Eight => u16::from(bytes[channel]) * 257,
        Depth::Sixteen => u16::from_ne_bytes([bytes[2 * channel], bytes[2 * channel + 1]]),
    };
    let grey = matches!(raw.header.channels, Channels::Grey | Channels::GreyAlpha);
    let rgb = |bytes: &[u8]| -> [u16; 3] {
        std::array::from_fn(|i| sample(bytes, if grey { 0 } else { i }))
    };
    let pixels = bytes.chunks_exact(pixel);
    let mut out = vec![[0; 3]; pixels.len()];
    let done = match conversion {
        Conversion::PassThrough => {
            out.iter_mut()
                .zip(pixels)
                .for_each(|(out, bytes)| *out = rgb(bytes));
            Ok(())
        }
        Conversion::FromGrey(transform) => {
            let codes: Vec<u16> = pixels.map(|bytes| sample(bytes, 0)).collect();
            transform.transform(&codes, out.as_flattened_mut())
        }
        Conversion::FromRgb(transform) => {
            let codes: Vec<[u16; 3]> = pixels.map(rgb).collect();
            transform.transform(codes.as_flattened(), out.as_flattened_mut())
        }
    };
    done.expect("source and target hold the same number of whole pixels");
    out
}

fn eight_bits(code: u16) -> u8 {
    u8::try_from((u32::from(code) + 128) / 257).expect("65,535 gives 255")
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "the weights are constants near 1"
)]
const WEIGHTS: [f32; 3] = [BT709[0] as f32, BT709[1] as f32, BT709[2] as f32];

/// Luminance × 65,535 of 16-bit sRGB codes (ITU-R BT.709 weights on linear light).
#[inline]
fn luminance_code([red, green, blue]: [u16; 3]) -> u16 {
    let linear = |code: u16| LINEAR[usize::from(code)];
    let y = WEIGHTS[0] * linear(red) + WEIGHTS[1] * linear(green) + WEIGHTS[2] * linear(blue);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and 65,535"
    )]
    let code = (y + 0.5) as u16;
    code
}
