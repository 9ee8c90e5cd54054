//! What a device needs to know about a kernel: its text, its entry point and its bindings.
//!
//! Compared with the text by naga's reflection in `tests/reflection.rs`. Not here: any device.

/// The WGSL text of a kernel. All bindings are in group 0, numbered in the order of the list.
#[derive(Debug, Clone, Copy)]
pub struct Kernel {
    /// The entry point, and the folder's name.
    pub name: &'static str,
    /// WGSL.
    pub text: &'static str,
    /// The bindings.
    pub bindings: &'static [Binding],
    /// Invocations per workgroup, all along x.
    pub workgroup: u32,
    /// Numbers in the text that belong to a `mod.rs`.
    pub constants: &'static [(&'static str, f32)],
}

/// One binding.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Binding {
    /// A parameter struct of this many bytes.
    Uniform(usize),
    /// A list that is read; bytes per element.
    Read(usize),
    /// A list that is written, and may be read; bytes per element.
    Write(usize),
}

impl Kernel {
    /// Workgroups along x and y for a number of invocations; the text counts along x first.
    #[must_use]
    pub const fn workgroups(&self, invocations: u32) -> (u32, u32) {
        let groups = invocations.div_ceil(self.workgroup);
        let down = groups.div_ceil(MOST_GROUPS);
        if down <= 1 {
            (groups, 1)
        } else {
            (groups.div_ceil(down), down)
        }
    }
}

/// Workgroups that every device allows along one side (WebGPU's `maxComputeWorkgroupsPerDimension`).
const MOST_GROUPS: u32 = 65535;

/// Every kernel with a WGSL text.
pub const KERNELS: [Kernel; 6] = [
    crate::apply::KERNEL,
    crate::downscale::KERNEL,
    crate::finish::KERNEL,
    crate::pack::KERNEL,
    crate::render::KERNEL,
    crate::view::KERNEL,
];
