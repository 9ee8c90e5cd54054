//! Tables over planes: the colour of every pixel of a scheme. See `README.md` in this folder.

pub mod twin;

use crate::Pixel;

/// A region's table as the kernel reads it: linear sRGB, relief rows × substrate columns, row-major.
#[derive(Debug, Clone, Copy)]
pub struct TableView<'a> {
    /// Number of substrate columns, at least 2.
    pub substrate_steps: usize,
    /// Number of relief rows, at least 1.
    pub relief_steps: usize,
    /// Entries; the fourth number is not read.
    pub entries: &'a [Pixel],
    /// How much light a white figure throws into its own hollows beyond what the light plane holds; usually 0.
    pub bounce: f32,
}
