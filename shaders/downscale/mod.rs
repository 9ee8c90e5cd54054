//! A smaller picture, averaged in linear light. See `README.md` in this folder.

#[cfg(feature = "cases")]
pub mod cases;
pub mod twin;

use bytemuck::{Pod, Zeroable};

use crate::kernel::{Binding, Kernel};
use crate::pack;

/// Uniforms of the WGSL kernel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Pod, Zeroable)]
#[repr(C)]
pub struct Params {
    /// Pixels per row of the picture.
    pub width: u32,
    /// Pixels per side of a block.
    pub factor: u32,
    /// Pixels per row of the smaller picture.
    pub smaller_width: u32,
    /// Pixels of the smaller picture.
    pub smaller_pixels: u32,
}

/// The WGSL text.
pub const KERNEL: Kernel = Kernel {
    name: "downscale",
    text: concat!(
        include_str!("../pack/function.wgsl"),
        include_str!("kernel.wgsl")
    ),
    bindings: &[
        Binding::Uniform(size_of::<Params>()),
        Binding::Read(4),
        Binding::Read(4),
        Binding::Read(4),
        Binding::Write(4),
    ],
    workgroup: 64,
    constants: pack::CONSTANTS,
};
