//! Photos: bytes in, upright 8-bit sRGB and linear luminance out.
//!
//! Orientation (EXIF) and colour profile (ICC) are applied; every decoder obeys [`DecodeLimits`]. Also shared code for masks,
//! strokes and cards: pictures of flat colours that must fit a photo ([`flat`]), box means ([`box_mean`]) and PNG bytes
//! ([`picture_png`]). Not here: what the tones mean (`velatura-figure`).

pub mod box_mean;
mod decode;
mod develop;
pub mod flat;
mod jpeg;
mod orientation;
mod pixel_rect;
mod png;
mod profile;
mod reduced;

pub use decode::{Channels, DecodeLimits, Depth, Header, Raw, Samples, decode, peek};
pub use orientation::Orientation;
pub use pixel_rect::PixelRect;
pub use png::picture_png;
pub use reduced::{ReducedPhoto, decode_reduced, reduced_size};

use velatura_document::{Diagnostic, Warned, room_for};

/// Photo, luminance and transparent pixels, and photo and luminance once more while they are turned.
const DEVELOPED_BYTES_PER_PIXEL: u64 = 3 + 2 + 1 + 3 + 2;

/// A decoded photo, upright; planes are row-major, `height` × `width`.
#[derive(Debug, Clone)]
pub struct Photo {
    /// Pixels per row, after rotation.
    pub width: u32,
    /// Rows, after rotation.
    pub height: u32,
    /// 8-bit sRGB.
    pub photo: Vec<[u8; 3]>,
    /// Linear luminance Y (ITU-R BT.709), 0…1 as 0…65535.
    pub luminance: Vec<u16>,
    /// Pixels with alpha 0, if there are any.
    pub transparent: Option<Vec<bool>>,
    /// How the photo was turned.
    pub orientation: Orientation,
}

/// Decodes a photo: orientation and ICC profile are applied, transparency is ignored (pixels with alpha 0 are
/// remembered). Without a profile it is sRGB. Also gives warnings.
///
/// # Errors
/// A diagnostic if the file is not a picture in a known format, damaged, cut off, made of inks, or larger than `limits`.
pub fn decode_photo(
    name: &str,
    bytes: &[u8],
    limits: &DecodeLimits,
) -> Result<Warned<Photo>, Diagnostic> {
    let raw = decode(name, bytes, limits)?;
    room_for(DEVELOPED_BYTES_PER_PIXEL * raw.pixel_count() as u64, name)?;
    Ok(develop::develop(name, raw))
}
