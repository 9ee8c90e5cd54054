//! The mean colour of every region of a scheme as shown, collected while frames are rendered.
//!
//! In: 8-bit sRGB and regions. Out: mean linear sRGB per region. Sums are whole numbers, so their order and the number of
//! threads do not matter.

use velatura_optics::colour::Linear;
use velatura_shaders::downscale::twin::decode_table;

/// Linear light 1.0 in the sums' units; 2^24 leaves room for 10^12 pixels in 64 bits.
const ONE: f32 = 16_777_216.0;

/// Sums per region.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RegionSums {
    sums: Vec<[u64; 3]>,
    counts: Vec<u64>,
}

impl RegionSums {
    /// Empty sums for a number of regions.
    #[must_use]
    pub fn new(regions: usize) -> Self {
        // One more for the background, so that no pixel needs a branch.
        Self {
            sums: vec![[0; 3]; regions + 1],
            counts: vec![0; regions + 1],
        }
    }

    /// Adds pixels.
    pub(crate) fn add(&mut self, codes: &[[u8; 3]], region: &[u8], units: &[u32; 256]) {
        for (code, region) in codes.iter().zip(region) {
            let index = usize::from(*region).min(self.counts.len() - 1);
            self.counts[index] += 1;
            for (sum, code) in self.sums[index].iter_mut().zip(code) {
                *sum += u64::from(units[usize::from(*code)]);
            }
        }
    }

    /// Adds the sums of other pixels.
    pub(crate) fn merge(&mut self, other: &Self) {
        for (mine, theirs) in self.counts.iter_mut().zip(&other.counts) {
            *mine += theirs;
        }
        for (mine, theirs) in self.sums.iter_mut().zip(&other.sums) {
            for (mine, theirs) in mine.iter_mut().zip(theirs) {
                *mine += theirs;
            }
        }
    }

    /// Both together.
    pub(crate) fn merged(mut self, other: Self) -> Self {
        self.merge(&other);
        self
    }

    /// Pixels of a region.
    #[must_use]
    pub fn pixels(&self, region: usize) -> u64 {
        self.counts[region + 1]
    }

    /// Mean colour of a region in linear light; `None` if it has no pixel.
    #[must_use]
    #[allow(
        clippy::cast_precision_loss,
        reason = "sums stay far below 2^53 for any picture that can be read"
    )]
    pub fn mean(&self, region: usize) -> Option<Linear> {
        let count = self.counts[region + 1];
        (count > 0).then(|| {
            Linear(self.sums[region + 1].map(|sum| sum as f64 / count as f64 / f64::from(ONE)))
        })
    }
}

/// The contribution of each code to a sum.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "0…1 times 2^24"
)]
pub(crate) fn code_units() -> [u32; 256] {
    decode_table().map(|linear| (linear * ONE).round() as u32)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mean_is_taken_in_linear_light_and_by_region() {
        let mut sums = RegionSums::new(2);
        let codes = [[0, 0, 0], [255, 255, 255], [255, 0, 0], [9, 9, 9]];
        sums.add(&codes, &[1, 1, 2, 0], &code_units());
        let Linear(mean) = sums.mean(0).unwrap();
        assert!((mean[1] - 0.5).abs() < 1e-7, "{mean:?}");
        assert_eq!((sums.pixels(0), sums.pixels(1)), (2, 1));
        assert_eq!(sums.mean(1), Some(Linear([1.0, 0.0, 0.0])));
        assert_eq!(RegionSums::new(1).mean(0), None);
    }
}
