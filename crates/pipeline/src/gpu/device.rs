//! A device that is open: its queue, its name, and the first thing that went wrong on it.
//!
//! Not here: which adapters there are (`adapters.rs`), row bands (`stream.rs`), a kernel on its own (`once.rs`).

use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use velatura_shaders::kernel::{Binding, Kernel};

use super::{AdapterKind, adapters};

/// Longest wait for a row band: far longer than needed, so that a hanging device does not block the work forever.
const LONGEST_WAIT: Duration = Duration::from_secs(120);

/// An open device.
#[derive(Debug)]
pub struct Gpu {
    pub(super) device: wgpu::Device,
    pub(super) queue: wgpu::Queue,
    name: String,
    kind: AdapterKind,
    fault: Arc<Mutex<Option<String>>>,
    #[cfg(feature = "cases")]
    injected: Mutex<Option<(InjectedFault, usize)>>,
}

/// A way in which a device can fail, for tests.
#[cfg(feature = "cases")]
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InjectedFault {
    /// It is gone.
    Lost,
    /// It has no memory left.
    OutOfMemory,
    /// It received an operation that is not allowed.
    Validation,
}

impl Gpu {
    /// Opens a device; `wanted` is part of its adapter's name.
    ///
    /// # Errors
    /// Why there is none, in a few words.
    pub fn open(wanted: Option<&str>) -> Result<Self, String> {
        let adapter = adapters::chosen(wanted).ok_or_else(|| match wanted {
            None => "there is no adapter".to_owned(),
            Some(wanted) => format!("no usable adapter is called \"{wanted}\""),
        })?;
        let info = adapter.get_info();
        let request = adapter.request_device(&wgpu::DeviceDescriptor {
            // All its limits and features: binding sizes above the common minimum, and timestamps for benchmarks.
            required_limits: adapter.limits(),
            required_features: adapter.features() & wgpu::Features::TIMESTAMP_QUERY,
            // Few large buffers: blocks for many small ones would double the memory.
            memory_hints: wgpu::MemoryHints::MemoryUsage,
            ..wgpu::DeviceDescriptor::default()
        });
        let (device, queue) = pollster::block_on(request)
            .map_err(|error| format!("{} cannot be opened: {error}", info.name))?;
        let fault: Arc<Mutex<Option<String>>> = Arc::default();
        let lost = Arc::clone(&fault);
        device.set_device_lost_callback(move |_, message| {
            note(&lost, with_reason("device lost", &message));
        });
        let failed = Arc::clone(&fault);
        device.on_uncaptured_error(Arc::new(move |error| note(&failed, in_words(&error))));
        Ok(Self {
            device,
            queue,
            name: info.name,
            kind: adapters::kind(info.device_type),
            fault,
            #[cfg(feature = "cases")]
            injected: Mutex::default(),
        })
    }

    /// The adapter's name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What the adapter is.
    #[must_use]
    pub fn kind(&self) -> AdapterKind {
        self.kind
    }

    /// The device and its queue, for measuring.
    #[cfg(feature = "cases")]
    #[must_use]
    pub fn parts(&self) -> (&wgpu::Device, &wgpu::Queue) {
        (&self.device, &self.queue)
    }

    /// Most bytes that a kernel can see at once.
    pub(crate) fn binding_bytes(&self) -> u64 {
        adapters::binding_bytes(&self.device.limits())
    }

    /// What went wrong first, if anything did; a device that failed once is not used again.
    #[must_use]
    pub fn fault(&self) -> Option<String> {
        let fault = self.fault.lock().unwrap_or_else(PoisonError::into_inner);
        fault.clone()
    }

    /// Makes sure that a device without results reports why.
    pub(super) fn settle_fault(&self) {
        // A lost device reports it on the next call, when all work in progress has ended.
        let polled = self.device.poll(wgpu::PollType::Wait {
            submission_index: None,
            timeout: Some(LONGEST_WAIT),
        });
        let why = match polled {
            Err(error) => error.to_string(),
            Ok(_) => "it returned no results".to_owned(),
        };
        note(&self.fault, why);
    }

    /// Makes the device fail at a row band, counted from 0 over all runs from now on; for tests.
    #[cfg(feature = "cases")]
    pub fn inject(&self, fault: InjectedFault, row_band: usize) {
        *self.injected.lock().unwrap_or_else(PoisonError::into_inner) = Some((fault, row_band));
    }

    /// Called before every row band; causes the faults that tests request.
    #[cfg(feature = "cases")]
    pub(super) fn meet_injected_fault(&self) {
        let mut injected = self.injected.lock().unwrap_or_else(PoisonError::into_inner);
        match injected.as_mut() {
            None => (),
            Some((_, left)) if *left > 0 => *left -= 1,
            Some((fault, _)) => {
                match fault {
                    InjectedFault::Lost => self.device.destroy(),
                    // What a driver says when it cannot allocate: really filling a device's memory would harm others.
                    InjectedFault::OutOfMemory => {
                        let source = Box::from("injected");
                        note(&self.fault, in_words(&wgpu::Error::OutOfMemory { source }));
                    }
                    InjectedFault::Validation => {
                        let buffer = self.buffer("too short", 16, wgpu::BufferUsages::COPY_DST);
                        self.queue.write_buffer(&buffer, 0, &[0; 32]);
                    }
                }
                *injected = None;
            }
        }
    }

    pub(super) fn buffer(
        &self,
        label: &str,
        bytes: u64,
        usage: wgpu::BufferUsages,
    ) -> wgpu::Buffer {
        self.device.create_buffer(&wgpu::BufferDescriptor {
            label: Some(label),
            // An empty binding is not allowed; copies use words.
            size: bytes.next_multiple_of(4).max(16),
            usage,
            mapped_at_creation: false,
        })
    }

    /// A buffer with these bytes.
    pub(super) fn filled(
        &self,
        label: &str,
        bytes: &[u8],
        usage: wgpu::BufferUsages,
    ) -> wgpu::Buffer {
        let whole = bytes.len() / 4 * 4;
        let buffer = self.buffer(
            label,
            bytes.len() as u64,
            usage | wgpu::BufferUsages::COPY_DST,
        );
        self.queue.write_buffer(&buffer, 0, &bytes[..whole]);
        if whole < bytes.len() {
            let mut last = [0; 4];
            last[..bytes.len() - whole].copy_from_slice(&bytes[whole..]);
            self.queue.write_buffer(&buffer, whole as u64, &last);
        }
        buffer
    }

    /// A compiled kernel, with the layout from its folder.
    pub(super) fn pipeline(&self, kernel: &Kernel, text: &str) -> wgpu::ComputePipeline {
        let entries: Vec<wgpu::BindGroupLayoutEntry> = (0..)
            .zip(kernel.bindings)
            .map(|(binding, bound)| wgpu::BindGroupLayoutEntry {
                binding,
                visibility: wgpu::ShaderStages::COMPUTE,
                ty: wgpu::BindingType::Buffer {
                    ty: match bound {
                        Binding::Uniform(_) => wgpu::BufferBindingType::Uniform,
                        Binding::Read(_) => wgpu::BufferBindingType::Storage { read_only: true },
                        Binding::Write(_) => wgpu::BufferBindingType::Storage { read_only: false },
                    },
                    has_dynamic_offset: false,
                    min_binding_size: None,
                },
                count: None,
            })
            .collect();
        let group = self
            .device
            .create_bind_group_layout(&wgpu::BindGroupLayoutDescriptor {
                label: Some(kernel.name),
                entries: &entries,
            });
        let layout = self
            .device
            .create_pipeline_layout(&wgpu::PipelineLayoutDescriptor {
                label: Some(kernel.name),
                bind_group_layouts: &[Some(&group)],
                immediate_size: 0,
            });
        let module = self
            .device
            .create_shader_module(wgpu::ShaderModuleDescriptor {
                label: Some(kernel.name),
                source: wgpu::ShaderSource::Wgsl(text.into()),
            });
        self.device
            .create_compute_pipeline(&wgpu::ComputePipelineDescriptor {
                label: Some(kernel.name),
                layout: Some(&layout),
                module: &module,
                entry_point: Some(kernel.name),
                compilation_options: wgpu::PipelineCompilationOptions::default(),
                cache: None,
            })
    }

    pub(super) fn bind_group(
        &self,
        pipeline: &wgpu::ComputePipeline,
        buffers: &[&wgpu::Buffer],
    ) -> wgpu::BindGroup {
        let entries: Vec<wgpu::BindGroupEntry<'_>> = (0..)
            .zip(buffers)
            .map(|(binding, buffer)| wgpu::BindGroupEntry {
                binding,
                resource: buffer.as_entire_binding(),
            })
            .collect();
        self.device.create_bind_group(&wgpu::BindGroupDescriptor {
            label: None,
            layout: &pipeline.get_bind_group_layout(0),
            entries: &entries,
        })
    }
}

/// Waits for a mapping; `None` if the device failed meanwhile.
pub(super) fn wait_for(
    gpu: &Gpu,
    submission: wgpu::SubmissionIndex,
    mapped: &std::sync::mpsc::Receiver<Result<(), wgpu::BufferAsyncError>>,
) -> Option<()> {
    let polled = gpu.device.poll(wgpu::PollType::Wait {
        submission_index: Some(submission),
        timeout: Some(LONGEST_WAIT),
    });
    if let Err(error) = polled {
        note(&gpu.fault, error.to_string());
    }
    if gpu.fault().is_some() {
        return None;
    }
    match mapped.try_recv() {
        Ok(Ok(())) => Some(()),
        _ => {
            note(&gpu.fault, "it did not return its results".to_owned());
            None
        }
    }
}

fn note(fault: &Mutex<Option<String>>, what: String) {
    let mut fault = fault.lock().unwrap_or_else(PoisonError::into_inner);
    fault.get_or_insert(what);
}

fn in_words(error: &wgpu::Error) -> String {
    match error {
        wgpu::Error::OutOfMemory { .. } => "out of device memory".to_owned(),
        wgpu::Error::Validation { description, .. } => with_reason("refused", description),
        wgpu::Error::Internal { description, .. } => with_reason("internal error", description),
    }
}

/// Adds the last line of a description, which is the cause.
fn with_reason(what: &str, description: &str) -> String {
    match description
        .lines()
        .map(str::trim)
        .rfind(|line| !line.is_empty())
    {
        None => what.to_owned(),
        Some(reason) => format!("{what} ({reason})"),
    }
}
