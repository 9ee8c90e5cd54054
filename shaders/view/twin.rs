//! The CPU path of `view`: one axis at a time, slices in, a vector out.

use super::Axis;
use crate::Pixel;

/// A picture seen from further away: along its rows, then down its columns.
///
/// `frame` has `down.length` rows of `across.length` pixels of linear light; the result has `down.seen()` rows of
/// `across.seen()`. All four numbers of a pixel are averaged, so every pixel needs light: fill bare pixels from the photo
/// first.
///
/// # Panics
/// If the frame's size is not that of the axes.
#[must_use]
pub fn view(across: &Axis, down: &Axis, frame: &[Pixel]) -> Vec<Pixel> {
    assert_eq!(frame.len(), across.length * down.length, "a whole picture");
    let narrow = along_rows(across, frame);
    down_columns(down, across.seen(), &narrow)
}

/// One pass along the rows.
///
/// # Panics
/// If the frame does not consist of whole rows.
#[must_use]
pub fn along_rows(axis: &Axis, frame: &[Pixel]) -> Vec<Pixel> {
    assert!(frame.len().is_multiple_of(axis.length), "whole rows");
    let mut seen = Vec::new();
    for row in frame.chunks_exact(axis.length) {
        for (start, weights) in axis.starts.iter().zip(axis.weights.chunks_exact(axis.taps)) {
            let pixels = &row[*start as usize..][..axis.taps];
            seen.push(weighted(weights.iter().zip(pixels)));
        }
    }
    seen
}

/// One pass down the columns of a frame `width` pixels wide.
///
/// # Panics
/// If the frame's size is not the axis's length times `width`.
#[must_use]
pub fn down_columns(axis: &Axis, width: usize, frame: &[Pixel]) -> Vec<Pixel> {
    assert_eq!(frame.len(), axis.length * width, "whole columns");
    let mut seen = vec![[0.0; 4]; axis.seen() * width];
    if width == 0 {
        return seen;
    }
    // A row at a time, not a column: memory is read in its order, and each pixel's sum still runs from the first tap on.
    let rows_seen = seen.chunks_exact_mut(width);
    for ((start, weights), row_seen) in axis
        .starts
        .iter()
        .zip(axis.weights.chunks_exact(axis.taps))
        .zip(rows_seen)
    {
        let rows = &frame[*start as usize * width..][..axis.taps * width];
        for (weight, row) in weights.iter().zip(rows.chunks_exact(width)) {
            for (sum, pixel) in row_seen.iter_mut().zip(row) {
                *sum = std::array::from_fn(|i| sum[i] + weight * pixel[i]);
            }
        }
    }
    seen
}

#[inline]
fn weighted<'a>(pairs: impl Iterator<Item = (&'a f32, &'a Pixel)>) -> Pixel {
    pairs.fold([0.0; 4], |sum, (weight, pixel)| {
        std::array::from_fn(|i| sum[i] + weight * pixel[i])
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const WHITE: Pixel = [1.0; 4];
    const BLACK: Pixel = [0.0, 0.0, 0.0, 1.0];

    #[test]
    fn no_blur_and_no_scaling_is_the_same_picture() {
        let frame: Vec<Pixel> = (0..15_u8).map(|i| [f32::from(i), 0.5, -1.0, 1.0]).collect();
        let seen = view(&Axis::new(5, 5, 0.0), &Axis::new(3, 3, 0.0), &frame);
        assert_eq!(seen, frame);
    }

    #[test]
    fn a_fine_checker_turns_to_half_its_light_and_keeps_its_sum() {
        let frame: Vec<Pixel> = (0..64)
            .map(|i| if (i + i / 8) % 2 == 0 { WHITE } else { BLACK })
            .collect();
        let seen = view(&Axis::new(8, 4, 0.0), &Axis::new(8, 4, 0.0), &frame);
        assert!(seen.iter().all(|pixel| (pixel[0] - 0.5).abs() < 1e-6));
    }

    #[test]
    fn a_point_becomes_a_spot_of_the_given_width_with_the_same_light() {
        let (side, sigma_px) = (61, 4.0);
        let mut frame = vec![BLACK; side * side];
        frame[30 * side + 30] = WHITE;
        let axis = Axis::new(side, side, sigma_px);
        let seen = view(&axis, &axis, &frame);
        let light: f32 = seen.iter().map(|pixel| pixel[0]).sum();
        assert!((light - 1.0).abs() < 1e-4, "{light}");
        let across = |x: usize| f64::from(seen[30 * side + x][0]);
        // A Gaussian falls to exp(−1/2) at one standard deviation.
        let found = across(34) / across(30);
        assert!((found - libm::exp(-0.5_f64)).abs() < 1e-4, "{found}");
        // Must fail: a box of the same width would not fall at all.
        assert!((found - 1.0).abs() > 0.3);
    }

    #[test]
    fn part_pixels_count_by_their_share() {
        // 3 pixels become 2: the middle one counts half for both.
        let frame = [[0.0; 4], [3.0; 4], [9.0; 4]];
        let seen = along_rows(&Axis::new(3, 2, 0.0), &frame);
        assert!((seen[0][0] - 1.0).abs() < 1e-6 && (seen[1][0] - 7.0).abs() < 1e-6);
    }
}
