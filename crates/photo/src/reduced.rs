//! A photo at a smaller size, without ever holding it developed at its own: for programs with little memory.
//!
//! In: a photo's file. Out: 8-bit sRGB, upright, each pixel the mean light of its area. Rows are developed one after the other, so the
//! decoded samples are the largest thing in memory.

use std::sync::LazyLock;

use velatura_document::{Diagnostic, Warned, filled};
use velatura_optics::colour::encode;

use crate::decode::{DecodeLimits, decode};
use crate::develop::{Developer, LINEAR};

/// A photo at a smaller size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReducedPhoto {
    /// Pixels per row, after rotation.
    pub width: u32,
    /// Rows, after rotation.
    pub height: u32,
    /// 8-bit sRGB, row-major.
    pub pixels: Vec<[u8; 3]>,
}

/// Decodes a photo and reduces it, so that its longer edge has at most `edge` pixels. A photo that is small enough keeps its size. Also
/// gives warnings.
///
/// # Errors
/// As [`decode_photo`](crate::decode_photo).
pub fn decode_reduced(
    name: &str,
    bytes: &[u8],
    limits: &DecodeLimits,
    edge: u32,
) -> Result<Warned<ReducedPhoto>, Diagnostic> {
    let raw = decode(name, bytes, limits)?;
    let (developer, warnings) = Developer::new(name, &raw).into_parts();
    let stored = (raw.header.width, raw.header.height);
    let (width, height) = reduced_size(stored, edge);
    let columns = spans(stored.0 as usize, width as usize);
    let rows = spans(stored.1 as usize, height as usize);
    let row_bytes = stored.0 as usize * raw.bytes_per_pixel();
    let mut pixels = filled([0_u8; 3], width as usize * height as usize, name)?;
    let mut means = vec![[0.0_f32; 3]; width as usize];
    // A stored row belongs to two new ones where their border cuts it.
    let mut last: Option<(usize, Vec<[f32; 3]>)> = None;
    for (row, out) in rows.iter().zip(pixels.chunks_exact_mut(width as usize)) {
        means.fill([0.0; 3]);
        for (y, row_share) in row {
            if last.as_ref().is_none_or(|(known, _)| known != y) {
                let stored = &raw.bytes()[y * row_bytes..][..row_bytes];
                last = Some((*y, column_means(&developer.codes(&raw, stored), &columns)));
            }
            for (mean, of_row) in means.iter_mut().zip(last.iter().flat_map(|(_, row)| row)) {
                for channel in 0..3 {
                    mean[channel] += row_share * of_row[channel];
                }
            }
        }
        for (pixel, mean) in out.iter_mut().zip(&means) {
            *pixel = mean.map(code);
        }
    }
    let orientation = raw.header.orientation;
    drop(raw);
    let (turned_width, turned_height) = orientation.turned_size(width, height);
    let photo = ReducedPhoto {
        width: turned_width,
        height: turned_height,
        pixels: orientation.turned(pixels, width, height),
    };
    Ok(Warned::new(photo, warnings))
}

/// The size of a photo whose longer edge has at most `edge` pixels.
#[must_use]
pub fn reduced_size((width, height): (u32, u32), edge: u32) -> (u32, u32) {
    let longer = width.max(height);
    if longer <= edge {
        return (width, height);
    }
    let new = |length: u32| {
        let rounded =
            (u64::from(length) * u64::from(edge) + u64::from(longer) / 2) / u64::from(longer);
        // Shorter than the longer edge, which has `edge` pixels.
        u32::try_from(rounded.max(1)).unwrap_or(edge)
    };
    (new(width), new(height))
}

/// Light, 0…65,535, of a row at its new width.
fn column_means(codes: &[[u16; 3]], columns: &[Vec<(usize, f32)>]) -> Vec<[f32; 3]> {
    columns
        .iter()
        .map(|column| {
            let mut mean = [0.0_f32; 3];
            for (x, share) in column {
                for (mean, code) in mean.iter_mut().zip(codes[*x]) {
                    *mean += share * LINEAR[usize::from(code)];
                }
            }
            mean
        })
        .collect()
}

/// The sRGB code of light, 0…65,535.
fn code(light: f32) -> u8 {
    static CODES: LazyLock<Vec<u8>> = LazyLock::new(|| {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0…255"
        )]
        (0..=u16::MAX)
            .map(|light| (encode(f64::from(light) / 65535.0) * 255.0).round() as u8)
            .collect()
    });
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the cast saturates"
    )]
    let place = (light + 0.5) as u16;
    CODES[usize::from(place)]
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
    use crate::decode_photo;
    use crate::png::picture_png;

    fn reduced(pixels: &[[u8; 3]], width: u32, edge: u32) -> ReducedPhoto {
        let png = picture_png(pixels, width);
        let limits = DecodeLimits::default();
        decode_reduced("photo.png", &png, &limits, edge)
            .unwrap()
            .value
    }

    #[test]
    fn the_longer_edge_decides() {
        assert_eq!(reduced_size((1600, 1200), 1600), (1600, 1200));
        assert_eq!(reduced_size((4000, 3000), 1600), (1600, 1200));
        assert_eq!(reduced_size((3000, 4000), 1600), (1200, 1600));
        assert_eq!(reduced_size((30_000, 1), 1600), (1600, 1));
    }

    #[test]
    fn light_is_averaged_and_not_codes() {
        // Half black and half white reflects half the light, which is code 188 in sRGB (IEC 61966-2-1) and not 128.
        let stripes: Vec<[u8; 3]> = (0..64).map(|at| [[0; 3], [255; 3]][at % 2]).collect();
        let means = reduced(&stripes, 8, 4);
        assert_eq!((means.width, means.height), (4, 4));
        assert!(
            means.pixels.iter().all(|mean| *mean == [188; 3]),
            "{means:?}"
        );
    }

    #[test]
    fn a_photo_that_is_small_enough_stays_as_it_is() {
        let pixels: Vec<[u8; 3]> = (0..=255).map(|code| [code, 255 - code, 7]).collect();
        assert_eq!(reduced(&pixels, 16, 16).pixels, pixels);
    }

    #[test]
    fn orientation_and_size_are_those_of_the_developed_photo() {
        let row = |y: u8| (0..60).map(move |x: u8| [x, y, 0]);
        let pixels: Vec<[u8; 3]> = (0..40).flat_map(row).collect();
        let png = picture_png(&pixels, 60);
        let limits = DecodeLimits::default();
        let whole = decode_photo("photo.png", &png, &limits).unwrap().value;
        let same = decode_reduced("photo.png", &png, &limits, 60)
            .unwrap()
            .value;
        assert_eq!(same.pixels, whole.photo);
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
