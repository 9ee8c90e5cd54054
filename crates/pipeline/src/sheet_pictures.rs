//! The pictures of the contact sheet, computed at the sheet's own scale from area-averaged planes.

use velatura_figure::Underpainting;
use velatura_shaders::downscale::twin::downscale;

use crate::backend::Backend;
use crate::means::RegionSums;
use crate::plan::PlannedScheme;
use crate::registry::Registry;
use crate::run::{RunOptions, run};
use crate::sheet::SheetPicture;
use velatura_document::Error;

/// Pixels per side that one pixel of the sheet is computed from: planes cannot be averaged across the border of two
/// regions, so borders are smoothed afterwards, in the picture.
const OVERSAMPLING: u32 = 2;

/// Renders every scheme at `size` (width × height) from the figure's crop; also gives the sums of every region.
///
/// # Errors
/// As [`run`].
pub fn sheet_pictures(
    registry: &Registry,
    underpainting: &Underpainting,
    schemes: &[PlannedScheme],
    size: (u32, u32),
    options: &RunOptions,
) -> Result<(Vec<SheetPicture>, Vec<RegionSums>), Error> {
    let (width, height) = (size.0 * OVERSAMPLING, size.1 * OVERSAMPLING);
    let small = underpainting.reduced(underpainting.crop_box(), width, height);
    let mut pictures: Vec<Vec<[u8; 3]>> = vec![Vec::new(); schemes.len()];
    // The processor: a device takes longer to be handed the tables than the sheet's few pixels take here (BENCHMARKS.md).
    let options = RunOptions {
        backend: Backend::cpu(),
        ..options.clone()
    };
    let sums = run(registry, &small, schemes, &mut pictures, &options, &|_| ())?;
    let pictures = pictures
        .iter()
        .map(|picture| SheetPicture {
            width: size.0,
            height: size.1,
            pixels: downscale(picture, width as usize, OVERSAMPLING as usize),
        })
        .collect();
    Ok((pictures, sums))
}
