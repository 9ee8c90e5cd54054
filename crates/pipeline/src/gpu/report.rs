//! An adapter, as a list of devices shows it.

use serde::Serialize;

/// The kind of an adapter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum AdapterKind {
    /// A card with its own memory.
    Discrete,
    /// Part of the processor, sharing its memory.
    Integrated,
    /// A virtual device of a host.
    Virtual,
    /// Unknown.
    Other,
    /// The processor, acting as a device.
    Software,
}

/// An adapter, as a list of devices shows it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct AdapterReport {
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: AdapterKind,
    /// Its graphics interface: "vulkan", "metal", "dx12".
    pub interface: String,
    /// The driver and its version.
    pub driver: String,
    /// Most bytes of one binding.
    pub max_binding_bytes: u64,
    /// Most bytes of one buffer.
    pub max_buffer_bytes: u64,
    /// Buffers that one kernel may see.
    pub max_storage_buffers: u32,
    /// Whether work that requires a device can run on it.
    pub chosen: bool,
    /// Whether the work can run on it at all.
    pub usable: bool,
    /// Why it is never used, or only on request.
    pub why_not: Option<String>,
}
