//! Pixels of a place on the card, and the colour that most of them agree on.
//!
//! In: a photo, the map from mm to pixels, a rectangle in mm. Out: pixels with their place, and a colour without outliers
//! (brush ends, dust, glints). All arithmetic is on linear light.

use std::sync::LazyLock;

use velatura_optics::colour::{Encoded, Linear, luminance};

use super::geometry::RectMm;
use super::plane::Plane;
use velatura_photo::Photo;

/// Most samples along a side of a rectangle: a few thousand pixels give a colour to well below one code value.
const MOST_ALONG: u32 = 64;
const LEAST_ALONG: u32 = 6;
/// A sample further from the median than this many standard deviations (of the others) is an outlier.
const OUTLYING: f64 = 3.0;
/// Standard deviation of a normal distribution per median absolute deviation.
const SIGMA_PER_MAD: f64 = 1.4826;
/// Least spread, in linear light: a floor and a share of the light, together about a code of a photo. A quiet photo
/// has most pixels of a film on one code, and those on the next are not outliers.
const LEAST_SIGMA: [f64; 2] = [0.0025, 0.008];

static LINEAR: LazyLock<[f64; 256]> = LazyLock::new(|| {
    std::array::from_fn(|code| {
        let code = u8::try_from(code).expect("256 codes");
        Encoded([code; 3]).linear().0[0]
    })
});

/// Linear light of a pixel's codes.
pub(super) fn linear(code: [u8; 3]) -> [f64; 3] {
    code.map(|code| LINEAR[usize::from(code)])
}

/// One pixel of a rectangle.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sample {
    /// Where on the card.
    pub(super) mm: [f64; 2],
    /// Its codes in the photo.
    pub(super) code: [u8; 3],
}

/// Samples of a rectangle, about one per pixel, row by row; `None` if a part of it is outside the photo.
pub(super) fn samples(photo: &Photo, plane: &Plane, rect: &RectMm) -> Option<Vec<Sample>> {
    let [width_mm, height_mm] = rect.size();
    let middle = [0, 1].map(|i| f64::midpoint(rect.from[i], rect.to[i]));
    let scale = plane.px_per_mm(middle);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to a few dozen"
    )]
    let along = |mm: f64| {
        (mm * scale)
            .ceil()
            .clamp(f64::from(LEAST_ALONG), f64::from(MOST_ALONG)) as u32
    };
    let (columns, rows) = (along(width_mm), along(height_mm));
    let mut out = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            let mm = [
                rect.from[0] + width_mm * (f64::from(column) + 0.5) / f64::from(columns),
                rect.from[1] + height_mm * (f64::from(row) + 0.5) / f64::from(rows),
            ];
            let code = pixel(photo, plane.px(mm))?;
            out.push(Sample { mm, code });
        }
    }
    Some(out)
}

/// The pixel nearest to a point; `None` outside the photo.
pub(super) fn pixel(photo: &Photo, [x, y]: [f64; 2]) -> Option<[u8; 3]> {
    let inside = |at: f64, size: u32| (-0.5..f64::from(size) - 0.5).contains(&at);
    if !inside(x, photo.width) || !inside(y, photo.height) {
        return None;
    }
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "inside the photo"
    )]
    let (x, y) = (x.round().max(0.0) as usize, y.round().max(0.0) as usize);
    Some(photo.photo[y * photo.width as usize + x])
}

/// A colour that most of many samples agree on.
#[derive(Debug, Clone, Copy)]
pub(super) struct Agreed {
    /// Mean of the samples that are not outliers.
    pub(super) colour: [f64; 3],
    /// Share of samples that are outliers, 0…1.
    pub(super) kept_share: f64,
}

/// The colour of samples without outliers: their median, then the mean of all within three deviations of it.
pub(super) fn agreed(colours: &[[f64; 3]]) -> Agreed {
    let centre: [f64; 3] = std::array::from_fn(|i| median(colours.iter().map(|c| c[i])));
    let sigma: [f64; 3] = std::array::from_fn(|i| {
        let mad = median(colours.iter().map(|c| (c[i] - centre[i]).abs()));
        (SIGMA_PER_MAD * mad).max(LEAST_SIGMA[0] + LEAST_SIGMA[1] * centre[i].max(0.0))
    });
    let near =
        |colour: &&[f64; 3]| (0..3).all(|i| (colour[i] - centre[i]).abs() <= OUTLYING * sigma[i]);
    let (mut sum, mut count) = ([0.0; 3], 0.0_f64);
    for colour in colours.iter().filter(near) {
        count += 1.0;
        for (sum, channel) in sum.iter_mut().zip(colour) {
            *sum += channel;
        }
    }
    #[allow(clippy::cast_precision_loss, reason = "a few thousand samples")]
    let all = colours.len() as f64;
    Agreed {
        colour: if count > 0.0 {
            sum.map(|sum| sum / count)
        } else {
            centre
        },
        kept_share: count / all.max(1.0),
    }
}

/// The median of numbers; 0 if there are none.
pub(super) fn median(numbers: impl Iterator<Item = f64>) -> f64 {
    let mut numbers: Vec<f64> = numbers.collect();
    let middle = numbers.len() / 2;
    if numbers.is_empty() {
        return 0.0;
    }
    *numbers.select_nth_unstable_by(middle, f64::total_cmp).1
}

/// Luminance of a triple of linear light.
pub(super) fn y(colour: [f64; 3]) -> f64 {
    luminance(Linear(colour))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quarter_of_glints_and_bare_card_moves_no_colour() {
        let noise = |i: usize| 0.01 * ((i * 7919 % 101) as f64 / 100.0 - 0.5);
        let mut colours: Vec<[f64; 3]> = (0..300)
            .map(|i| [0.3 + noise(i), 0.1 + noise(i + 50), 0.05 + noise(i + 9)])
            .collect();
        let clean = agreed(&colours).colour;
        colours.extend((0..60).map(|_| [0.9; 3]));
        colours.extend((0..40).map(|_| [0.0; 3]));
        let robust = agreed(&colours);
        for (a, b) in clean.iter().zip(robust.colour) {
            assert!((a - b).abs() < 0.002, "{clean:?} {robust:?}");
        }
        assert!((robust.kept_share - 0.75).abs() < 0.02, "{robust:?}");
        // Must fail: the plain mean.
        let mean = colours.iter().map(|c| c[0]).sum::<f64>() / 400.0;
        assert!((mean - clean[0]).abs() > 0.02);
    }
}
