//! The CPU path of `varnish`: slices in, the frame changed in place.

use super::{Params, SHEEN_FROM};
use crate::{PLANE_MAX, Pixel, Planes};

/// Varnishes the pixels of `frame` on which a coat lies.
pub fn varnish(params: Params, planes: &Planes<'_>, frame: &mut [Pixel]) {
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

    fn varnished(params: Params, reflectance: f32, relief: u16) -> f32 {
        let planes = Planes {
            substrate: &[0],
            relief: &[relief],
            light: &[1],
            region: &[1],
            light_unit: 0.5,
        };
        let mut frame = [[reflectance * 0.5, reflectance * 0.5, reflectance * 0.5, 1.0]];
        varnish(params, &planes, &mut frame);
        frame[0][0] / 0.5
    }

    #[test]
    fn matte_changes_nothing() {
        assert!((varnished(Params::MATTE, 0.3, 65535) - 0.3).abs() < 1e-6);
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
    fn bare_pixels_stay_bare() {
        let planes = Planes {
            substrate: &[0],
            relief: &[65535],
            light: &[1],
            region: &[0],
            light_unit: 0.5,
        };
        let mut frame = [[0.0; 4]];
        varnish(Params::GLOSS, &planes, &mut frame);
        assert!(frame[0].iter().all(|x| x.abs() < f32::EPSILON));
    }
}
