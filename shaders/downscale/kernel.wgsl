// downscale: a smaller picture, averaged in linear light

struct Params {
    width: u32,
    factor: u32,
    smaller_width: u32,
    smaller_pixels: u32,
}

@group(0) @binding(0) var<uniform> params: Params;
// Three bytes per pixel, without gaps.
@group(0) @binding(1) var<storage, read> picture: array<u32>;
@group(0) @binding(2) var<storage, read> decode: array<f32>;
@group(0) @binding(3) var<storage, read> encode: array<u32>;
// One word per pixel, red in the lowest byte.
@group(0) @binding(4) var<storage, read_write> smaller: array<u32>;

fn encode_word(index: u32) -> u32 {
    return encode[index];
}

fn linear(byte: u32) -> f32 {
    return decode[(picture[byte >> 2u] >> ((byte & 3u) * 8u)) & 255u];
}

@compute @workgroup_size(64)
fn downscale(@builtin(global_invocation_id) id: vec3u, @builtin(num_workgroups) groups: vec3u) {
    let at = id.x + id.y * groups.x * 64u;
    if at >= params.smaller_pixels {
        return;
    }
    let corner = (at / params.smaller_width) * params.factor * params.width + (at % params.smaller_width) * params.factor;
    var sum = vec3f();
    for (var row = 0u; row < params.factor; row++) {
        for (var column = 0u; column < params.factor; column++) {
            let byte = 3u * (corner + row * params.width + column);
            sum += vec3f(linear(byte), linear(byte + 1u), linear(byte + 2u));
        }
    }
    let steps = sum * (LAST_STEP / f32(params.factor * params.factor)) + 0.5;
    smaller[at] = step_code(u32(steps.x)) | (step_code(u32(steps.y)) << 8u) | (step_code(u32(steps.z)) << 16u);
}
