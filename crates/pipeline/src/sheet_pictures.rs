//! The pictures of the contact sheet, computed at the sheet's own scale from area-averaged planes.

use velatura_document::{Error, reserved, room_for};
use velatura_figure::Underpainting;
use velatura_shaders::downscale::twin::downscale;

use crate::means::RegionSums;
use crate::planned::PlannedScheme;
use crate::run::Run;
use crate::sheet::{SHEET_FILE, SheetPicture};

/// Pixels per side that one pixel of the sheet is computed from: planes cannot be averaged across the border of two
/// regions, so borders are smoothed afterwards, in the picture.
const OVERSAMPLING: u32 = 2;

/// The most memory per pixel that reduced planes take while they are made.
const REDUCED_BYTES_PER_PIXEL: u64 = 20;

impl Run<'_> {
    /// Renders every scheme at `size` (width × height) from the figure's crop; also returns the sums of every region.
    ///
    /// # Errors
    /// As [`Run::render`]; too little memory.
    pub fn sheet_pictures(
        &self,
        schemes: &[PlannedScheme],
        size: (u32, u32),
    ) -> Result<(Vec<SheetPicture>, Vec<RegionSums>), Error> {
        let planes = self.sheet_planes(size)?;
        self.sheet_pictures_of(&planes, schemes, size)
    }

    /// The planes that pictures of `size` (width × height) are computed from: the figure's crop at a multiple of it.
    ///
    /// # Errors
    /// Too little memory.
    pub fn sheet_planes(&self, size: (u32, u32)) -> Result<Underpainting, Error> {
        let (width, height) = (size.0 * OVERSAMPLING, size.1 * OVERSAMPLING);
        let underpainting = &self.job().underpainting;
        let pixels = u64::from(width) * u64::from(height);
        room_for(REDUCED_BYTES_PER_PIXEL * pixels, SHEET_FILE)?;
        Ok(underpainting.reduced(underpainting.crop_box(), width, height))
    }

    /// As [`Run::sheet_pictures`], from planes that [`Run::sheet_planes`] made for the same size.
    ///
    /// # Errors
    /// As [`Run::render`]; too little memory.
    pub fn sheet_pictures_of(
        &self,
        planes: &Underpainting,
        schemes: &[PlannedScheme],
        size: (u32, u32),
    ) -> Result<(Vec<SheetPicture>, Vec<RegionSums>), Error> {
        let width = planes.subject.width as usize;
        let pixels = width * planes.subject.height as usize;
        let mut pictures = schemes
            .iter()
            .map(|_| reserved(pixels, SHEET_FILE))
            .collect::<Result<Vec<Vec<[u8; 3]>>, _>>()?;
        // No device: uploading the tables takes longer than computing the sheet's few pixels here (BENCHMARKS.md).
        let sums = self.render_planes(planes, schemes, &mut pictures)?;
        let pictures = pictures
            .iter()
            .map(|picture| SheetPicture {
                width: size.0,
                height: size.1,
                pixels: downscale(picture, width, OVERSAMPLING as usize),
            })
            .collect();
        Ok((pictures, sums))
    }
}
