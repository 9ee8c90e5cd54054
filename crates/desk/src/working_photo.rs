//! The working photo: what a page computes on. A phone's photo has far more pixels than a tile or a sheet shows of it.
//!
//! In: a photo's file. Out: the same file if it is small enough, else a PNG of at most [`WORKING_EDGE`] pixels along the longer
//! edge, upright and in sRGB: the mean of the light on the area of each pixel.

use velatura_document::{Diagnostic, Warned, filled};
use velatura_photo::{DecodeLimits, Photo, decode_photo, picture_png};
use velatura_pipeline::optics::colour::{Encoded, Linear};

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
    let (photo, warnings) = decode_photo(name, &bytes, limits)?.into_parts();
    let original_size = (photo.width, photo.height);
    let made = |bytes: Bytes, photo: &Photo| ProjectPhoto {
        original_name: name.to_owned(),
        original_size,
        bytes,
        size: (photo.width, photo.height),
    };
    let size = reduced_size(original_size);
    if size == original_size {
        let made = made(Bytes::new(bytes), &photo);
        return Ok(Warned::new((made, photo), warnings));
    }
    // The file and the whole photo are not needed at the same time as the reduced one.
    drop(bytes);
    let pixels = area_means(&photo.photo, photo.width as usize, size, name)?;
    drop(photo);
    let png = picture_png(&pixels, size.0);
    // Read again, so that everything is computed from the file that is saved.
    let (photo, _) = decode_photo(name, &png, limits)?.into_parts();
    Ok(Warned::new(
        (made(Bytes::new(png), &photo), photo),
        warnings,
    ))
}

/// The working size of a photo of this size.
pub(crate) fn reduced_size((width, height): (u32, u32)) -> (u32, u32) {
    let longer = width.max(height);
    if longer <= WORKING_EDGE {
        return (width, height);
    }
    let edge = |length: u32| {
        let rounded = (u64::from(length) * u64::from(WORKING_EDGE) + u64::from(longer) / 2)
            / u64::from(longer);
        u32::try_from(rounded.max(1)).expect("shorter than before")
    };
    (edge(width), edge(height))
}

/// A photo at a smaller size: the mean light of the area of each pixel. Area means of rows, then of columns, one row of the result
/// at a time.
#[allow(clippy::cast_possible_truncation, reason = "sums of light fit f32")]
pub(crate) fn area_means(
    pixels: &[[u8; 3]],
    width: usize,
    (new_width, new_height): (u32, u32),
    name: &str,
) -> Result<Vec<[u8; 3]>, Diagnostic> {
    let height = pixels.len() / width;
    let light: Vec<f32> = (0..=255)
        .map(|code| Encoded([code; 3]).linear().0[0] as f32)
        .collect();
    let columns = spans(width, new_width as usize);
    let rows = spans(height, new_height as usize);
    let mut reduced = filled([0_u8; 3], new_width as usize * new_height as usize, name)?;
    let mut means = vec![[0.0_f32; 3]; new_width as usize];
    for (row, out) in rows
        .iter()
        .zip(reduced.chunks_exact_mut(new_width as usize))
    {
        means.fill([0.0; 3]);
        for (y, row_share) in row {
            let source = &pixels[y * width..][..width];
            for (mean, column) in means.iter_mut().zip(&columns) {
                for (x, share) in column {
                    let weight = row_share * share;
                    let codes = source[*x];
                    for channel in 0..3 {
                        mean[channel] += weight * light[usize::from(codes[channel])];
                    }
                }
            }
        }
        for (pixel, mean) in out.iter_mut().zip(&means) {
            *pixel = Linear(mean.map(f64::from)).encoded().0;
        }
    }
    Ok(reduced)
}

/// For each new pixel along an axis, the old ones below it and their shares of it.
#[allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "places within a picture"
)]
fn spans(old: usize, new: usize) -> Vec<Vec<(usize, f32)>> {
    let step = old as f64 / new as f64;
    (0..new)
        .map(|index| {
            let (start, end) = (index as f64 * step, (index + 1) as f64 * step);
            (start.floor() as usize..(end.ceil() as usize).min(old))
                .map(|at| {
                    let covered = (end.min(at as f64 + 1.0) - start.max(at as f64)).max(0.0);
                    (at, (covered / step) as f32)
                })
                .collect()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_longer_edge_decides() {
        assert_eq!(reduced_size((1600, 1200)), (1600, 1200));
        assert_eq!(reduced_size((4000, 3000)), (1600, 1200));
        assert_eq!(reduced_size((3000, 4000)), (1200, 1600));
        assert_eq!(reduced_size((30_000, 1)), (1600, 1));
    }

    #[test]
    fn light_is_averaged_and_not_codes() {
        // Half black and half white reflects half the light, which is code 188 in sRGB (IEC 61966-2-1) and not 128.
        let stripes: Vec<[u8; 3]> = (0..64).map(|at| [[0; 3], [255; 3]][at % 2]).collect();
        let means = area_means(&stripes, 8, (4, 4), "photo").unwrap();
        assert!(means.iter().all(|mean| *mean == [188; 3]), "{means:?}");
    }

    #[test]
    fn every_old_pixel_counts_once() {
        for (old, new) in [(10, 3), (7, 7), (4001, 1600), (5, 1)] {
            let mut shares = vec![0.0_f64; old];
            for span in spans(old, new) {
                let sum: f32 = span.iter().map(|(_, share)| share).sum();
                assert!((sum - 1.0).abs() < 1e-5, "{old} to {new}: {sum}");
                for (at, share) in span {
                    shares[at] += f64::from(share);
                }
            }
            #[allow(clippy::cast_precision_loss, reason = "small numbers")]
            let each = new as f64 / old as f64;
            assert!(
                shares.iter().all(|share| (share - each).abs() < 1e-4),
                "{old} to {new}"
            );
        }
    }
}
