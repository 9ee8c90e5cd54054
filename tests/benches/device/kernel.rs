//! The kernel alone, with planes and tables in buffers or in textures, compared with a copy of the same bytes.

use std::time::{Duration, Instant};

use velatura_pipeline::figure::Underpainting;
use velatura_pipeline::gpu::Gpu;
use velatura_pipeline::shaders::pack::encode_words;
use velatura_pipeline::shaders::{apply, finish, render};
use velatura_pipeline::{PlannedScheme, planes};
use wgpu::util::DeviceExt;
use wgpu::{BindingResource, BufferUsages};

/// Number of batches; the median counts.
const BATCHES: usize = 5;

/// Dispatches of a batch: enough for tens of milliseconds on a fast card.
const PER_BATCH: usize = 20;

/// How long to warm up.
const WARM_UP: Duration = Duration::from_millis(200);

/// Most bytes of codes of one dispatch.
const CODE_BYTES: u64 = 1 << 30;

/// The place of something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Store {
    Buffer,
    Texture,
}

/// Texels per row of a texture used as a list.
const TEXELS: u32 = 8192;

/// The kernel's text with its planes or tables in textures.
fn text(planes: Store, tables: Store) -> String {
    let mut text = render::KERNEL.text.to_owned();
    let mut change = |from: &str, to: &str| {
        assert!(text.contains(from), "the kernel has no {from}");
        text = text.replacen(from, to, 1);
    };
    if planes == Store::Texture {
        change(
            "var<storage, read> planes: array<u32>",
            "var planes: texture_2d<u32>",
        );
        change(
            "planes[index]",
            "textureLoad(planes, vec2u(index % 8192u, index / 8192u), 0).x",
        );
    }
    if tables == Store::Texture {
        change(
            "var<storage, read> tables: array<vec4f>",
            "var tables: texture_2d<f32>",
        );
        change(
            "tables[index]",
            "textureLoad(tables, vec2u(index % 8192u, index / 8192u), 0)",
        );
    }
    text
}

struct Held {
    buffer: Option<wgpu::Buffer>,
    view: Option<wgpu::TextureView>,
}

impl Held {
    fn new(gpu: &Gpu, store: Store, bytes: &[u8], format: wgpu::TextureFormat) -> Self {
        let (device, queue) = gpu.parts();
        if store == Store::Buffer {
            let buffer = device.create_buffer_init(&wgpu::util::BufferInitDescriptor {
                label: None,
                contents: bytes,
                usage: BufferUsages::STORAGE,
            });
            return Self {
                buffer: Some(buffer),
                view: None,
            };
        }
        let row_bytes = TEXELS * format.block_copy_size(None).expect("a plain format");
        let rows = (bytes.len() as u32).div_ceil(row_bytes);
        let mut whole = bytes.to_vec();
        whole.resize((rows * row_bytes) as usize, 0);
        let texture = device.create_texture_with_data(
            queue,
            &wgpu::TextureDescriptor {
                label: None,
                size: wgpu::Extent3d {
                    width: TEXELS,
                    height: rows,
                    depth_or_array_layers: 1,
                },
                mip_level_count: 1,
                sample_count: 1,
                dimension: wgpu::TextureDimension::D2,
                format,
                usage: wgpu::TextureUsages::TEXTURE_BINDING,
                view_formats: &[],
            },
            wgpu::util::TextureDataOrder::LayerMajor,
            &whole,
        );
        Self {
            buffer: None,
            view: Some(texture.create_view(&wgpu::TextureViewDescriptor::default())),
        }
    }

    fn resource(&self) -> BindingResource<'_> {
        match (&self.buffer, &self.view) {
            (Some(buffer), _) => buffer.as_entire_binding(),
            (None, Some(view)) => BindingResource::TextureView(view),
            (None, None) => unreachable!("one of them is made"),
        }
    }
}

/// Prints kernel times and the copy's for a picture.
pub(crate) fn measure(
    gpu: &Gpu,
    underpainting: &Underpainting,
    planned: &[PlannedScheme],
    megapixels: usize,
) {
    let (device, _) = gpu.parts();
    let limits = device.limits();
    let most = limits
        .max_storage_buffer_binding_size
        .min(limits.max_buffer_size);
    let bytes_per_quad = (render::CODE_BYTES_PER_QUAD * planned.len()) as u64;
    let all_quads = underpainting.subject.region.len() / 4;
    let quads = all_quads.min((most.min(CODE_BYTES) / bytes_per_quad) as usize);
    let dispatches = all_quads as f64 / quads as f64;
    let moved = quads as u64 * (render::PLANE_BYTES_PER_QUAD as u64 + bytes_per_quad);

    let copy_ms = copied(gpu, moved / 2) * dispatches;
    let rate = |ms: f64| moved as f64 * dispatches / ms / 1e6;
    println!(
        "{megapixels:4} MP  copy of the same bytes        {copy_ms:9.3} ms  {:7.1} GB/s",
        rate(copy_ms)
    );
    for (planes, tables) in [
        (Store::Buffer, Store::Buffer),
        (Store::Buffer, Store::Texture),
        (Store::Texture, Store::Buffer),
        (Store::Texture, Store::Texture),
    ] {
        let ms = kernel(gpu, underpainting, planned, quads, planes, tables) * dispatches;
        println!(
            "{megapixels:4} MP  planes {planes:?}, tables {tables:?}  {ms:9.3} ms  {:7.1} GB/s  {:3.0} % of the copy",
            rate(ms),
            100.0 * copy_ms / ms
        );
    }
    assert_eq!(gpu.fault(), None, "the device works");
}

/// Milliseconds of one dispatch over the first `quads` quads of a picture.
fn kernel(
    gpu: &Gpu,
    underpainting: &Underpainting,
    planned: &[PlannedScheme],
    quads: usize,
    planes_in: Store,
    tables_in: Store,
) -> f64 {
    let (device, _) = gpu.parts();
    let init = |bytes: &[u8], usage| {
        device.create_buffer_init(&wgpu::util::BufferInitDescriptor {
            label: None,
            contents: bytes,
            usage,
        })
    };
    let mut tables = apply::Tables::default();
    for scheme in planned {
        tables.push(&scheme.views());
    }
    let mut plane_bytes = vec![0; quads * render::PLANE_BYTES_PER_QUAD];
    render::lay_out(
        &planes(underpainting).slice(0..4 * quads),
        &underpainting.subject.photo[..4 * quads],
        |at, bytes| plane_bytes[at..at + bytes.len()].copy_from_slice(bytes),
    );
    let params = render::Params {
        quads: quads as u32,
        schemes: planned.len() as u32,
        heads: underpainting.subject.regions.len() as u32 + 1,
        light_unit: underpainting.light_unit,
    };
    let finishes: Vec<finish::Params> = planned.iter().map(|_| finish::Params::MATTE).collect();
    let params = init(bytemuck::bytes_of(&params), BufferUsages::UNIFORM);
    let held_planes = Held::new(gpu, planes_in, &plane_bytes, wgpu::TextureFormat::R32Uint);
    let held_tables = Held::new(
        gpu,
        tables_in,
        bytemuck::cast_slice(&tables.entries),
        wgpu::TextureFormat::Rgba32Float,
    );
    let places = init(bytemuck::cast_slice(&tables.heads), BufferUsages::STORAGE);
    let finishes = init(bytemuck::cast_slice(&finishes), BufferUsages::STORAGE);
    let encode = init(bytemuck::cast_slice(encode_words()), BufferUsages::STORAGE);
    let codes = device.create_buffer(&wgpu::BufferDescriptor {
        label: None,
        size: (quads * render::CODE_BYTES_PER_QUAD * planned.len()) as u64,
        usage: BufferUsages::STORAGE,
        mapped_at_creation: false,
    });
    let pipeline = pipeline(gpu, &text(planes_in, tables_in), render::KERNEL.name);
    let resources = [
        params.as_entire_binding(),
        held_planes.resource(),
        held_tables.resource(),
        places.as_entire_binding(),
        finishes.as_entire_binding(),
        encode.as_entire_binding(),
        codes.as_entire_binding(),
    ];
    let entries: Vec<wgpu::BindGroupEntry<'_>> = (0..)
        .zip(resources)
        .map(|(binding, resource)| wgpu::BindGroupEntry { binding, resource })
        .collect();
    let group = device.create_bind_group(&wgpu::BindGroupDescriptor {
        label: None,
        layout: &pipeline.get_bind_group_layout(0),
        entries: &entries,
    });
    let (across, down) = render::KERNEL.workgroups(quads as u32);
    batches(gpu, |commands| {
        dispatch(commands, &pipeline, &group, (across, down))
    })
}

/// A copy by a kernel: 16 bytes per invocation.
const COPY: &str = "
@group(0) @binding(0) var<storage, read> from_here: array<vec4u>;
@group(0) @binding(1) var<storage, read_write> to_there: array<vec4u>;

@compute @workgroup_size(256)
fn copy(@builtin(global_invocation_id) id: vec3u, @builtin(num_workgroups) groups: vec3u) {
    let at = id.x + id.y * groups.x * 256u;
    if at < arrayLength(&to_there) {
        to_there[at] = from_here[at];
    }
}";

/// Milliseconds of a copy of this many bytes from one buffer to another: the faster of the queue's command and a kernel.
fn copied(gpu: &Gpu, bytes: u64) -> f64 {
    let (device, queue) = gpu.parts();
    let bytes = bytes / 16 * 16;
    let buffer = || {
        device.create_buffer(&wgpu::BufferDescriptor {
            label: None,
            size: bytes,
            usage: BufferUsages::COPY_SRC | BufferUsages::COPY_DST | BufferUsages::STORAGE,
            mapped_at_creation: false,
        })
    };
    let (from, to) = (buffer(), buffer());
    // Not zeros: a card may copy those faster.
    let piece: Vec<u8> = (0..1_u32 << 24)
        .map(|i| (i.wrapping_mul(2_654_435_761) >> 24) as u8)
        .collect();
    for at in (0..bytes).step_by(piece.len()) {
        let length = (bytes - at).min(piece.len() as u64) as usize;
        queue.write_buffer(&from, at, &piece[..length]);
    }
    let by_command = batches(gpu, |commands| {
        commands.copy_buffer_to_buffer(&from, 0, &to, 0, bytes);
    });
    let pipeline = pipeline(gpu, COPY, "copy");
    let entries: Vec<wgpu::BindGroupEntry<'_>> = (0..)
        .zip([&from, &to])
        .map(|(binding, buffer)| wgpu::BindGroupEntry {
            binding,
            resource: buffer.as_entire_binding(),
        })
        .collect();
    let group = device.create_bind_group(&wgpu::BindGroupDescriptor {
        label: None,
        layout: &pipeline.get_bind_group_layout(0),
        entries: &entries,
    });
    let groups = (bytes / 16).div_ceil(256) as u32;
    let down = groups.div_ceil(65_535);
    let by_kernel = batches(gpu, |commands| {
        dispatch(commands, &pipeline, &group, (groups.div_ceil(down), down));
    });
    by_command.min(by_kernel)
}

fn pipeline(gpu: &Gpu, text: &str, entry_point: &str) -> wgpu::ComputePipeline {
    let (device, _) = gpu.parts();
    let module = device.create_shader_module(wgpu::ShaderModuleDescriptor {
        label: None,
        source: wgpu::ShaderSource::Wgsl(text.into()),
    });
    device.create_compute_pipeline(&wgpu::ComputePipelineDescriptor {
        label: None,
        layout: None,
        module: &module,
        entry_point: Some(entry_point),
        compilation_options: wgpu::PipelineCompilationOptions::default(),
        cache: None,
    })
}

fn dispatch(
    commands: &mut wgpu::CommandEncoder,
    pipeline: &wgpu::ComputePipeline,
    group: &wgpu::BindGroup,
    (across, down): (u32, u32),
) {
    let mut pass = commands.begin_compute_pass(&wgpu::ComputePassDescriptor::default());
    pass.set_pipeline(pipeline);
    pass.set_bind_group(0, group, &[]);
    pass.dispatch_workgroups(across, down, 1);
}

/// Milliseconds of one of what `record` puts into the commands: the median of several batches.
fn batches(gpu: &Gpu, record: impl Fn(&mut wgpu::CommandEncoder)) -> f64 {
    let (device, queue) = gpu.parts();
    // Software takes a second where a card takes a millisecond.
    let per_batch = match gpu.kind() {
        velatura_pipeline::gpu::AdapterKind::Software => 1,
        _ => PER_BATCH,
    };
    let batch = || {
        let mut commands =
            device.create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
        for _ in 0..per_batch {
            record(&mut commands);
        }
        let commands = commands.finish();
        let began = Instant::now();
        queue.submit([commands]);
        device
            .poll(wgpu::PollType::wait_indefinitely())
            .expect("a device that works");
        began.elapsed().as_secs_f64() * 1e3 / per_batch as f64
    };
    // Cards raise their clocks only under load.
    let began = Instant::now();
    while {
        batch();
        began.elapsed() < WARM_UP
    } {}
    let mut times: Vec<f64> = (0..BATCHES).map(|_| batch()).collect();
    times.sort_by(f64::total_cmp);
    times[BATCHES / 2]
}
