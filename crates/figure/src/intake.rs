//! Photo and mask, bytes in, plate out.
//!
//! The size and orientation of the photo are read first, then the mask, then the photo, so the colours of the mask are freed
//! before the planes of the photo are made. Not here: what the tones mean (`ground`).

use rayon::prelude::*;
use velatura_document::{Diagnostic, Warned};
use velatura_optics::colour::{Encoded, Linear, luminance};
use velatura_photo::flat::PhotoFrame;
use velatura_photo::{DecodeLimits, Photo, decode_photo, peek};

use crate::figure_file::{FigureFile, named_in};
use crate::mask::{BlendedEdges, read_mask};
use crate::plate::{Plate, Subject};

/// A plate from the bytes of photo and mask, with warnings.
///
/// # Errors
/// Diagnostics that name the file, what was found and how to fix it; those of both files where both can be checked.
pub fn plate(
    figure: &FigureFile,
    photo: &[u8],
    mask: &[u8],
    limits: &DecodeLimits,
) -> Result<Warned<Plate>, Vec<Diagnostic>> {
    let named = |problem: Diagnostic| problem.within(named_in(figure, &figure.photo.at, "photo"));
    let photo_name = &figure.photo.value;
    let header = peek(photo_name, photo, limits).map_err(|problem| vec![named(problem)])?;
    let (width, height) = header.orientation.turned_size(header.width, header.height);
    let frame = PhotoFrame {
        width,
        height,
        photo: photo_name,
        orientation: header.orientation,
    };
    let region = read_mask(
        &figure.mask.value,
        mask,
        figure,
        limits,
        &frame,
        BlendedEdges::NearerColour,
    );
    let photo = decode_photo(photo_name, photo, limits).map_err(named);
    let mut warnings = Vec::new();
    let (mut region, photo) = match (region, photo) {
        (Ok(region), Ok(photo)) => (
            region.into_value(&mut warnings),
            photo.into_value(&mut warnings),
        ),
        (region, photo) => return Err(photo.err().into_iter().chain(region.err()).collect()),
    };
    if let Some(transparent) = &photo.transparent {
        region
            .par_iter_mut()
            .zip(transparent)
            .filter(|(_, hole)| **hole)
            .for_each(|(region, _)| *region = 0);
    }
    let lamp = lamp(&photo.photo, &region);
    let regions = figure.region_names();
    let Photo {
        width,
        height,
        photo,
        luminance,
        ..
    } = photo;
    let plate = Plate {
        subject: Subject {
            width,
            height,
            photo,
            region,
            regions,
            lamp,
        },
        luminance,
    };
    Ok(Warned::new(plate, warnings))
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
