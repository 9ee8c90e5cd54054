// Linear light to 8-bit sRGB. The caller's text gives `encode_word(index) -> u32`, the words of the device's table.

const LAST_STEP: f32 = 65535.0;

// The table's step nearest to a linear value; beyond its ends, the ends.
fn encode_step(linear: f32) -> u32 {
    return u32(clamp(linear, 0.0, 1.0) * LAST_STEP + 0.5);
}

// Sixteen steps share half a word: their first code in its lower byte, in the upper one how many steps have it.
fn step_code(step: u32) -> u32 {
    let pair = encode_word(step >> 5u) >> (step & 16u);
    return (pair & 255u) + select(0u, 1u, (step & 15u) >= ((pair >> 8u) & 255u));
}

// Red in the lowest byte.
fn packed(rgb: vec3f) -> u32 {
    return step_code(encode_step(rgb.x)) | (step_code(encode_step(rgb.y)) << 8u) | (step_code(encode_step(rgb.z)) << 16u);
}
