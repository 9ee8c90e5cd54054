//! The CPU path of `downscale`: slices in, a vector out.

use std::sync::LazyLock;

use crate::pack::{ENCODE_STEPS, encode_table};

static DECODE: LazyLock<[f32; 256]> = LazyLock::new(|| {
    std::array::from_fn(|code| {
        #[allow(clippy::cast_precision_loss, reason = "code < 256")]
        let encoded = code as f64 / 255.0;
        let linear = if encoded <= 0.04045 {
            encoded / 12.92
        } else {
            libm::pow((encoded + 0.055) / 1.055, 2.4)
        };
        #[allow(clippy::cast_possible_truncation, reason = "kernels work in f32")]
        let linear = linear as f32;
        linear
    })
});

/// Linear values of the 256 sRGB codes (IEC 61966-2-1).
#[must_use]
pub fn decode_table() -> &'static [f32; 256] {
    &DECODE
}

/// The mean of every block of `factor × factor` pixels, in linear light.
///
/// # Panics
/// If `width` or the number of rows is not a multiple of `factor`.
#[must_use]
pub fn downscale(picture: &[[u8; 3]], width: usize, factor: usize) -> Vec<[u8; 3]> {
    assert!(
        width.is_multiple_of(factor) && picture.len().is_multiple_of(width * factor),
        "sides are multiples of the factor"
    );
    let decode = decode_table();
    let encode = encode_table();
    #[allow(clippy::cast_precision_loss, reason = "a block has at most 256 pixels")]
    let scale = (ENCODE_STEPS - 1) as f32 / (factor * factor) as f32;
    let mut smaller = Vec::new();
    for rows in picture.chunks_exact(width * factor) {
        for column in 0..width / factor {
            let mut sum = [0.0_f32; 3];
            for row in rows.chunks_exact(width) {
                for pixel in &row[column * factor..(column + 1) * factor] {
                    for (sum, code) in sum.iter_mut().zip(pixel) {
                        *sum += decode[usize::from(*code)];
                    }
                }
            }
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a mean of values of 0…1"
            )]
            smaller.push(sum.map(|sum| encode[(sum * scale + 0.5) as usize]));
        }
    }
    smaller
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn black_and_white_average_to_half_the_light() {
        let checker = [[0; 3], [255; 3], [255; 3], [0; 3]];
        // 0.5 linear is code 188 (IEC 61966-2-1: 187.516); the mean of the codes would be 128.
        assert_eq!(downscale(&checker, 2, 2), [[188; 3]]);
    }

    #[test]
    fn a_flat_picture_stays_as_it_is() {
        for code in 0..=255 {
            assert_eq!(downscale(&[[code; 3]; 9], 3, 3), [[code; 3]]);
        }
    }
}
