//! The CPU path of `pack`: slices in, slices out.

use super::{LAST_STEP, ROUND, encode_table};
use crate::Pixel;
use crate::downscale::twin::decode_table;

/// Encodes `frame` into `out`; pixels without a coat are copied from `photo`. All three have the same length.
pub fn pack(frame: &[Pixel], photo: &[[u8; 3]], out: &mut [[u8; 3]]) {
    let table = encode_table();
    for ((pixel, photographed), code) in frame.iter().zip(photo).zip(out) {
        *code = if pixel[3] > 0.0 {
            let [red, green, blue, _] = *pixel;
            [red, green, blue].map(|channel| table[step(channel)])
        } else {
            *photographed
        };
    }
}

/// Linear light of a whole picture, with a coat everywhere: what [`pack`] would encode to `codes` again.
pub fn unpack(codes: &[[u8; 3]], out: &mut [Pixel]) {
    let table = decode_table();
    for (code, pixel) in codes.iter().zip(out) {
        let [red, green, blue] = code.map(|code| table[usize::from(code)]);
        *pixel = [red, green, blue, 1.0];
    }
}

/// The entry of the table nearest to a linear value; beyond its ends, the ends.
#[inline]
#[allow(
    clippy::cast_possible_truncation,
    reason = "the lowest 16 bits are the step"
)]
fn step(linear: f32) -> usize {
    usize::from((linear.clamp(0.0, 1.0) * LAST_STEP + ROUND).to_bits() as u16)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_comes_back_from_its_own_linear_value() {
        for code in 0..=255_u8 {
            let encoded = f64::from(code) / 255.0;
            // IEC 61966-2-1, decoding.
            let linear = if encoded <= 0.04045 {
                encoded / 12.92
            } else {
                libm::pow((encoded + 0.055) / 1.055, 2.4)
            };
            #[allow(clippy::cast_possible_truncation, reason = "frames are f32")]
            let linear = linear as f32;
            let mut out = [[0; 3]];
            pack(&[[linear, linear, linear, 1.0]], &[[7; 3]], &mut out);
            assert_eq!(out, [[code; 3]]);
        }
    }

    #[test]
    fn what_is_unpacked_packs_to_the_same_codes() {
        let codes: Vec<[u8; 3]> = (0..=255).map(|code| [code, 255 - code, code / 2]).collect();
        let mut frame = vec![[0.0; 4]; codes.len()];
        unpack(&codes, &mut frame);
        let mut again = vec![[0; 3]; codes.len()];
        pack(&frame, &vec![[7; 3]; codes.len()], &mut again);
        assert_eq!(again, codes);
    }

    #[test]
    fn what_lies_outside_is_clipped_and_what_has_no_coat_is_kept() {
        let frame = [[-1.0, 2.0, f32::NAN, 1.0], [0.5, 0.5, 0.5, 0.0]];
        let mut out = [[9; 3]; 2];
        pack(&frame, &[[1, 2, 3], [4, 5, 6]], &mut out);
        assert_eq!(out, [[0, 255, 0], [4, 5, 6]]);
    }
}
