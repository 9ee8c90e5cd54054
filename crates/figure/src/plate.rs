//! What a photo shows of a figure, and its tones.

use rayon::prelude::*;

/// A figure as its photo shows it; all planes are row-major, `height` × `width`.
#[derive(Debug, Clone)]
pub struct Subject {
    /// Pixels per row, after rotation.
    pub width: u32,
    /// Rows, after rotation.
    pub height: u32,
    /// 8-bit sRGB as photographed.
    pub photo: Vec<[u8; 3]>,
    /// 0 for no region, else the region's index + 1.
    pub region: Vec<u8>,
    /// The regions' names, in the figure file's order.
    pub regions: Vec<String>,
    /// The lamp's cast: mean linear RGB over mean Y of all pixels in a region; 1, 1, 1 for a neutral lamp.
    pub lamp: [f64; 3],
}

/// A rectangle of the photo, in pixels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CropBox {
    /// Left edge.
    pub x: u32,
    /// Upper edge.
    pub y: u32,
    /// Width, at least 1.
    pub width: u32,
    /// Height, at least 1.
    pub height: u32,
}

impl Subject {
    /// The smallest box that holds every pixel with a region; `None` if no pixel has one.
    #[must_use]
    pub fn figure_box(&self) -> Option<CropBox> {
        let width = self.width as usize;
        let rows: Vec<(usize, usize, usize)> = self
            .region
            .par_chunks(width.max(1))
            .enumerate()
            .filter_map(|(y, row)| {
                let first = row.iter().position(|region| *region != 0)?;
                let last = row.iter().rposition(|region| *region != 0)?;
                Some((y, first, last))
            })
            .collect();
        let (top, ..) = rows.first()?;
        let (bottom, ..) = rows.last()?;
        let left = rows.iter().map(|(_, first, _)| *first).min()?;
        let right = rows.iter().map(|(.., last)| *last).max()?;
        let side = |length: usize| u32::try_from(length).unwrap_or(self.width.max(self.height));
        Some(CropBox {
            x: side(left),
            y: side(*top),
            width: side(right - left + 1),
            height: side(bottom - top + 1),
        })
    }
}

/// A subject with the tones of its photo, which a ground splits.
#[derive(Debug, Clone)]
pub struct Plate {
    /// Photo and regions.
    pub subject: Subject,
    /// Linear luminance Y (ITU-R BT.709) of every pixel, 0…1 as 0…65535.
    pub luminance: Vec<u16>,
}
