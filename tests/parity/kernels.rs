//! The cases of every kernel through twin and device, and again with one constant of the text moved.

use bytemuck::{bytes_of, cast_slice};
use velatura_pipeline::gpu::Gpu;
use velatura_shaders::apply::{self, Tables};
use velatura_shaders::kernel::Kernel;
use velatura_shaders::pack::{encode_words, twin::pack};
use velatura_shaders::{Pixel, downscale, finish, pack, render, view};

use crate::{Apart, largest_difference};

fn count(length: usize) -> u32 {
    u32::try_from(length).unwrap()
}

/// The text with one thing changed.
fn moved(kernel: &Kernel, (from, to): (&str, &str)) -> String {
    assert!(kernel.text.contains(from), "{}: no {from:?}", kernel.name);
    kernel.text.replacen(from, to, 1)
}

/// What the output contains before: a kernel that writes nothing must not pass.
const UNWRITTEN: f32 = -77.0;

fn pixels(bytes: &[u8]) -> Vec<Pixel> {
    bytemuck::pod_collect_to_vec(bytes)
}

/// A word per pixel, red in the lowest byte, as codes.
fn codes(bytes: &[u8]) -> Vec<[u8; 3]> {
    bytes
        .chunks_exact(4)
        .map(|word| [word[0], word[1], word[2]])
        .collect()
}

fn applied(gpu: &Gpu, text: &str, case: &apply::cases::Case) -> Vec<Pixel> {
    let mut tables = Tables::default();
    for scheme in 0..case.schemes.len() {
        tables.push(&case.views(scheme));
    }
    let planes: Vec<[u32; 4]> = (0..case.region.len())
        .map(|at| {
            [
                u32::from(case.substrate[at]),
                u32::from(case.relief[at]),
                u32::from(case.light[at]),
                u32::from(case.region[at]),
            ]
        })
        .collect();
    let params = apply::Params {
        pixels: count(planes.len()),
        schemes: count(case.schemes.len()),
        heads: count(case.schemes[0].len() + 1),
        light_unit: case.light_unit,
    };
    let unwritten = vec![[UNWRITTEN; 4]; planes.len() * case.schemes.len()];
    let buffers: [&[u8]; 5] = [
        bytes_of(&params),
        cast_slice(&planes),
        cast_slice(&tables.entries),
        cast_slice(&tables.heads),
        cast_slice(&unwritten),
    ];
    pixels(
        &gpu.run_once(&apply::KERNEL, text, &buffers, params.pixels)
            .unwrap(),
    )
}

pub(crate) fn apply_is_the_same_on_both(gpu: Gpu) {
    let worst = |text: &str| {
        let cases = apply::cases::cases();
        assert!(cases.len() >= 13);
        cases.iter().fold(0.0_f32, |worst, case| {
            let mut twin = vec![[UNWRITTEN; 4]; case.region.len() * case.schemes.len()];
            for (scheme, out) in twin.chunks_exact_mut(case.region.len()).enumerate() {
                apply::twin::apply(&case.planes(), &case.views(scheme), out);
            }
            worst.max(largest_difference(&applied(&gpu, text, case), &twin))
        })
    };
    let found = worst(apply::KERNEL.text);
    println!("{}: apply, largest difference {found:.1e}", gpu.name());
    assert!(found <= apply::cases::TOLERANCE, "{found}");
    assert!(worst(&moved(&apply::KERNEL, apply::cases::MUST_FAIL)) > apply::cases::TOLERANCE);
}

pub(crate) fn finish_is_the_same_on_both(gpu: Gpu) {
    let light_unit = finish::cases::LIGHT_UNIT;
    let worst = |text: &str| {
        let cases = finish::cases::cases();
        assert!(cases.len() >= 25);
        cases.iter().fold(0.0_f32, |worst, case| {
            let mut twin = case.frame.clone();
            let region = vec![1; case.frame.len()];
            let planes = velatura_shaders::Planes {
                substrate: &case.relief,
                relief: &case.relief,
                light: &case.light,
                region: &region,
                light_unit,
            };
            finish::twin::finish(&case.params, &planes, &mut twin);
            let planes: Vec<[f32; 2]> = (case.relief.iter().zip(&case.light))
                .map(|(relief, light)| [f32::from(*relief), f32::from(*light) * light_unit])
                .collect();
            let buffers: [&[u8]; 3] = [
                bytes_of(&case.params),
                cast_slice(&planes),
                cast_slice(&case.frame),
            ];
            let out = gpu.run_once(&finish::KERNEL, text, &buffers, count(planes.len()));
            worst.max(largest_difference(&pixels(&out.unwrap()), &twin))
        })
    };
    let found = worst(finish::KERNEL.text);
    println!("{}: finish, largest difference {found:.1e}", gpu.name());
    assert!(found <= finish::cases::TOLERANCE, "{found}");
    assert!(worst(&moved(&finish::KERNEL, finish::cases::MUST_FAIL)) > finish::cases::TOLERANCE);
}

pub(crate) fn pack_is_the_same_on_both(gpu: Gpu) {
    let worst = |text: &str| {
        let cases = pack::cases::cases();
        assert!(cases.len() >= 7);
        cases.iter().fold(Apart::default(), |apart, case| {
            let mut twin = vec![[0; 3]; case.frame.len()];
            pack(&case.frame, &case.photo, &mut twin);
            let photo: Vec<[u8; 4]> = case.photo.iter().map(|[r, g, b]| [*r, *g, *b, 0]).collect();
            let unwritten = vec![0xdead_beef_u32; photo.len()];
            let buffers: [&[u8]; 4] = [
                cast_slice(&case.frame),
                cast_slice(&photo),
                cast_slice(encode_words()),
                cast_slice(&unwritten),
            ];
            let out = gpu.run_once(&pack::KERNEL, text, &buffers, count(photo.len()));
            apart.and(Apart::between(&codes(&out.unwrap()), &twin))
        })
    };
    let found = worst(pack::KERNEL.text);
    println!("{}: pack, {found:?}", gpu.name());
    assert!(found.within(pack::cases::SHARE), "{found:?}");
    assert!(!worst(&moved(&pack::KERNEL, pack::cases::MUST_FAIL)).within(pack::cases::SHARE));
}

pub(crate) fn downscale_is_the_same_on_both(gpu: Gpu) {
    let worst = |text: &str| {
        let cases = downscale::cases::cases();
        assert!(cases.len() >= 11);
        cases.iter().fold(Apart::default(), |apart, case| {
            let twin = downscale::twin::downscale(&case.picture, case.width, case.factor);
            let params = downscale::Params {
                width: count(case.width),
                factor: count(case.factor),
                smaller_width: count(case.width / case.factor),
                smaller_pixels: count(twin.len()),
            };
            let unwritten = vec![0xdead_beef_u32; twin.len()];
            let buffers: [&[u8]; 5] = [
                bytes_of(&params),
                case.picture.as_flattened(),
                cast_slice(downscale::twin::decode_table()),
                cast_slice(encode_words()),
                cast_slice(&unwritten),
            ];
            let out = gpu.run_once(&downscale::KERNEL, text, &buffers, params.smaller_pixels);
            apart.and(Apart::between(&codes(&out.unwrap()), &twin))
        })
    };
    let found = worst(downscale::KERNEL.text);
    println!("{}: downscale, {found:?}", gpu.name());
    assert!(found.within(downscale::cases::SHARE), "{found:?}");
    let must_fail = moved(&downscale::KERNEL, downscale::cases::MUST_FAIL);
    assert!(!worst(&must_fail).within(downscale::cases::SHARE));
}

/// Both passes of a view on a device.
fn viewed(gpu: &Gpu, text: &str, case: &view::cases::Case) -> Vec<Pixel> {
    let pass = |axis: &view::Axis, params: view::Params, frame: &[Pixel]| {
        let unwritten = vec![[UNWRITTEN; 4]; axis.seen() * params.lines as usize];
        let buffers: [&[u8]; 5] = [
            bytes_of(&params),
            cast_slice(&axis.starts),
            cast_slice(&axis.weights),
            cast_slice(frame),
            cast_slice(&unwritten),
        ];
        let out = gpu.run_once(&view::KERNEL, text, &buffers, count(unwritten.len()));
        pixels(&out.unwrap())
    };
    let (across, down) = (&case.across, &case.down);
    let narrow = pass(
        across,
        view::Params::along_rows(across, down.length),
        &case.frame,
    );
    pass(
        down,
        view::Params::down_columns(down, across.seen()),
        &narrow,
    )
}

pub(crate) fn view_is_the_same_on_both(gpu: Gpu) {
    let worst = |text: &str| {
        let cases = view::cases::cases();
        assert!(cases.len() >= 7);
        cases.iter().fold(0.0_f32, |worst, case| {
            let twin = view::twin::view(&case.across, &case.down, &case.frame);
            worst.max(largest_difference(&viewed(&gpu, text, case), &twin))
        })
    };
    let found = worst(view::KERNEL.text);
    println!("{}: view, largest difference {found:.1e}", gpu.name());
    assert!(found <= view::cases::TOLERANCE, "{found}");
    assert!(worst(&moved(&view::KERNEL, view::cases::MUST_FAIL)) > view::cases::TOLERANCE);
}

/// Codes of all schemes from a device, scheme by scheme.
fn rendered(gpu: &Gpu, text: &str, case: &render::cases::Case) -> Vec<[u8; 3]> {
    let applied = &case.applied;
    let pixels = applied.region.len();
    let quads = pixels.div_ceil(4);
    let mut tables = Tables::default();
    for scheme in 0..applied.schemes.len() {
        tables.push(&applied.views(scheme));
    }
    let mut planes = vec![0; quads * render::PLANE_BYTES_PER_QUAD];
    render::lay_out(&applied.planes(), &case.photo, |at, bytes| {
        planes[at..at + bytes.len()].copy_from_slice(bytes);
    });
    let params = render::Params {
        quads: count(quads),
        schemes: count(applied.schemes.len()),
        heads: count(applied.schemes[0].len() + 1),
        light_unit: applied.light_unit,
    };
    let scheme_bytes = quads * render::CODE_BYTES_PER_QUAD;
    let unwritten = vec![0x5a; scheme_bytes * applied.schemes.len()];
    let buffers: [&[u8]; 7] = [
        bytes_of(&params),
        &planes,
        cast_slice(&tables.entries),
        cast_slice(&tables.heads),
        cast_slice(&case.finishes),
        cast_slice(encode_words()),
        &unwritten,
    ];
    let out = gpu
        .run_once(&render::KERNEL, text, &buffers, params.quads)
        .unwrap();
    out.chunks_exact(scheme_bytes)
        .flat_map(|scheme| scheme[..3 * pixels].chunks_exact(3))
        .map(|code| [code[0], code[1], code[2]])
        .collect()
}

pub(crate) fn render_is_the_three_twins_one_after_the_other(gpu: Gpu) {
    let worst = |text: &str| {
        let cases = render::cases::cases();
        assert!(cases.len() >= 13);
        cases.iter().fold(Apart::default(), |apart, case| {
            let planes = case.applied.planes();
            let mut twin = vec![[0; 3]; planes.len() * case.finishes.len()];
            for (scheme, out) in twin.chunks_exact_mut(planes.len()).enumerate() {
                let mut frame = vec![[UNWRITTEN; 4]; planes.len()];
                apply::twin::apply(&planes, &case.applied.views(scheme), &mut frame);
                finish::twin::finish(&case.finishes[scheme], &planes, &mut frame);
                pack(&frame, &case.photo, out);
            }
            let found = Apart::between(&rendered(&gpu, text, case), &twin);
            if !found.within(render::cases::SHARE) {
                println!("  {}: {found:?}", case.applied.name);
            }
            apart.and(found)
        })
    };
    let found = worst(render::KERNEL.text);
    println!("{}: render, {found:?}", gpu.name());
    assert!(found.within(render::cases::SHARE), "{found:?}");
    let must_fail = moved(&render::KERNEL, render::cases::MUST_FAIL);
    assert!(!worst(&must_fail).within(render::cases::SHARE));
}
