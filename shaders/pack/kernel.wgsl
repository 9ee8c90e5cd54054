// pack: linear light to 8-bit sRGB

@group(0) @binding(0) var<storage, read> frame: array<vec4f>;
// One word per pixel, red in the lowest byte.
@group(0) @binding(1) var<storage, read> photo: array<u32>;
@group(0) @binding(2) var<storage, read> encode: array<u32>;
@group(0) @binding(3) var<storage, read_write> codes: array<u32>;

fn encode_word(index: u32) -> u32 {
    return encode[index];
}

@compute @workgroup_size(64)
fn pack(@builtin(global_invocation_id) id: vec3u, @builtin(num_workgroups) groups: vec3u) {
    let at = id.x + id.y * groups.x * 64u;
    if at >= arrayLength(&codes) {
        return;
    }
    let pixel = frame[at];
    var code = photo[at];
    if pixel.w > 0.0 {
        code = packed(pixel.xyz);
    }
    codes[at] = code;
}
