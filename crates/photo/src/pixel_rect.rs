//! The mean colour of a rectangle of a photo.

use velatura_optics::colour::{Encoded, Linear};

use crate::Photo;

/// A rectangle of an upright photo, in pixels from its upper left corner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PixelRect {
    /// Columns left of it.
    pub left: u32,
    /// Rows above it.
    pub top: u32,
    /// Its columns.
    pub width: u32,
    /// Its rows.
    pub height: u32,
}

impl Photo {
    /// Mean of a patch in linear light, as the eye mixes the light of its pixels; holes (alpha 0) do not count.
    ///
    /// `None` if the patch reaches outside the photo or no pixel of it counts.
    #[must_use]
    pub fn mean(&self, patch: PixelRect) -> Option<Linear> {
        let right = patch.left.checked_add(patch.width)?;
        let bottom = patch.top.checked_add(patch.height)?;
        if right > self.width || bottom > self.height {
            return None;
        }
        let hole = |at: usize| self.transparent.as_ref().is_some_and(|holes| holes[at]);
        let (mut sum, mut count) = ([0.0; 3], 0.0);
        for row in patch.top..bottom {
            let row_begin = row as usize * self.width as usize;
            for at in row_begin + patch.left as usize..row_begin + right as usize {
                if !hole(at) {
                    let Linear(rgb) = Encoded(self.photo[at]).linear();
                    for (sum, channel) in sum.iter_mut().zip(rgb) {
                        *sum += channel;
                    }
                    count += 1.0;
                }
            }
        }
        (count > 0.0).then(|| Linear(sum.map(|channel| channel / count)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::orientation::Orientation;

    /// Black, white and a white hole above three reds.
    fn photo() -> Photo {
        Photo {
            width: 3,
            height: 2,
            photo: vec![
                [0; 3],
                [255; 3],
                [255; 3],
                [255, 0, 0],
                [255, 0, 0],
                [255, 0, 0],
            ],
            luminance: vec![0; 6],
            transparent: Some(vec![false, false, true, false, false, false]),
            orientation: Orientation::UPRIGHT,
        }
    }

    fn mean(left: u32, top: u32, width: u32, height: u32) -> Option<Linear> {
        photo().mean(PixelRect {
            left,
            top,
            width,
            height,
        })
    }

    #[test]
    fn the_mean_is_taken_in_linear_light_and_holes_do_not_count() {
        assert_eq!(mean(0, 0, 3, 1), Some(Linear([0.5; 3])));
        assert_eq!(mean(1, 1, 2, 1), Some(Linear([1.0, 0.0, 0.0])));
        // Half the light is code 188, not 128: a mean of codes would be far darker.
        assert_eq!(mean(0, 0, 2, 1).unwrap().encoded(), Encoded([188; 3]));
    }

    #[test]
    fn a_patch_outside_the_photo_or_of_holes_alone_has_no_colour() {
        for patch in [
            (0, 0, 4, 1),
            (0, 0, 1, 3),
            (3, 0, 1, 1),
            (u32::MAX, 0, 2, 1),
        ] {
            assert_eq!(mean(patch.0, patch.1, patch.2, patch.3), None, "{patch:?}");
        }
        assert_eq!(mean(2, 0, 1, 1), None);
        assert_eq!(mean(0, 0, 0, 1), None);
    }
}
