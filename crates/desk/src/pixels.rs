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
    /// A picture without transparency, from its rows.
    pub(crate) fn opaque<'a>(
        width: u32,
        height: u32,
        rows: impl Iterator<Item = &'a [[u8; 3]]>,
    ) -> Self {
        let stride = 4 * width as usize;
        let mut rgba = vec![255; stride * height as usize];
        for (to, row) in rgba.chunks_exact_mut(stride.max(1)).zip(rows) {
            for (pixel, code) in to.chunks_exact_mut(4).zip(row) {
                pixel[..3].copy_from_slice(code);
            }
        }
        Self {
            width,
            height,
            rgba,
        }
    }
}
