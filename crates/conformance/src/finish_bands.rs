//! A finish on rows of a picture, as a run calls it. In: a picture and a range of rows. Out: the changed rows, or the reason
//! for a failure.

use std::ops::Range;

use velatura_scheme::Scheme;
use velatura_shaders::Pixel;

use super::calls::answer;
use super::small_parts::Picture;
use velatura_pipeline::Parameters;
use velatura_pipeline::stage::{Finish, FrameBand};

/// A finish with its arguments.
#[derive(Clone, Copy)]
pub(super) struct Called<'a> {
    pub(super) stage: &'a dyn Finish,
    pub(super) scheme: &'a Scheme,
    pub(super) parameters: &'a Parameters,
}

impl Called<'_> {
    /// The whole picture at once.
    pub(super) fn whole(&self, picture: &Picture) -> Result<Vec<Pixel>, String> {
        self.rows(picture, 0..picture.rows)
    }

    /// The picture in bands of some rows, each with `reach` additional rows on both sides, which are discarded.
    pub(super) fn in_bands(
        &self,
        picture: &Picture,
        band_rows: usize,
        reach: usize,
    ) -> Result<Vec<Pixel>, String> {
        let mut all = Vec::new();
        for first in (0..picture.rows).step_by(band_rows) {
            let end = (first + band_rows).min(picture.rows);
            let (above, below) = (first.saturating_sub(reach), (end + reach).min(picture.rows));
            let wide = self.rows(picture, above..below)?;
            let kept = (first - above) * picture.width..(end - above) * picture.width;
            all.extend_from_slice(&wide[kept]);
        }
        Ok(all)
    }

    fn rows(&self, picture: &Picture, rows: Range<usize>) -> Result<Vec<Pixel>, String> {
        let pixels = rows.start * picture.width..rows.end * picture.width;
        let whole = picture.planes();
        let mut frame = picture.frame[pixels.clone()].to_vec();
        answer(|| {
            let mut band = FrameBand {
                width: picture.width,
                first_row: rows.start,
                picture_rows: picture.rows,
                px_per_mm: picture.px_per_mm,
                planes: whole.slice(pixels),
                pixels: &mut frame,
            };
            self.stage.finish(self.scheme, &mut band, self.parameters)
        })?;
        Ok(frame)
    }
}

/// The first pixel that differs in a bit, as column and row.
pub(super) fn first_difference(
    one: &[Pixel],
    other: &[Pixel],
    width: usize,
) -> Option<(usize, usize)> {
    let bits = |pixel: &Pixel| pixel.map(f32::to_bits);
    let at = one
        .iter()
        .zip(other)
        .position(|(a, b)| bits(a) != bits(b))?;
    Some((at % width, at / width))
}
