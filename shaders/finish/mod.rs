//! Varnish over a dried frame, then a colour-vision matrix. See `README.md` in this folder.

#[cfg(feature = "cases")]
pub mod cases;
pub mod twin;

use bytemuck::{Pod, Zeroable};

use crate::PLANE_MAX;
use crate::kernel::{Binding, Kernel};

/// How a frame is finished. The strengths of the varnishes are from memory of varnished figures, not measured.
#[derive(Debug, Clone, Copy, PartialEq, Pod, Zeroable)]
#[repr(C)]
pub struct Params {
    /// Rows of a 3 × 3 matrix from linear sRGB to linear sRGB, after the varnish; a row's fourth number is not read.
    pub matrix: [[f32; 4]; 3],
    /// How much darker a black gets, 0…1.
    pub deepening: f32,
    /// Reflectance that the lamp's mirror image adds on the highest edges, 0…1.
    pub sheen: f32,
    /// 0 if nothing changes, so that a device can skip it.
    pub changes: u32,
    /// Fills the struct to a multiple of 16 bytes; not read.
    pub unused: u32,
}

impl Params {
    /// Shows the paint as its drawdown dried.
    pub const MATTE: Self = Self::varnish(0.0, 0.0);
    /// Half way.
    pub const SATIN: Self = Self::varnish(0.15, 0.04);
    /// Deep darks and highlights.
    pub const GLOSS: Self = Self::varnish(0.35, 0.12);

    const fn varnish(deepening: f32, sheen: f32) -> Self {
        Self {
            matrix: IDENTITY,
            deepening,
            sheen,
            changes: (deepening > 0.0 || sheen > 0.0) as u32,
            unused: 0,
        }
    }

    /// The same varnish, seen through a 3 × 3 matrix on linear sRGB, given by rows: `[weights; 3]` for grey, or the
    /// published matrix of a colour-vision deficiency.
    #[must_use]
    pub const fn seen_through(self, rows: [[f32; 3]; 3]) -> Self {
        let [[a, b, c], [d, e, f], [g, h, i]] = rows;
        Self {
            matrix: [[a, b, c, 0.0], [d, e, f, 0.0], [g, h, i, 0.0]],
            changes: 1,
            ..self
        }
    }

    /// Whether the varnish changes something.
    #[must_use]
    pub fn varnishes(&self) -> bool {
        self.deepening > 0.0 || self.sheen > 0.0
    }

    /// Whether the matrix changes something.
    #[must_use]
    pub fn recolours(&self) -> bool {
        self.matrix != IDENTITY
    }
}

/// The matrix that leaves every colour as it is.
pub const IDENTITY: [[f32; 4]; 3] = [
    [1.0, 0.0, 0.0, 0.0],
    [0.0, 1.0, 0.0, 0.0],
    [0.0, 0.0, 1.0, 0.0],
];

/// Relief above which raised parts mirror the lamp.
pub const SHEEN_FROM: f32 = 0.6;

/// The kernel alone, on a whole frame of linear light, for parity tests. Pictures use `render`.
pub const KERNEL: Kernel = Kernel {
    name: "finish",
    text: concat!(include_str!("function.wgsl"), include_str!("kernel.wgsl")),
    bindings: &[
        Binding::Uniform(size_of::<Params>()),
        Binding::Read(8),
        Binding::Write(size_of::<crate::Pixel>()),
    ],
    workgroup: 64,
    constants: CONSTANTS,
};

/// Constants of the WGSL text.
pub(crate) const CONSTANTS: &[(&str, f32)] =
    &[("PLANE_MAX", PLANE_MAX), ("SHEEN_FROM", SHEEN_FROM)];
