//! An adapter, as a list of devices shows it.

use serde::Serialize;

/// What an adapter is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum AdapterKind {
    /// A card with memory of its own.
    Discrete,
    /// Part of the processor, sharing its memory.
    Integrated,
    /// A part of a device lent by a host.
    Virtual,
    /// It does not say.
    Other,
    /// The processor, acting as a device.
    Software,
}

/// An adapter, as a list of devices shows it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct AdapterReport {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: AdapterKind,
    /// The interface by which it is reached: "vulkan", "metal", "dx12".
    pub interface: String,
    /// The driver and its version.
    pub driver: String,
    /// Most bytes of one binding.
    pub max_binding_bytes: u64,
    /// Most bytes of one buffer.
    pub max_buffer_bytes: u64,
    /// Buffers that one kernel may see.
    pub max_storage_buffers: u32,
    /// Whether work that must run on a device could run on it.
    pub chosen: bool,
    /// Whether the work can run on it at all.
    pub usable: bool,
    /// Why it is not used: by anything, or unless it is asked for.
    pub why_not: Option<String>,
}
