//! A picture as seen from further away, in linear light. See `README.md` in this folder.

#[cfg(feature = "cases")]
pub mod cases;
pub mod twin;

use bytemuck::{Pod, Zeroable};

use crate::kernel::{Binding, Kernel};

/// Standard deviations after which the blur's weights end: the rest has less than 1e-4 of the weight.
const REACH: f64 = 4.0;

/// Along one axis of a picture, which source pixels each target pixel averages, and with which weights.
///
/// Pixel `i` is the sum over `t` of `weights[i × taps + t] × pixel[starts[i] + t]`; its weights sum to 1, and all
/// `starts[i] + t` are within the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// Pixels of the picture along this axis.
    pub length: usize,
    /// First source pixel, one per target pixel.
    pub starts: Vec<u32>,
    /// Source pixels for each target pixel, at least 1.
    pub taps: usize,
    /// starts × taps numbers.
    pub weights: Vec<f32>,
}

impl Axis {
    /// A blur by a Gaussian of `sigma_px` pixels, then the mean over the area that each of `seen` pixels covers.
    ///
    /// `length` and `seen` are pixels before and after; pixels at the border are repeated beyond it. A `sigma_px` of 0 does not
    /// blur, and a `seen` equal to `length` does not scale.
    ///
    /// # Panics
    /// If `length` or `seen` is 0, `seen` is more than `length`, or `sigma_px` is negative or NaN.
    #[must_use]
    #[allow(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "lengths of pictures, far below 2^32; indices are clamped to them"
    )]
    pub fn new(length: usize, seen: usize, sigma_px: f64) -> Self {
        assert!(
            seen > 0 && seen <= length,
            "a view has at least a pixel and no more than its picture"
        );
        assert!(sigma_px >= 0.0, "a blur has a width of 0 or more");
        let blur = gaussian(sigma_px);
        let reach = blur.len() / 2;
        let pixel_length = length as f64 / seen as f64;
        let last = length as isize - 1;
        let taps = (pixel_length.ceil() as usize + 1 + 2 * reach).min(length);
        let mut starts = Vec::new();
        let mut weights = vec![0.0_f32; seen * taps];
        for (index, weights) in weights.chunks_exact_mut(taps).enumerate() {
            let (from, to) = (
                index as f64 * pixel_length,
                (index + 1) as f64 * pixel_length,
            );
            let first = from.floor() as isize;
            let start = (first - reach as isize).clamp(0, (length - taps) as isize);
            let mut sums = vec![0.0_f64; taps];
            for covered in first..(to.ceil() as isize).min(length as isize) {
                let share =
                    (to.min((covered + 1) as f64) - from.max(covered as f64)) / pixel_length;
                for (offset, weight) in blur.iter().enumerate() {
                    let read = (covered + offset as isize - reach as isize).clamp(0, last);
                    sums[(read - start) as usize] += share * weight;
                }
            }
            let whole: f64 = sums.iter().sum();
            for (weight, sum) in weights.iter_mut().zip(&sums) {
                *weight = (sum / whole) as f32;
            }
            starts.push(start as u32);
        }
        Self {
            length,
            starts,
            taps,
            weights,
        }
    }

    /// Pixels after.
    #[must_use]
    pub fn seen(&self) -> usize {
        self.starts.len()
    }
}

/// The standard deviation of a Gaussian whose full width at half its height is one arc-minute, the finest detail that good eyes
/// resolve (common practice, no source), for a picture of `pixel_mm` seen from `distance_mm`, in pixels.
#[must_use]
pub fn arc_minute_sigma_px(distance_mm: f64, pixel_mm: f64) -> f64 {
    let arc_minute = (1.0_f64 / 60.0).to_radians();
    let full_width = 2.0 * distance_mm * libm::tan(arc_minute / 2.0) / pixel_mm;
    full_width / (8.0 * std::f64::consts::LN_2).sqrt()
}

/// Weights of a Gaussian at whole pixels, an odd number of them, that sum to 1.
#[allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a few hundred pixels at most"
)]
fn gaussian(sigma_px: f64) -> Vec<f64> {
    let reach = (REACH * sigma_px).ceil() as usize;
    let weight = |offset: usize| {
        let deviations = (offset as f64 - reach as f64) / sigma_px;
        libm::exp(-0.5 * deviations * deviations)
    };
    if reach == 0 {
        return vec![1.0];
    }
    let weights: Vec<f64> = (0..=2 * reach).map(weight).collect();
    let whole: f64 = weights.iter().sum();
    weights.iter().map(|weight| weight / whole).collect()
}

/// Uniforms of the WGSL kernel for one pass: pixel `i` of a line is at line × `line_step` + `i` × `along_step`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Pod, Zeroable)]
#[repr(C)]
pub struct Params {
    /// Pixels of a line after.
    pub seen: u32,
    /// Lines.
    pub lines: u32,
    /// Like [`Axis::taps`].
    pub taps: u32,
    /// From line to line, before.
    pub line_step: u32,
    /// From pixel to pixel of a line, before.
    pub along_step: u32,
    /// From line to line, after.
    pub seen_line_step: u32,
    /// From pixel to pixel of a line, after.
    pub seen_along_step: u32,
    /// Fills the struct to a multiple of 16 bytes; not read.
    pub unused: u32,
}

impl Params {
    /// One pass along each of `rows` rows.
    ///
    /// # Panics
    /// If the frame has 2^32 pixels.
    #[must_use]
    pub fn along_rows(axis: &Axis, rows: usize) -> Self {
        Self {
            line_step: narrow(axis.length),
            along_step: 1,
            seen_line_step: narrow(axis.seen()),
            seen_along_step: 1,
            ..Self::of(axis, rows)
        }
    }

    /// One pass down each of `columns` columns.
    ///
    /// # Panics
    /// If the frame has 2^32 pixels.
    #[must_use]
    pub fn down_columns(axis: &Axis, columns: usize) -> Self {
        Self {
            line_step: 1,
            along_step: narrow(columns),
            seen_line_step: 1,
            seen_along_step: narrow(columns),
            ..Self::of(axis, columns)
        }
    }

    fn of(axis: &Axis, lines: usize) -> Self {
        assert!(
            u32::try_from(axis.length * lines).is_ok(),
            "a device counts a frame's pixels in 32 bits"
        );
        Self {
            seen: narrow(axis.seen()),
            lines: narrow(lines),
            taps: narrow(axis.taps),
            ..Self::zeroed()
        }
    }
}

fn narrow(count: usize) -> u32 {
    u32::try_from(count).expect("no more than the frame's pixels")
}

/// The WGSL text, one pass along an axis.
pub const KERNEL: Kernel = Kernel {
    name: "view",
    text: include_str!("kernel.wgsl"),
    bindings: &[
        Binding::Uniform(size_of::<Params>()),
        Binding::Read(4),
        Binding::Read(4),
        Binding::Read(size_of::<crate::Pixel>()),
        Binding::Write(size_of::<crate::Pixel>()),
    ],
    workgroup: 64,
    constants: &[],
};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_sum_to_one_and_stay_within_the_picture() {
        for (length, seen, sigma_px) in [
            (1, 1, 0.0),
            (1, 1, 9.0),
            (7, 3, 0.4),
            (101, 101, 5.0),
            (640, 97, 3.3),
        ] {
            let axis = Axis::new(length, seen, sigma_px);
            assert_eq!(axis.seen(), seen);
            for (start, weights) in axis.starts.iter().zip(axis.weights.chunks(axis.taps)) {
                assert!(*start as usize + axis.taps <= length, "{length} {seen}");
                let sum: f32 = weights.iter().sum();
                // f32 sums of up to 50 weights; we reach 3e-7.
                assert!((sum - 1.0).abs() < 1e-6, "{sum}");
            }
        }
    }

    #[test]
    fn an_arc_minute_at_one_metre_is_three_tenths_of_a_millimetre() {
        // 1000 mm · tan(1′) = 0.2909 mm; a Gaussian's full width at half its height is 2.3548 of its deviations.
        let sigma = arc_minute_sigma_px(1000.0, 0.01);
        assert!((sigma * 2.354_82 - 29.089).abs() < 1e-3, "{sigma}");
    }
}
