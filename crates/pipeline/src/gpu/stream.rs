//! Row bands through a device: while one is computed, the processor prepares the next and encodes the previous one.
//!
//! In: planes, tables and finishes of the schemes for the device. Out: 8-bit rows of all of them, one row band at a time. There
//! are two slots for row bands, so that upload, kernel and read-back of one overlap with the processor's work on the other. Not
//! here: what happens to a row band that the device failed at (`run.rs`).

use std::ops::Range;
use std::sync::mpsc;

use velatura_figure::Underpainting;
use velatura_shaders::apply::Tables;
use velatura_shaders::finish;
use velatura_shaders::pack::encode_words;
use velatura_shaders::render::{
    CODE_BYTES_PER_QUAD, KERNEL, PLANE_BYTES_PER_QUAD, Params, lay_out,
};
use wgpu::BufferUsages;

use super::DeviceScheme;
use super::device::{Gpu, wait_for};
use crate::planes::planes;

/// Device memory for the two row bands; reading them back needs the same amount of the processor's memory.
const ROW_BAND_BUDGET_BYTES: u64 = 64 << 20;

/// Row bands in progress at once.
const SLOTS: usize = 2;

/// The processing of a picture on the device.
pub(crate) struct Stream<'a> {
    gpu: &'a Gpu,
    underpainting: &'a Underpainting,
    schemes: usize,
    heads: u32,
    pipeline: wgpu::ComputePipeline,
    slots: Vec<Slot>,
}

struct Slot {
    params: wgpu::Buffer,
    planes: wgpu::Buffer,
    codes: wgpu::Buffer,
    back: wgpu::Buffer,
    group: wgpu::BindGroup,
    under_way: Option<UnderWay>,
}

struct UnderWay {
    rows: Range<usize>,
    submission: wgpu::SubmissionIndex,
    mapped: mpsc::Receiver<Result<(), wgpu::BufferAsyncError>>,
}

/// The codes of a row band, in memory that the device wrote.
pub(crate) struct DeviceRows {
    view: Option<wgpu::BufferView>,
    buffer: wgpu::Buffer,
    pixels: usize,
}

impl DeviceRows {
    /// The rows of a scheme; the index counts the device's schemes.
    pub(crate) fn rows(&self, scheme: usize) -> &[[u8; 3]] {
        let stride = self.pixels.div_ceil(4) * CODE_BYTES_PER_QUAD;
        let view: &[u8] = self.view.as_deref().unwrap_or_default();
        bytemuck::cast_slice(&view[scheme * stride..][..3 * self.pixels])
    }
}

impl Drop for DeviceRows {
    fn drop(&mut self) {
        // The view is dropped first: a buffer with a view cannot be unmapped.
        self.view = None;
        self.buffer.unmap();
    }
}

impl<'a> Stream<'a> {
    /// Tallest row band for a number of schemes, 0 if not even one row fits.
    pub(crate) fn tallest_row_band(gpu: &Gpu, width: usize, schemes: usize) -> usize {
        let quads_per_row = width.div_ceil(4).max(1);
        let plane_bytes = (quads_per_row * PLANE_BYTES_PER_QUAD) as u64;
        let code_bytes = (quads_per_row * CODE_BYTES_PER_QUAD * schemes) as u64;
        let by_binding = gpu.binding_bytes() / plane_bytes.max(code_bytes);
        let by_memory = ROW_BAND_BUDGET_BYTES / SLOTS as u64 / (plane_bytes + code_bytes);
        usize::try_from(by_binding.min(by_memory)).unwrap_or(usize::MAX)
    }

    /// Makes buffers for row bands of up to `row_band` rows, and puts tables and finishes on the device.
    pub(crate) fn new(
        gpu: &'a Gpu,
        underpainting: &'a Underpainting,
        schemes: &[DeviceScheme<'_>],
        row_band: usize,
    ) -> Self {
        let mut tables = Tables::default();
        for scheme in schemes {
            tables.push(&scheme.tables);
        }
        let finishes: Vec<finish::Params> = schemes.iter().map(|scheme| scheme.finish).collect();
        let pipeline = gpu.pipeline(&KERNEL, KERNEL.text);
        let constant = |label, bytes: &[u8]| gpu.filled(label, bytes, BufferUsages::STORAGE);
        let entries = constant("tables", bytemuck::cast_slice(&tables.entries));
        let heads = constant("heads", bytemuck::cast_slice(&tables.heads));
        let finishes = constant("finishes", bytemuck::cast_slice(&finishes));
        let encode = constant("encode", bytemuck::cast_slice(encode_words()));

        let quads = (underpainting.subject.width as usize * row_band).div_ceil(4);
        let slots = (0..SLOTS)
            .map(|_| {
                let params = gpu.buffer(
                    "params",
                    size_of::<Params>() as u64,
                    BufferUsages::UNIFORM | BufferUsages::COPY_DST,
                );
                let planes = gpu.buffer(
                    "planes",
                    (quads * PLANE_BYTES_PER_QUAD) as u64,
                    BufferUsages::STORAGE | BufferUsages::COPY_DST,
                );
                let code_bytes = (quads * CODE_BYTES_PER_QUAD * schemes.len()) as u64;
                let codes = gpu.buffer(
                    "codes",
                    code_bytes,
                    BufferUsages::STORAGE | BufferUsages::COPY_SRC,
                );
                let back = gpu.buffer(
                    "read back",
                    code_bytes,
                    BufferUsages::MAP_READ | BufferUsages::COPY_DST,
                );
                let group = gpu.bind_group(
                    &pipeline,
                    &[
                        &params, &planes, &entries, &heads, &finishes, &encode, &codes,
                    ],
                );
                Slot {
                    params,
                    planes,
                    codes,
                    back,
                    group,
                    under_way: None,
                }
            })
            .collect();
        Self {
            gpu,
            underpainting,
            schemes: schemes.len(),
            heads: u32::try_from(underpainting.subject.regions.len() + 1).unwrap_or(u32::MAX),
            pipeline,
            slots,
        }
    }

    /// The codes of row band `index`, while the next one is in progress; `None` once the device has failed.
    pub(crate) fn row_band(
        &mut self,
        index: usize,
        row_bands: &[Range<usize>],
    ) -> Option<DeviceRows> {
        let codes = self.send_ahead(index, row_bands);
        let codes = codes.and_then(|()| self.collect(index % SLOTS));
        if codes.is_none() {
            self.gpu.settle_fault();
        }
        codes
    }

    fn send_ahead(&mut self, index: usize, row_bands: &[Range<usize>]) -> Option<()> {
        for (ahead, rows) in row_bands.iter().enumerate().skip(index).take(SLOTS) {
            if self.slots[ahead % SLOTS].under_way.is_none() {
                self.send(ahead % SLOTS, rows.clone())?;
            }
        }
        Some(())
    }

    fn send(&mut self, slot: usize, rows: Range<usize>) -> Option<()> {
        let Self {
            gpu, underpainting, ..
        } = *self;
        #[cfg(feature = "cases")]
        gpu.meet_injected_fault();
        let width = underpainting.subject.width as usize;
        let pixels = rows.start * width..rows.end * width;
        let quads = pixels.len().div_ceil(4);
        let slot = &mut self.slots[slot];
        let params = Params {
            quads: u32::try_from(quads).unwrap_or(0),
            schemes: u32::try_from(self.schemes).unwrap_or(0),
            heads: self.heads,
            light_unit: underpainting.light_unit,
        };
        gpu.queue
            .write_buffer(&slot.params, 0, bytemuck::bytes_of(&params));
        let plane_bytes = std::num::NonZero::new((quads * PLANE_BYTES_PER_QUAD) as u64)?;
        let mut upload = gpu.queue.write_buffer_with(&slot.planes, 0, plane_bytes)?;
        lay_out(
            &planes(underpainting).slice(pixels.clone()),
            &underpainting.subject.photo[pixels],
            |at, bytes| upload.slice(at..at + bytes.len()).copy_from_slice(bytes),
        );
        drop(upload);

        let mut commands = gpu
            .device
            .create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
        {
            let mut pass = commands.begin_compute_pass(&wgpu::ComputePassDescriptor::default());
            pass.set_pipeline(&self.pipeline);
            pass.set_bind_group(0, &slot.group, &[]);
            let (across, down) = KERNEL.workgroups(params.quads);
            pass.dispatch_workgroups(across, down, 1);
        }
        let code_bytes = (quads * CODE_BYTES_PER_QUAD * self.schemes) as u64;
        commands.copy_buffer_to_buffer(&slot.codes, 0, &slot.back, 0, code_bytes);
        let submission = gpu.queue.submit([commands.finish()]);
        let (tell, mapped) = mpsc::channel();
        slot.back
            .map_async(wgpu::MapMode::Read, 0..code_bytes, move |result| {
                // If the device has failed, nobody waits any more.
                let _ = tell.send(result);
            });
        slot.under_way = Some(UnderWay {
            rows,
            submission,
            mapped,
        });
        gpu.fault().is_none().then_some(())
    }

    fn collect(&mut self, slot: usize) -> Option<DeviceRows> {
        let slot = &mut self.slots[slot];
        let UnderWay {
            rows,
            submission,
            mapped,
        } = slot.under_way.take()?;
        wait_for(self.gpu, submission, &mapped)?;
        let pixels = rows.len() * self.underpainting.subject.width as usize;
        let code_bytes = (pixels.div_ceil(4) * CODE_BYTES_PER_QUAD * self.schemes) as u64;
        let view = slot.back.get_mapped_range(0..code_bytes).ok()?;
        Some(DeviceRows {
            view: Some(view),
            buffer: slot.back.clone(),
            pixels,
        })
    }
}
