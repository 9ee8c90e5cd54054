//! The working photo: what a page computes on. A phone's photo has far more pixels than a tile or a sheet shows of it.
//!
//! In: a photo's file. Out: the same file if it is small enough, else a PNG of at most [`WORKING_EDGE`] pixels along the longer
//! edge, upright and in sRGB: the mean of the light on the area of each pixel.

use velatura_document::{Diagnostic, Warned};
use velatura_photo::{
    DecodeLimits, Photo, decode_photo, decode_reduced, peek, picture_png, reduced_size,
};

use crate::project::{Bytes, ProjectPhoto};

/// The longer edge of the working photo, in pixels. Ten pictures of this size are ready in a moment on one thread of a phone,
/// and it is as many pixels as a screen has.
pub const WORKING_EDGE: u32 = 1600;

/// Reads a photo. Also gives warnings about its file.
///
/// # Errors
/// As [`decode_photo`].
pub(crate) fn working_photo(
    name: &str,
    bytes: Vec<u8>,
    limits: &DecodeLimits,
) -> Result<Warned<(ProjectPhoto, Photo)>, Diagnostic> {
    let header = peek(name, &bytes, limits)?;
    let original_size = header.orientation.turned_size(header.width, header.height);
    let mut warnings = Vec::new();
    let bytes = match reduced_size(original_size, WORKING_EDGE) {
        same if same == original_size => bytes,
        _ => {
            let reduced = decode_reduced(name, &bytes, limits, WORKING_EDGE)?;
            let reduced = reduced.into_value(&mut warnings);
            picture_png(&reduced.pixels, reduced.width)
        }
    };
    // Everything is computed from the file that is saved.
    let photo = decode_photo(name, &bytes, limits)?.into_value(&mut warnings);
    let made = ProjectPhoto {
        original_name: name.to_owned(),
        original_size,
        size: (photo.width, photo.height),
        bytes: Bytes::new(bytes),
    };
    Ok(Warned::new((made, photo), warnings))
}
