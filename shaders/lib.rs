//! Per-pixel kernels, one folder each: plain slices in, plain slices out. They know planes, tables and frames, but no paints,
//! files or devices. `twin.rs` is the CPU path; the WGSL text of the same kernel is next to it.

#[path = "apply/mod.rs"]
pub mod apply;
#[cfg(feature = "cases")]
pub mod dice;
#[path = "downscale/mod.rs"]
pub mod downscale;
#[path = "finish/mod.rs"]
pub mod finish;
pub mod kernel;
#[path = "pack/mod.rs"]
pub mod pack;
#[path = "render/mod.rs"]
pub mod render;
#[path = "view/mod.rs"]
pub mod view;

/// The planes of a run of pixels, all slices of the same length.
#[derive(Debug, Clone, Copy)]
pub struct Planes<'a> {
    /// Reflectance of the underpainting, 0…1 as 0…65535.
    pub substrate: &'a [u16],
    /// 0 deep recess … 1 raised edge, as 0…65535.
    pub relief: &'a [u16],
    /// Light falling there, in units of `light_unit`.
    pub light: &'a [u16],
    /// 0 for no region, else the region's index + 1.
    pub region: &'a [u8],
    /// Light per unit of the light plane; 1 is full light.
    pub light_unit: f32,
}

impl Planes<'_> {
    /// Number of pixels.
    #[must_use]
    pub fn len(&self) -> usize {
        self.region.len()
    }

    /// Whether there is no pixel.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.region.is_empty()
    }

    /// The pixels of a range.
    #[must_use]
    pub fn slice(&self, range: std::ops::Range<usize>) -> Planes<'_> {
        Planes {
            substrate: &self.substrate[range.clone()],
            relief: &self.relief[range.clone()],
            light: &self.light[range.clone()],
            region: &self.region[range],
            light_unit: self.light_unit,
        }
    }
}

/// One pixel of a frame: linear sRGB, 1 = full light on white, and 1 where there is a coat, 0 elsewhere.
pub type Pixel = [f32; 4];

/// Full scale of the 16-bit planes.
pub const PLANE_MAX: f32 = 65535.0;
