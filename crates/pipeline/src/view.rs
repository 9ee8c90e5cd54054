//! A finished picture with other colour vision, or from further away: linear light in, linear light out.
//!
//! The kernels `finish` (a matrix) and `view` (blur, then the area mean) do the work. Not here: which colour vision, which
//! distance, and the use of the pictures.

use velatura_optics::vision::Eye;
use velatura_shaders::Pixel;
use velatura_shaders::finish::{Params, twin::recolour};
use velatura_shaders::pack::twin::{pack, unpack};
use velatura_shaders::view::{Axis, arc_minute_sigma_px, twin::view};

use crate::sheet::SheetPicture;

/// A picture in linear light, row-major.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// Pixels per row.
    pub width: u32,
    /// Rows.
    pub height: u32,
    pixels: Vec<Pixel>,
}

impl View {
    /// A picture, decoded.
    #[must_use]
    pub fn of(picture: &SheetPicture) -> Self {
        let mut pixels = vec![[0.0; 4]; picture.pixels.len()];
        unpack(&picture.pixels, &mut pixels);
        Self {
            width: picture.width,
            height: picture.height,
            pixels,
        }
    }

    /// Linear sRGB of every pixel, row-major.
    pub fn colours(&self) -> impl Iterator<Item = [f32; 3]> + '_ {
        self.pixels
            .iter()
            .map(|[red, green, blue, _]| [*red, *green, *blue])
    }

    /// With other colour vision; colours outside the gamut are clipped when the picture is encoded.
    #[must_use]
    pub fn through(&self, eye: &Eye) -> Self {
        #[allow(clippy::cast_possible_truncation, reason = "kernels work in f32")]
        let rows = eye.0.map(|row| row.map(|weight| weight as f32));
        let mut pixels = self.pixels.clone();
        recolour(&Params::MATTE.seen_through(rows).matrix, &mut pixels);
        Self { pixels, ..*self }
    }

    /// From `distance_mm` away: blurred by one arc-minute, then averaged over area to `size` (width × height).
    ///
    /// `pixel_mm` is how much of the figure one pixel shows.
    ///
    /// # Panics
    /// If `size` is larger than the picture or has no pixel.
    #[must_use]
    pub fn seen_from(&self, distance_mm: f64, pixel_mm: f64, size: (u32, u32)) -> Self {
        let sigma_px = arc_minute_sigma_px(distance_mm, pixel_mm);
        self.reduced(sigma_px, size)
    }

    /// Averaged over area to `size` (width × height).
    ///
    /// # Panics
    /// If `size` is larger than the picture or has no pixel.
    #[must_use]
    pub fn shrunk(&self, size: (u32, u32)) -> Self {
        self.reduced(0.0, size)
    }

    fn reduced(&self, sigma_px: f64, size: (u32, u32)) -> Self {
        let axis = |length: u32, seen: u32| Axis::new(length as usize, seen as usize, sigma_px);
        Self {
            width: size.0,
            height: size.1,
            pixels: view(
                &axis(self.width, size.0),
                &axis(self.height, size.1),
                &self.pixels,
            ),
        }
    }

    /// As 8-bit sRGB.
    #[must_use]
    pub fn picture(&self) -> SheetPicture {
        let mut pixels = vec![[0; 3]; self.pixels.len()];
        let unused = vec![[0; 3]; self.pixels.len()];
        pack(&self.pixels, &unused, &mut pixels);
        SheetPicture {
            width: self.width,
            height: self.height,
            pixels,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stripes() -> SheetPicture {
        let pixels = (0..16 * 16).map(|at| {
            if at % 2 == 0 {
                [255, 0, 0]
            } else {
                [0, 115, 0]
            }
        });
        SheetPicture {
            width: 16,
            height: 16,
            pixels: pixels.collect(),
        }
    }

    #[test]
    fn a_view_of_a_picture_is_that_picture() {
        let picture = stripes();
        assert_eq!(View::of(&picture).picture(), picture);
        assert_eq!(View::of(&picture).through(&Eye::USUAL).picture(), picture);
        // Must fail: vision without colour.
        assert_ne!(View::of(&picture).through(&Eye::GREY).picture(), picture);
    }

    #[test]
    fn from_far_away_stripes_run_together_and_near_they_do_not() {
        let codes = |distance_mm| {
            let seen = View::of(&stripes()).seen_from(distance_mm, 0.1, (16, 16));
            seen.picture().pixels[8 * 16 + 8]
        };
        let (near, far) = (codes(10.0), codes(2000.0));
        assert_eq!(near, [255, 0, 0]);
        // Half of the red light: code 188 (IEC 61966-2-1).
        assert!(far[0].abs_diff(188) <= 1 && far[1] > 70, "{far:?}");
    }
}
