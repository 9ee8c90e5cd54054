//! Photo and mask, bytes in, plate out.
//!
//! A picture's size and orientation are read first, then the mask, then the photo: so the mask's colours are gone
//! before the photo's planes are there. Not here: what the tones mean (`ground`).

mod decode;
mod develop;
mod jpeg;
mod mask;
mod mask_blend;
mod mask_report;
mod orientation;
mod patch;
mod profile;

pub use decode::DecodeLimits;
pub use mask::{BlendedEdges, MaskFit, read_mask};
pub use orientation::Orientation;
pub use patch::Patch;

pub(crate) use decode::decode;
pub(crate) use mask::View;
pub(crate) use mask_report::wrong_size;

use rayon::prelude::*;
use velatura_optics::colour::{Encoded, Linear, luminance};
use velatura_optics::diagnostic::Diagnostic;

use crate::figure_file::FigureFile;
use crate::plate::Plate;

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
    /// How it was turned.
    pub orientation: Orientation,
}

/// Decodes a photo: orientation and ICC profile are applied, transparency is left aside (pixels with alpha 0 are
/// remembered). Without a profile it is sRGB. Also gives warnings.
///
/// # Errors
/// A diagnostic if the file is no picture of a known kind, damaged, cut short, made of inks, or larger than `limits`.
pub fn decode_photo(
    name: &str,
    bytes: &[u8],
    limits: &DecodeLimits,
) -> Result<(Photo, Vec<Diagnostic>), Diagnostic> {
    let raw = decode(name, bytes, limits)?;
    Ok(develop::develop(name, raw))
}

/// A plate from the bytes of photo and mask, with warnings.
///
/// # Errors
/// Diagnostics that name the file, what was found and how to mend it; those of both files where both can be judged.
pub fn plate(
    figure: &FigureFile,
    photo: &[u8],
    mask: &[u8],
    limits: &DecodeLimits,
) -> Result<(Plate, Vec<Diagnostic>), Vec<Diagnostic>> {
    let named = |problem: Diagnostic| problem.within(named_in(figure, &figure.photo.at, "photo"));
    let photo_name = &figure.photo.value;
    let header = decode::peek(photo_name, photo, limits).map_err(|problem| vec![named(problem)])?;
    let (width, height) = header.orientation.turned_size(header.width, header.height);
    let fit = MaskFit {
        width,
        height,
        photo: photo_name,
        orientation: header.orientation,
        edges: BlendedEdges::NearerColour,
    };
    let region = read_mask(&figure.mask.value, mask, figure, limits, &fit);
    let photo = decode_photo(photo_name, photo, limits).map_err(named);
    let ((mut region, mut warnings), (photo, found)) = match (region, photo) {
        (Ok(region), Ok(photo)) => (region, photo),
        (region, photo) => return Err(photo.err().into_iter().chain(region.err()).collect()),
    };
    warnings.extend(found);
    if let Some(transparent) = &photo.transparent {
        region
            .par_iter_mut()
            .zip(transparent)
            .filter(|(_, hole)| **hole)
            .for_each(|(region, _)| *region = 0);
    }
    let lamp = lamp(&photo.photo, &region);
    let regions = figure
        .regions
        .iter()
        .map(|region| region.name.value.clone())
        .collect();
    let Photo {
        width,
        height,
        photo,
        luminance,
        ..
    } = photo;
    Ok((
        Plate {
            width,
            height,
            photo,
            luminance,
            region,
            regions,
            lamp,
        },
        warnings,
    ))
}

/// Where a path stands in the figure file, for the `in` of a message about that picture.
#[must_use]
pub fn named_in(figure: &FigureFile, at: &std::ops::Range<usize>, key: &str) -> String {
    let place = figure.source.place(at);
    format!(
        "{}:{}:{}, `{key}`",
        figure.source.name, place.line, place.column
    )
}

/// Mean linear RGB over mean Y of all pixels in a region.
fn lamp(photo: &[[u8; 3]], region: &[u8]) -> [f64; 3] {
    // Pixels are counted by code, so the sum does not depend on how threads share the work.
    let counts = photo
        .par_chunks(1 << 16)
        .zip(region.par_chunks(1 << 16))
        .fold(
            || vec![[0_u64; 3]; 256],
            |mut counts, (photo, region)| {
                for (pixel, _) in photo.iter().zip(region).filter(|(_, region)| **region != 0) {
                    for (channel, code) in pixel.iter().enumerate() {
                        counts[usize::from(*code)][channel] += 1;
                    }
                }
                counts
            },
        )
        .reduce(
            || vec![[0; 3]; 256],
            |a, b| {
                a.iter()
                    .zip(&b)
                    .map(|(a, b)| std::array::from_fn(|i| a[i] + b[i]))
                    .collect()
            },
        );
    let mut sums = [0.0; 3];
    for (code, counts) in (0..=255).zip(&counts) {
        let [linear, ..] = Encoded([code; 3]).linear().0;
        for (sum, count) in sums.iter_mut().zip(counts) {
            #[allow(clippy::cast_precision_loss, reason = "fewer pixels than 2^53")]
            let count = *count as f64;
            *sum += linear * count;
        }
    }
    let y = luminance(Linear(sums));
    if y > 0.0 {
        sums.map(|sum| sum / y)
    } else {
        [1.0; 3]
    }
}

/// A count for people: 1,204.
pub(crate) fn with_commas(count: usize) -> String {
    let digits = count.to_string();
    let mut out = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}
