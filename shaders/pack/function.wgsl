// Linear light to 8-bit sRGB. The caller's text gives `encode_word(index) -> u32`, the words of the device's table.

const LAST_STEP: f32 = 65535.0;
// Added to a float, it leaves no bit for fractions: the sum is the nearest whole number, which is in the lowest bits.
const ROUND: f32 = 8388608.0;

// The table's step nearest to a linear value, in the lowest 16 bits; beyond its ends, the ends.
fn encode_step(linear: f32) -> u32 {
    return bitcast<u32>(clamp(linear, 0.0, 1.0) * LAST_STEP + ROUND);
}

// Sixteen steps share a word. It holds 16 times their first code plus the number of steps with the next code, so adding the
// step carries over where the next code begins.
fn step_code(step: u32) -> u32 {
    return (encode_word((step >> 4u) & 4095u) + (step & 15u)) >> 4u;
}

// Red in the lowest byte.
fn packed(rgb: vec3f) -> u32 {
    return step_code(encode_step(rgb.x)) | (step_code(encode_step(rgb.y)) << 8u) | (step_code(encode_step(rgb.z)) << 16u);
}
