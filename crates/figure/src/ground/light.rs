//! Light measured from a photo of the same pose under the same lamp before drybrushing, or before the wash.
//!
//! In: luminance of a figure that is one even primer, black or white. Out: light per pixel, 1 = full light. Dark primer
//! is close to the camera's noise, so the noise is removed first: each pixel moves towards the mean of its 5 × 5
//! neighbours as far as the variance there is no more than noise. Source of the filter: Lee 1980, IEEE Trans. PAMI 2:165.

use std::ops::Range;

use rayon::prelude::*;
use velatura_optics::colour::luminance;

use super::lit::WHITE;
use super::points::{MOST_BLACK, PLAUSIBLE_WHITE, Tones};
use super::{PLANE_MAX, as_code};
use crate::figure_file::FigureFile;
use crate::figure_keys::UndercoatKind;
use crate::plate::Plate;
use velatura_photo::Photo;

/// Rows that are cleaned at once.
const STRIP_ROWS: usize = 64;
/// Statistics of the whole figure look at every so many-th pixel.
const SAMPLING: usize = 7;
/// Neighbours on each side.
const REACH: usize = 2;
/// Share of the figure's pixels brighter than primer in full light: glints and specks.
const BRIGHTER_SHARE: f64 = 0.03;
/// Share of the figure's pixels whose surroundings are flat, so that their variance is noise alone.
const FLAT_SHARE: f64 = 0.2;
/// Least light: an eighth of a percent of full light is below what any photo of black primer can show.
const LEAST_LIGHT: f32 = 0.002;

/// Share of a drybrushed figure that is darker than its white paint, and what that place reflects as a share of the white: paint
/// on the figure next to it throws light there that the dark primer did not.
const DARKER_THAN_WHITE: f64 = 0.95;
const THROWN: f64 = 1.1;

/// Light per pixel.
pub(super) struct MeasuredLight {
    /// 1 = full light; row-major as the photo.
    pub(super) light: Vec<f32>,
    /// Luminance of the bare primer in full light.
    pub(super) full: f64,
}

/// Measures the light.
pub(super) fn measured(photo: Photo, plate: &Plate, figure: &FigureFile) -> MeasuredLight {
    let region = &plate.subject.region;
    let (width, height) = (photo.width as usize, photo.height as usize);
    let primer = match figure.undercoat.kind.value {
        UndercoatKind::BlackToWhite => &figure.undercoat.black,
        UndercoatKind::WhiteWithWash | UndercoatKind::Plain => &figure.undercoat.white,
    };
    let full = primer.as_ref().map_or_else(
        || {
            let figure_only = photo
                .luminance
                .iter()
                .zip(region)
                .filter(|(_, region)| **region != 0);
            Tones::of(figure_only.map(|(y, _)| *y)).quantile(1.0 - BRIGHTER_SHARE)
        },
        |code| luminance(code.value.linear()),
    );
    // Light is a share of it, and a code of #000000 has none.
    let full = full.max(1.0 / PLANE_MAX);
    let dark = Dark {
        luminance: &photo.luminance,
        width,
        height,
    };
    let noise = dark.noise_variance(region);
    let mut light = vec![0.0_f32; photo.luminance.len()];
    light
        .par_chunks_mut((width * STRIP_ROWS).max(1))
        .enumerate()
        .for_each(|(strip, light)| {
            let top = strip * STRIP_ROWS;
            let roots = dark.roots(top..top + light.len() / width);
            for (index, light) in light.iter_mut().enumerate() {
                let (x, y) = (index % width, top + index / width);
                let (mean, variance) = roots.around(x, y);
                let kept = (variance - noise).max(0.0) / variance.max(noise).max(f32::MIN_POSITIVE);
                let clean = mean + kept * (roots.at(x, y) - mean);
                #[allow(clippy::cast_possible_truncation, reason = "planes need no more")]
                let full = full as f32;
                *light = (clean * clean / full).max(LEAST_LIGHT);
            }
        });
    let mut measured = MeasuredLight { light, full };
    if figure.undercoat.kind.value == UndercoatKind::BlackToWhite && primer.is_none() {
        measured.raise_to(plausible_white(figure), plate);
    }
    measured
}

/// Reflectance of the white paint: as given, unless that is off by the exposure.
fn plausible_white(figure: &FigureFile) -> f64 {
    let given = figure.undercoat.white.as_ref();
    given
        .map(|code| luminance(code.value.linear()))
        .filter(|white| PLAUSIBLE_WHITE.contains(white))
        .unwrap_or(WHITE)
}

impl MeasuredLight {
    /// Takes the primer to be brighter if the brightest drybrushing would otherwise be no white paint.
    ///
    /// Perhaps no part of the figure is in full light, or the photo is too dark: then the brightest primer of the photo is darker
    /// than primer in full light. Both are lower bounds, so the higher one counts. Chosen on the figures of `lit`: previews
    /// with a light photo and no given point have a mean ΔE of 1.1 with both bounds, 1.4 with that of the primer alone, 1.2 with
    /// that of the white paint alone, and 0.9 if the points are given.
    fn raise_to(&mut self, white: f64, plate: &Plate) {
        let pixels = plate
            .luminance
            .iter()
            .zip(&plate.subject.region)
            .zip(&self.light);
        let paint = Tones::of(
            pixels
                .filter(|((_, region), _)| **region != 0)
                .map(|((tone, _), light)| as_code(f64::from(*tone) / f64::from(*light))),
        );
        let brightest = paint.quantile(DARKER_THAN_WHITE);
        if brightest <= 0.0 {
            return;
        }
        let most = (MOST_BLACK / self.full).max(1.0);
        let raised = (white * THROWN / brightest).clamp(1.0, most);
        self.full *= raised;
        #[allow(clippy::cast_possible_truncation, reason = "planes need no more")]
        let raised = raised as f32;
        self.light.par_iter_mut().for_each(|light| *light /= raised);
    }
}

/// The share of the logarithm of the tone that is light: the slope of ln light over ln Y across the figure.
pub(super) fn share_of(tones: &[u16], region: &[u8], light: impl Fn(usize) -> f64) -> f64 {
    let (mut count, mut sums) = (0.0, [0.0; 4]);
    for at in (0..tones.len()).step_by(SAMPLING) {
        if region[at] == 0 || tones[at] == 0 {
            continue;
        }
        let (x, y) = (
            libm::log(f64::from(tones[at]) / PLANE_MAX),
            libm::log(light(at)),
        );
        count += 1.0;
        for (sum, term) in sums.iter_mut().zip([x, y, x * x, x * y]) {
            *sum += term;
        }
    }
    let [x, y, xx, xy] = sums.map(|sum: f64| sum / f64::max(count, 1.0));
    let spread = xx - x * x;
    if spread > 0.0 {
        ((xy - x * y) / spread).clamp(0.0, 1.0)
    } else {
        0.0
    }
}

/// The dark photo.
struct Dark<'a> {
    luminance: &'a [u16],
    width: usize,
    height: usize,
}

/// Square roots of some rows' luminance and of the rows that their neighbourhoods reach into: the noise of a photo is about
/// even on that scale. Made strip by strip, since a whole plane of them would be the largest thing in memory.
struct Roots {
    first: usize,
    width: usize,
    values: Vec<f32>,
}

impl Dark<'_> {
    fn roots(&self, rows: Range<usize>) -> Roots {
        let first = rows.start.saturating_sub(REACH);
        let end = (rows.end + REACH).min(self.height);
        let values = self.luminance[first * self.width..end * self.width]
            .iter()
            .map(|y| (f32::from(*y) / 65535.0).sqrt())
            .collect();
        Roots {
            first,
            width: self.width,
            values,
        }
    }

    /// Variance of the noise: that of the flattest surroundings on the figure.
    fn noise_variance(&self, region: &[u8]) -> f32 {
        // Every seventh pixel in both directions is as good as all of them.
        let mut variances: Vec<f32> = (0..self.height)
            .into_par_iter()
            .step_by(SAMPLING)
            .flat_map_iter(|y| {
                let roots = self.roots(y..y + 1);
                (0..self.width)
                    .step_by(SAMPLING)
                    .filter(move |x| region[y * self.width + x] != 0)
                    .map(move |x| roots.around(x, y).1)
            })
            .collect();
        variances.sort_by(f32::total_cmp);
        #[allow(
            clippy::cast_precision_loss,
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a share of a length"
        )]
        let index = (variances.len() as f64 * FLAT_SHARE) as usize;
        variances.get(index).copied().unwrap_or(0.0)
    }
}

impl Roots {
    fn at(&self, x: usize, y: usize) -> f32 {
        self.values[(y - self.first) * self.width + x]
    }

    /// Mean and variance of a pixel's neighbours, itself included.
    fn around(&self, x: usize, y: usize) -> (f32, f32) {
        let (mut sum, mut squares, mut count) = (0.0_f32, 0.0_f32, 0.0_f32);
        let rows = self.values.len() / self.width;
        let y = y - self.first;
        for row in y.saturating_sub(REACH)..(y + REACH + 1).min(rows) {
            let from = row * self.width + x.saturating_sub(REACH);
            let to = row * self.width + (x + REACH + 1).min(self.width);
            for value in &self.values[from..to] {
                sum += value;
                squares += value * value;
                count += 1.0;
            }
        }
        let mean = sum / count;
        (mean, (squares / count - mean * mean).max(0.0))
    }
}
