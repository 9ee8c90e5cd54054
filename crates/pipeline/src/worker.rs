//! One scheme over any rows of the planes, on the processor: tables, finishes, 8-bit codes, and the sums by region.

use rayon::prelude::*;
use velatura_document::Error;
use velatura_figure::Underpainting;
use velatura_shaders::apply::{TableView, twin::apply};
use velatura_shaders::pack::twin::pack;
use velatura_shaders::{Pixel, finish};

use crate::catalogue::failure;
use crate::gpu::DeviceScheme;
use crate::means::{RegionSums, code_units};
use crate::planes::planes;
use crate::planned::{PlannedFinish, PlannedScheme};
use crate::stage::FrameBand;

/// Rows processed at once within a band: their frame (16 bytes per pixel) stays in the second-level cache.
const ROWS_AT_ONCE: usize = 8;

/// One scheme, ready for any rows.
pub(crate) struct Worker<'a> {
    underpainting: &'a Underpainting,
    pub(crate) scheme: &'a PlannedScheme,
    views: Vec<Option<TableView<'a>>>,
    finishes: Vec<&'a PlannedFinish>,
    /// Additional rows above and below for finishes that read around a pixel.
    reach: usize,
    units: [u32; 256],
}

impl<'a> Worker<'a> {
    pub(crate) fn new(
        finishes: Vec<&'a PlannedFinish>,
        underpainting: &'a Underpainting,
        scheme: &'a PlannedScheme,
    ) -> Self {
        let whole = underpainting
            .subject
            .height
            .max(underpainting.subject.width);
        Self {
            underpainting,
            scheme,
            views: scheme.views(),
            reach: finishes
                .iter()
                .map(|finish| finish.entry.info.reach_px.unwrap_or(whole) as usize)
                .sum(),
            finishes,
            units: code_units(),
        }
    }

    /// This scheme in the device's form.
    ///
    /// # Errors
    /// Why a device cannot do it, in a few words.
    pub(crate) fn for_device(&self) -> Result<DeviceScheme<'a>, String> {
        let finish = match self.finishes.as_slice() {
            [] => finish::Params::MATTE,
            [one] => one
                .stage()
                .kernel(&self.scheme.scheme, &one.parameters)
                .ok_or_else(|| format!("the finish \"{}\" runs only there", one.entry.info.name))?,
            _ => return Err("it has more than one finish".to_owned()),
        };
        Ok(DeviceScheme {
            tables: self.views.clone(),
            finish,
        })
    }

    /// The sums by region of whole rows, starting at `top`.
    pub(crate) fn sums(&self, top: usize, codes: &[[u8; 3]]) -> RegionSums {
        let width = self.underpainting.subject.width as usize;
        let regions = self.underpainting.subject.regions.len();
        let region = &self.underpainting.subject.region[top * width..][..codes.len()];
        let piece = ROWS_AT_ONCE * width;
        codes
            .par_chunks(piece)
            .zip(region.par_chunks(piece))
            .map(|(codes, region)| {
                let mut sums = RegionSums::new(regions);
                sums.add(codes, region, &self.units);
                sums
            })
            .reduce(|| RegionSums::new(regions), RegionSums::merged)
    }

    /// The codes of rows `top..bottom` and their sums by region.
    ///
    /// # Errors
    /// A finish that failed.
    pub(crate) fn band(
        &self,
        top: usize,
        bottom: usize,
    ) -> Result<(Vec<[u8; 3]>, RegionSums), Error> {
        let width = self.underpainting.subject.width as usize;
        let regions = self.underpainting.subject.regions.len();
        let mut codes = vec![[0; 3]; (bottom - top) * width];
        // Finishes that read around a pixel repeat their reach twice per piece, so pieces are larger.
        let rows_at_once = ROWS_AT_ONCE.max(4 * self.reach);
        let sums = codes
            .par_chunks_mut(rows_at_once * width)
            .enumerate()
            .map(|(piece, codes)| {
                let first = top + piece * rows_at_once;
                self.rows(first, first + codes.len() / width, codes)?;
                let mut sums = RegionSums::new(regions);
                let at = first * width;
                sums.add(
                    codes,
                    &self.underpainting.subject.region[at..at + codes.len()],
                    &self.units,
                );
                Ok::<_, Error>(sums)
            })
            .try_reduce(
                || RegionSums::new(regions),
                |one, other| Ok(one.merged(other)),
            )?;
        Ok((codes, sums))
    }

    fn rows(&self, first: usize, end: usize, codes: &mut [[u8; 3]]) -> Result<(), Error> {
        let width = self.underpainting.subject.width as usize;
        let above = first.min(self.reach);
        let upto = (end + self.reach).min(self.underpainting.subject.height as usize);
        let wide = (first - above) * width..upto * width;
        let whole = planes(self.underpainting);
        let planes = whole.slice(wide);
        let mut frame: Vec<Pixel> = vec![[0.0; 4]; planes.len()];
        apply(&planes, &self.views, &mut frame);
        for finish in &self.finishes {
            let mut band = FrameBand {
                width,
                first_row: first - above,
                picture_rows: self.underpainting.subject.height as usize,
                px_per_mm: self.underpainting.px_per_mm,
                planes,
                pixels: &mut frame,
            };
            finish
                .stage()
                .finish(&self.scheme.scheme, &mut band, &finish.parameters)
                .map_err(|problem| failure(&finish.entry, problem))?;
        }
        let photo = &self.underpainting.subject.photo[first * width..end * width];
        pack(
            &frame[above * width..above * width + codes.len()],
            photo,
            codes,
        );
        Ok(())
    }
}
