//! Linear light to 8-bit sRGB. See `README.md` in this folder.

#[cfg(feature = "cases")]
pub mod cases;
pub mod twin;

use std::sync::LazyLock;

use crate::kernel::{Binding, Kernel};

/// Number of entries of the encoding table.
pub const ENCODE_STEPS: usize = 65536;

static ENCODE: LazyLock<Box<[u8; ENCODE_STEPS]>> = LazyLock::new(|| {
    let codes: Vec<u8> = (0..ENCODE_STEPS).map(encoded).collect();
    codes
        .into_boxed_slice()
        .try_into()
        .expect("as many codes as steps")
});

/// sRGB codes of linear 0…1 in even steps (IEC 61966-2-1), rounded to the nearest.
#[must_use]
pub fn encode_table() -> &'static [u8; ENCODE_STEPS] {
    &ENCODE
}

#[allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "0…1 times 255, rounded"
)]
fn encoded(step: usize) -> u8 {
    let linear = step as f64 / (ENCODE_STEPS - 1) as f64;
    let encoded = if linear <= 0.003_130_8 {
        linear * 12.92
    } else {
        1.055 * linear.powf(1.0 / 2.4) - 0.055
    };
    (encoded * 255.0).round() as u8
}

/// Steps of the encoding table that share half a word of a device's table: few enough that no more than two codes fall
/// among them, for where codes are closest (near black) each has 20 steps.
const STEPS_PER_HALF_WORD: usize = 16;

static ENCODE_WORDS: LazyLock<Vec<u32>> = LazyLock::new(|| {
    let half = |steps: &[u8]| {
        let first = steps[0];
        let same = steps.iter().take_while(|code| **code == first).count();
        u32::from(first) | (u32::try_from(same).expect("as many as share a half word at most") << 8)
    };
    encode_table()
        .chunks_exact(2 * STEPS_PER_HALF_WORD)
        .map(|steps| {
            let (low, high) = steps.split_at(STEPS_PER_HALF_WORD);
            half(low) | (half(high) << 16)
        })
        .collect()
});

/// The same table for devices, an eighth as large so that it stays in their caches: each half of a word stands for 16
/// steps, with their first code in the lower byte and how many steps have that code in the upper; the rest have one more.
#[must_use]
pub fn encode_words() -> &'static [u32] {
    &ENCODE_WORDS
}

/// The kernel on its own, a word per pixel: for parity. Pictures go through `render`.
pub const KERNEL: Kernel = Kernel {
    name: "pack",
    text: concat!(include_str!("function.wgsl"), include_str!("kernel.wgsl")),
    bindings: &[
        Binding::Read(size_of::<crate::Pixel>()),
        Binding::Read(4),
        Binding::Read(4),
        Binding::Write(4),
    ],
    workgroup: 64,
    constants: CONSTANTS,
};

/// Numbers of the device text.
#[allow(clippy::cast_precision_loss, reason = "65,535 is exact")]
pub(crate) const CONSTANTS: &[(&str, f32)] = &[("LAST_STEP", (ENCODE_STEPS - 1) as f32)];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_devices_table_holds_the_same_codes() {
        let words = encode_words();
        assert_eq!(words.len() * 2 * STEPS_PER_HALF_WORD, ENCODE_STEPS);
        let read = |words: &[u32], step: usize| {
            let half = words[step / 32] >> (step & 16);
            let (first, same) = (half & 255, (half >> 8) & 255);
            first + u32::from((step & 15) as u32 >= same)
        };
        let wrong = |words: &[u32]| {
            (0..ENCODE_STEPS)
                .filter(|step| read(words, *step) != u32::from(encode_table()[*step]))
                .count()
        };
        assert_eq!(wrong(words), 0);
        // Must fail: one code that begins a step too early.
        let mut moved = words.to_vec();
        moved[0] -= 1 << 8;
        assert_eq!(wrong(&moved), 1);
    }
}
