//! The photo on a coarse grid, as lightness and two opponent colours.
//!
//! In: 8-bit sRGB, row-major. Out: cells of CIE Lab (D65), each the mean of its pixels' codes, converted. Regions are found on
//! the grid first. A part is some hundred cells wide there, whatever the size of the photo, so constants chosen in tests apply
//! to all sizes.

use rayon::prelude::*;
use velatura_optics::colour::{Linear, decode};

/// Cells along the picture's longer side, at most. On the tuning pictures, 512 is better than 384 by one point of overlap for
/// the figure and two for the parts; but at 512 the results of a large photo and its small copy differ too much.
const LONGER_SIDE: usize = 416;

/// A photo in cells; planes are row-major, `height` × `width`.
#[derive(Debug)]
pub(super) struct Grid {
    pub(super) width: usize,
    pub(super) height: usize,
    /// Size of the photo in pixels.
    pub(super) photo_width: usize,
    pub(super) photo_height: usize,
    /// L\* 0…100, a\*, b\*.
    pub(super) lab: [Vec<f32>; 3],
}

impl Grid {
    /// The grid of a photo.
    pub(super) fn of(photo: &[[u8; 3]], photo_width: usize, photo_height: usize) -> Self {
        let longer = photo_width.max(photo_height);
        let side = |pixels: usize| {
            if longer <= LONGER_SIDE {
                pixels
            } else {
                (pixels * LONGER_SIDE).div_ceil(longer).max(1)
            }
        };
        let (width, height) = (side(photo_width), side(photo_height));
        let mut grid = Self {
            width,
            height,
            photo_width,
            photo_height,
            lab: Default::default(),
        };
        let cells: Vec<[f32; 3]> = (0..width * height)
            .into_par_iter()
            .with_min_len(256)
            .map(|cell| grid.cell_lab(photo, cell))
            .collect();
        grid.lab = std::array::from_fn(|channel| cells.iter().map(|lab| lab[channel]).collect());
        grid
    }

    fn cell_lab(&self, photo: &[[u8; 3]], cell: usize) -> [f32; 3] {
        let (columns, rows) = self.pixels_of(cell);
        let mut sums = [0_u32; 3];
        for y in rows.clone() {
            for pixel in &photo[y * self.photo_width..][columns.clone()] {
                for (sum, code) in sums.iter_mut().zip(pixel) {
                    *sum += u32::from(*code);
                }
            }
        }
        let count = f64::from(u32::try_from(columns.len() * rows.len()).expect("a cell is small"));
        #[allow(clippy::cast_possible_truncation, reason = "Lab needs no more digits")]
        Linear(sums.map(|sum| decode(f64::from(sum) / count / 255.0)))
            .lab()
            .0
            .map(|value| value as f32)
    }

    /// Columns and rows of the photo's pixels in a cell, at least one of each.
    pub(super) fn pixels_of(
        &self,
        cell: usize,
    ) -> (std::ops::Range<usize>, std::ops::Range<usize>) {
        let span =
            |at: usize, cells: usize, pixels: usize| at * pixels / cells..(at + 1) * pixels / cells;
        (
            span(cell % self.width, self.width, self.photo_width),
            span(cell / self.width, self.height, self.photo_height),
        )
    }

    pub(super) fn len(&self) -> usize {
        self.width * self.height
    }
}

/// The four neighbours of a cell, fewer at the edge.
pub(super) fn beside(at: usize, width: usize, cells: usize) -> impl Iterator<Item = usize> {
    let x = at % width;
    [
        (x > 0).then(|| at - 1),
        (x + 1 < width).then_some(at + 1),
        (at >= width).then(|| at - width),
        (at + width < cells).then_some(at + width),
    ]
    .into_iter()
    .flatten()
}

/// A cell and the eight around it, fewer at the edge.
pub(super) fn around(at: usize, width: usize, cells: usize) -> impl Iterator<Item = usize> {
    let (x, y, height) = (at % width, at / width, cells / width);
    (y.saturating_sub(1)..=(y + 1).min(height - 1)).flat_map(move |y| {
        (x.saturating_sub(1)..=(x + 1).min(width - 1)).map(move |x| y * width + x)
    })
}
