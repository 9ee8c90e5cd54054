//! The devices of this machine, and which of them can be used.
//!
//! In: part of an adapter's name, or nothing. Out: a list for people and programs; the adapter to use.

use velatura_shaders::render;
use wgpu::{Adapter, Backends, DeviceType, Instance, InstanceDescriptor, InstanceFlags, Limits};

use super::{AdapterKind, AdapterReport};

/// Smallest size of a binding in bytes: the row band of one row of the widest picture that is read (65,535 pixels) under 40
/// schemes. WebGPU's least is 128 MiB.
const LEAST_BINDING_BYTES: u64 = 65_536 / 4 * render::CODE_BYTES_PER_QUAD as u64 * 40;

/// Every adapter of this machine, the best first; `wanted` is part of a name, in any case.
#[must_use]
pub fn adapters(wanted: Option<&str>) -> Vec<AdapterReport> {
    let found = found();
    let chosen = choose(&found, wanted);
    found
        .iter()
        .enumerate()
        .map(|(index, adapter)| report(adapter, chosen == Some(index), wanted))
        .collect()
}

/// The adapter to use.
pub(super) fn chosen(wanted: Option<&str>) -> Option<Adapter> {
    let mut found = found();
    let index = choose(&found, wanted)?;
    Some(found.swap_remove(index))
}

fn found() -> Vec<Adapter> {
    let instance = Instance::new(InstanceDescriptor {
        // No validation by the driver: ours is done by the library, and the driver's needs further packages.
        flags: InstanceFlags::empty(),
        ..InstanceDescriptor::new_without_display_handle()
    });
    let mut found = pollster::block_on(instance.enumerate_adapters(Backends::PRIMARY));
    found.sort_by_key(|adapter| kind(adapter.get_info().device_type));
    found
}

fn choose(found: &[Adapter], wanted: Option<&str>) -> Option<usize> {
    found
        .iter()
        .position(|adapter| shortcoming(adapter).is_none() && is_wanted(adapter, wanted))
}

fn is_wanted(adapter: &Adapter, wanted: Option<&str>) -> bool {
    let name = adapter.get_info().name.to_lowercase();
    wanted.is_none_or(|wanted| name.contains(&wanted.to_lowercase()))
}

/// Why an adapter cannot be used at all.
fn shortcoming(adapter: &Adapter) -> Option<String> {
    let limits = adapter.limits();
    let buffers = u32::try_from(render::KERNEL.bindings.len()).unwrap_or(u32::MAX) - 1;
    let compute = wgpu::DownlevelFlags::COMPUTE_SHADERS;
    if !adapter.get_downlevel_capabilities().flags.contains(compute) {
        return Some("it cannot run compute shaders".to_owned());
    }
    if limits.max_storage_buffers_per_shader_stage < buffers {
        return Some(format!(
            "it allows {} buffers per kernel, but {buffers} are needed",
            limits.max_storage_buffers_per_shader_stage
        ));
    }
    let binding_bytes = binding_bytes(&limits);
    (binding_bytes < LEAST_BINDING_BYTES).then(|| {
        format!("it can bind {binding_bytes} bytes at once, but {LEAST_BINDING_BYTES} are needed")
    })
}

/// Most bytes that a buffer can have and a kernel can see.
pub(super) fn binding_bytes(limits: &Limits) -> u64 {
    limits
        .max_storage_buffer_binding_size
        .min(limits.max_buffer_size)
}

pub(super) fn kind(device_type: DeviceType) -> AdapterKind {
    match device_type {
        DeviceType::DiscreteGpu => AdapterKind::Discrete,
        DeviceType::IntegratedGpu => AdapterKind::Integrated,
        DeviceType::VirtualGpu => AdapterKind::Virtual,
        DeviceType::Other => AdapterKind::Other,
        DeviceType::Cpu => AdapterKind::Software,
    }
}

fn report(adapter: &Adapter, chosen: bool, wanted: Option<&str>) -> AdapterReport {
    let info = adapter.get_info();
    let limits = adapter.limits();
    let kind = kind(info.device_type);
    let shortcoming = shortcoming(adapter);
    let usable = shortcoming.is_none();
    let why_not = shortcoming.or_else(|| match (chosen, kind) {
        (true, AdapterKind::Software) => {
            Some("a software renderer: used only on request, never automatically".to_owned())
        }
        (true, _) => None,
        (false, _) if !is_wanted(adapter, wanted) => {
            Some("another adapter was requested".to_owned())
        }
        (false, _) => Some("another adapter comes first".to_owned()),
    });
    AdapterReport {
        name: info.name,
        kind,
        interface: info.backend.to_string(),
        driver: format!("{} {}", info.driver, info.driver_info)
            .trim()
            .to_owned(),
        max_binding_bytes: limits.max_storage_buffer_binding_size,
        max_buffer_bytes: limits.max_buffer_size,
        max_storage_buffers: limits.max_storage_buffers_per_shader_stage,
        chosen,
        usable,
        why_not,
    }
}
