//! The CPU path of `finish`: slices in, the frame changed in place.

use super::{Params, SHEEN_FROM};
use crate::{PLANE_MAX, Pixel, Planes};

/// Varnishes and recolours the pixels of `frame` with a coat; `planes` are those of the same pixels.
pub fn finish(params: &Params, planes: &Planes<'_>, frame: &mut [Pixel]) {
    if params.varnishes() {
        varnish(params, planes, frame);
    }
    recolour(&params.matrix, frame);
}

/// The matrix alone, for a frame without planes. The identity changes no bit.
pub fn recolour(matrix: &[[f32; 4]; 3], frame: &mut [Pixel]) {
    // Not left to the arithmetic: 0 · ∞ is not a number, and −0 + 0 is no −0.
    if *matrix == super::IDENTITY {
        return;
    }
    for pixel in frame.iter_mut().filter(|pixel| pixel[3] > 0.0) {
        let [red, green, blue, coverage] = *pixel;
        let [r, g, b] = matrix.map(|row| row[0] * red + row[1] * green + row[2] * blue);
        *pixel = [r, g, b, coverage];
    }
}

fn varnish(params: &Params, planes: &Planes<'_>, frame: &mut [Pixel]) {
    for ((pixel, relief), light) in frame.iter_mut().zip(planes.relief).zip(planes.light) {
        let light = f32::from(*light) * planes.light_unit;
        if pixel[3] <= 0.0 || light <= 0.0 {
            continue;
        }
        let raised = ((f32::from(*relief) / PLANE_MAX - SHEEN_FROM) / (1.0 - SHEEN_FROM)).max(0.0);
        let sheen = params.sheen * raised * raised;
        for channel in &mut pixel[..3] {
            let reflectance = *channel / light;
            let deepened =
                reflectance * (1.0 - params.deepening * (1.0 - reflectance.clamp(0.0, 1.0)));
            *channel = (deepened + sheen) * light;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rec. ITU-R BT.709-6, item 3.2.
    const BT709: [f32; 3] = [0.2126, 0.7152, 0.0722];

    fn planes<'a>(relief: &'a [u16], region: &'a [u8]) -> Planes<'a> {
        Planes {
            substrate: &[0],
            relief,
            light: &[1],
            region,
            light_unit: 0.5,
        }
    }

    fn varnished(params: Params, reflectance: f32, relief: u16) -> f32 {
        let mut frame = [[reflectance * 0.5, reflectance * 0.5, reflectance * 0.5, 1.0]];
        finish(&params, &planes(&[relief], &[1]), &mut frame);
        frame[0][0] / 0.5
    }

    #[test]
    fn matte_changes_no_bit() {
        let odd = [-0.0, f32::MIN_POSITIVE / 2.0, f32::INFINITY, 1.0];
        let mut frame = [odd];
        let params =
            Params::MATTE.seen_through([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]);
        finish(&params, &planes(&[65535], &[1]), &mut frame);
        assert_eq!(frame[0].map(f32::to_bits), odd.map(f32::to_bits));
        // Must fail: the least change of the matrix.
        let params =
            Params::MATTE.seen_through([[1.0, 1e-7, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]);
        finish(&params, &planes(&[65535], &[1]), &mut frame);
        assert_ne!(frame[0].map(f32::to_bits), odd.map(f32::to_bits));
    }

    #[test]
    fn gloss_deepens_darks_more_than_lights_and_shines_on_edges_only() {
        let flat = 20000;
        assert!(varnished(Params::GLOSS, 0.05, flat) < 0.05 * 0.7);
        assert!(varnished(Params::GLOSS, 0.95, flat) > 0.95 * 0.97);
        assert!(
            (varnished(Params::GLOSS, 0.05, 65535) - varnished(Params::GLOSS, 0.05, flat)) > 0.1
        );
        assert!(varnished(Params::SATIN, 0.05, flat) > varnished(Params::GLOSS, 0.05, flat));
    }

    #[test]
    fn grey_keeps_luminance_and_white_and_takes_all_colour() {
        let mut frame = [[1.0, 0.0, 0.0, 1.0], [1.0, 1.0, 1.0, 1.0]];
        recolour(&Params::MATTE.seen_through([BT709; 3]).matrix, &mut frame);
        assert!(frame[0][..3].iter().all(|x| (x - 0.2126).abs() < 1e-7));
        assert!((frame[1][0] - 1.0).abs() < 1e-6);
        // Must fail: with rows and columns swapped, red light would stay red.
        let columns = std::array::from_fn(|row| [BT709[row]; 3]);
        let mut frame = [[1.0, 0.0, 0.0, 1.0]];
        recolour(&Params::MATTE.seen_through(columns).matrix, &mut frame);
        assert!((frame[0][1] - 0.2126).abs() > 0.1);
    }

    #[test]
    fn the_varnish_lies_on_the_paint_and_the_eye_sees_both() {
        let relief = [65535];
        let mut both = [[0.2, 0.1, 0.05, 1.0]];
        finish(
            &Params::GLOSS.seen_through([BT709; 3]),
            &planes(&relief, &[1]),
            &mut both,
        );
        let mut one_by_one = [[0.2, 0.1, 0.05, 1.0]];
        finish(&Params::GLOSS, &planes(&relief, &[1]), &mut one_by_one);
        let [red, green, blue, _] = one_by_one[0];
        let luminance = BT709[0] * red + BT709[1] * green + BT709[2] * blue;
        assert!((both[0][2] - luminance).abs() < 1e-7);
    }

    #[test]
    fn bare_pixels_stay_bare() {
        let mut frame = [[0.0; 4]];
        let params = Params::GLOSS.seen_through([[1.0; 3]; 3]);
        finish(&params, &planes(&[65535], &[0]), &mut frame);
        assert!(frame[0].iter().all(|x| x.abs() < f32::EPSILON));
    }
}
