//! A picture for a page's canvas.

/// 8-bit sRGB with alpha, row by row from the top.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pixels {
    /// Pixels per row.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Red, green, blue and alpha of every pixel.
    pub rgba: Vec<u8>,
}

impl Pixels {
    /// A picture without transparency.
    pub(crate) fn opaque(width: u32, height: u32, pixels: impl Iterator<Item = [u8; 3]>) -> Self {
        Self {
            width,
            height,
            rgba: pixels
                .flat_map(|[red, green, blue]| [red, green, blue, 255])
                .collect(),
        }
    }
}
