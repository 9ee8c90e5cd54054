//! The work of a device on a row band: apply, finish and pack in one pass. See `README.md` in this folder.

#[cfg(feature = "cases")]
pub mod cases;

use bytemuck::{Pod, Zeroable};

use crate::kernel::{Binding, Kernel};
use crate::{Pixel, Planes, apply, finish, pack};

/// Uniforms of the WGSL kernel.
#[derive(Debug, Clone, Copy, PartialEq, Pod, Zeroable)]
#[repr(C)]
pub struct Params {
    /// Pixels of the row band, four at a time, the last four filled up.
    pub quads: u32,
    /// Schemes.
    pub schemes: u32,
    /// Places of a scheme: one more than there are regions.
    pub heads: u32,
    /// Light per unit of the light plane.
    pub light_unit: f32,
}

/// Bytes that four pixels take in the planes' buffer: 16-bit substrate, relief and light, region, photo.
pub const PLANE_BYTES_PER_QUAD: usize = 40;

/// Bytes that four pixels of one scheme take among the codes.
pub const CODE_BYTES_PER_QUAD: usize = 12;

/// Writes planes and photo of some pixels one after the other, each part filled up to four pixels.
///
/// `write` is called with a byte offset and the bytes that are there, the parts in order.
pub fn lay_out(planes: &Planes<'_>, photo: &[[u8; 3]], mut write: impl FnMut(usize, &[u8])) {
    let quads = planes.len().div_ceil(4);
    // Devices read words with the lowest byte first, like the machines they are in.
    write(0, bytemuck::cast_slice(planes.substrate));
    write(8 * quads, bytemuck::cast_slice(planes.relief));
    write(16 * quads, bytemuck::cast_slice(planes.light));
    write(24 * quads, planes.region);
    write(28 * quads, photo.as_flattened());
}

/// The WGSL text.
pub const KERNEL: Kernel = Kernel {
    name: "render",
    text: concat!(
        include_str!("../apply/function.wgsl"),
        include_str!("../finish/function.wgsl"),
        include_str!("../pack/function.wgsl"),
        include_str!("kernel.wgsl")
    ),
    bindings: &[
        Binding::Uniform(size_of::<Params>()),
        Binding::Read(4),
        Binding::Read(size_of::<Pixel>()),
        Binding::Read(size_of::<apply::TableHead>()),
        Binding::Read(size_of::<finish::Params>()),
        Binding::Read(4),
        Binding::Write(4),
    ],
    workgroup: 64,
    constants: &[
        apply::CONSTANTS[0],
        finish::CONSTANTS[0],
        finish::CONSTANTS[1],
        pack::CONSTANTS[0],
        pack::CONSTANTS[1],
    ],
};
