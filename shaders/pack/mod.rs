//! Linear light to 8-bit sRGB. See `README.md` in this folder.

pub mod twin;

use std::sync::LazyLock;

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
