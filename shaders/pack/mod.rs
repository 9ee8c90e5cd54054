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
        1.055 * libm::pow(linear, 1.0 / 2.4) - 0.055
    };
    (encoded * 255.0).round() as u8
}

/// Steps of the encoding table that share a word of a device's table: few enough to contain at most two codes, because where
/// codes are closest (near black) each has 20 steps.
const STEPS_PER_WORD: usize = 16;

static ENCODE_WORDS: LazyLock<Vec<u32>> = LazyLock::new(|| {
    encode_table()
        .chunks_exact(STEPS_PER_WORD)
        .map(|steps| {
            let same = steps.iter().take_while(|code| **code == steps[0]).count();
            let next = u32::try_from(STEPS_PER_WORD - same).expect("no more than share a word");
            16 * u32::from(steps[0]) + next
        })
        .collect()
});

/// The same table for devices, small enough to stay in their caches: a word covers 16 steps and holds 16 times their
/// first code and how many of them have the next one. `(word + step % 16) / 16` is a step's code.
#[must_use]
pub fn encode_words() -> &'static [u32] {
    &ENCODE_WORDS
}

/// The kernel alone, one word per pixel, for parity tests. Pictures use `render`.
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

/// Constants of the WGSL text.
pub(crate) const CONSTANTS: &[(&str, f32)] = &[("LAST_STEP", LAST_STEP), ("ROUND", ROUND)];

/// The encoding table's last step.
pub(crate) const LAST_STEP: f32 = 65535.0;

/// Added to a float below it, it leaves no bit for fractions: the sum is the nearest whole number (of two, the even one),
/// and is in the lowest bits. 2^23.
pub(crate) const ROUND: f32 = 8_388_608.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_devices_table_holds_the_same_codes() {
        let words = encode_words();
        assert_eq!(words.len() * STEPS_PER_WORD, ENCODE_STEPS);
        let read = |words: &[u32], step: usize| {
            let within = u32::try_from(step % STEPS_PER_WORD).unwrap();
            (words[step / STEPS_PER_WORD] + within) / 16
        };
        let wrong = |words: &[u32]| {
            (0..ENCODE_STEPS)
                .filter(|step| read(words, *step) != u32::from(encode_table()[*step]))
                .count()
        };
        assert_eq!(wrong(words), 0);
        // Must fail: one code that begins a step too early.
        let mut moved = words.to_vec();
        moved[1] += 1;
        assert_eq!(wrong(&moved), 1);
    }
}
