//! One kernel over whole buffers, once: for parity tests and small pictures.

use std::sync::mpsc;

use velatura_shaders::kernel::{Binding, Kernel};
use wgpu::BufferUsages;

use super::device::{Gpu, wait_for};

impl Gpu {
    /// Runs a kernel, or another text in its place, on `buffers` (one per binding) and returns the last one.
    ///
    /// # Errors
    /// What went wrong on the device.
    ///
    /// # Panics
    /// If the numbers of buffers and bindings differ.
    pub fn run_once(
        &self,
        kernel: &Kernel,
        text: &str,
        buffers: &[&[u8]],
        invocations: u32,
    ) -> Result<Vec<u8>, String> {
        assert_eq!(
            buffers.len(),
            kernel.bindings.len(),
            "one buffer per binding"
        );
        let bound: Vec<wgpu::Buffer> = buffers
            .iter()
            .zip(kernel.bindings)
            .map(|(bytes, binding)| {
                let usage = match binding {
                    Binding::Uniform(_) => BufferUsages::UNIFORM,
                    Binding::Read(_) => BufferUsages::STORAGE,
                    Binding::Write(_) => BufferUsages::STORAGE | BufferUsages::COPY_SRC,
                };
                self.filled(kernel.name, bytes, usage)
            })
            .collect();
        let Some(output) = bound.last() else {
            return Ok(Vec::new());
        };
        let back = self.buffer(
            "read back",
            output.size(),
            BufferUsages::MAP_READ | BufferUsages::COPY_DST,
        );
        let pipeline = self.pipeline(kernel, text);
        let group = self.bind_group(&pipeline, &bound.iter().collect::<Vec<_>>());
        let mut commands = self
            .device
            .create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
        {
            let mut pass = commands.begin_compute_pass(&wgpu::ComputePassDescriptor::default());
            pass.set_pipeline(&pipeline);
            pass.set_bind_group(0, &group, &[]);
            let (across, down) = kernel.workgroups(invocations);
            pass.dispatch_workgroups(across, down, 1);
        }
        commands.copy_buffer_to_buffer(output, 0, &back, 0, output.size());
        let submission = self.queue.submit([commands.finish()]);
        let (tell, mapped) = mpsc::channel();
        back.map_async(wgpu::MapMode::Read, .., move |result| {
            // If the device has failed, nobody waits any more.
            let _ = tell.send(result);
        });
        let failed = || self.fault().unwrap_or_else(|| "no results".to_owned());
        wait_for(self, submission, &mapped).ok_or_else(failed)?;
        let view = back
            .get_mapped_range(..)
            .map_err(|error| error.to_string())?;
        let length = buffers.last().map_or(0, |bytes| bytes.len());
        Ok(view[..length].to_vec())
    }
}
