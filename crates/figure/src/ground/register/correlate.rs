//! By how much one tile is shifted against another: phase correlation.
//!
//! In: two square tiles. Out: the shift, to a fraction of a pixel, and how sure it is. Source: Kuglin & Hines 1975, Proc. IEEE
//! Conf. Cybernetics and Society:163. The phase of each frequency counts alike, damped towards fine ones, where there is
//! noise only; the peak is refined by a parabola.

use std::sync::Arc;

use rustfft::num_complex::Complex32;
use rustfft::{Fft, FftPlanner};

/// Side of a tile in pixels.
pub(super) const TILE: usize = 128;
/// Frequencies count with a Gaussian of this deviation, in cycles per tile.
const FINEST: f32 = 20.0;
/// The peak must be this many times the mean square of the correlation, or nothing was found.
const LEAST_PEAK: f32 = 9.0;
/// Furthest shift that is believed, as a share of the tile: beyond it too little of the two tiles is the same.
const FURTHEST: f32 = 0.3;

/// Phase correlation of tiles of [`TILE`] × [`TILE`] pixels.
pub(super) struct Correlator {
    forward: Arc<dyn Fft<f32>>,
    backward: Arc<dyn Fft<f32>>,
    window: Vec<f32>,
}

impl Correlator {
    pub(super) fn new() -> Self {
        let mut planner = FftPlanner::new();
        Self {
            forward: planner.plan_fft_forward(TILE),
            backward: planner.plan_fft_inverse(TILE),
            window: (0..TILE)
                .map(|at| {
                    let phase = (position(at) + 0.5) / position(TILE);
                    0.5 - 0.5 * libm::cosf(std::f32::consts::TAU * phase)
                })
                .collect(),
        }
    }

    /// How far the thing at (x, y) in `a` has moved in `b`; `None` if the two have nothing in common.
    pub(super) fn shift(&self, a: &[f32], b: &[f32]) -> Option<[f32; 2]> {
        let (a, b) = (self.spectrum(a), self.spectrum(b));
        let mut cross: Vec<Complex32> = a
            .iter()
            .zip(&b)
            .enumerate()
            .map(|(at, (a, b))| {
                let both = b * a.conj();
                let size = both.norm();
                if size > f32::MIN_POSITIVE {
                    both / size * damping(at)
                } else {
                    Complex32::default()
                }
            })
            .collect();
        transform(&mut cross, self.backward.as_ref());
        let surface: Vec<f32> = cross.iter().map(|one| one.re).collect();
        let (peak, height) = surface
            .iter()
            .enumerate()
            .max_by(|a, b| a.1.total_cmp(b.1))?;
        let power: f32 = surface.iter().map(|one| one * one).sum::<f32>() / position(surface.len());
        if *height < LEAST_PEAK * power.sqrt() {
            return None;
        }
        let (x, y) = (peak % TILE, peak / TILE);
        let at = |x: usize, y: usize| surface[(y % TILE) * TILE + x % TILE];
        let shift = [
            signed(x) + vertex([at(x + TILE - 1, y), *height, at(x + 1, y)]),
            signed(y) + vertex([at(x, y + TILE - 1), *height, at(x, y + 1)]),
        ];
        let furthest = FURTHEST * position(TILE);
        (shift[0].abs().max(shift[1].abs()) <= furthest).then_some(shift)
    }

    fn spectrum(&self, tile: &[f32]) -> Vec<Complex32> {
        let mean = tile.iter().sum::<f32>() / position(tile.len());
        let mut out: Vec<Complex32> = tile
            .iter()
            .enumerate()
            .map(|(at, tone)| {
                let window = self.window[at % TILE] * self.window[at / TILE];
                Complex32::new((tone - mean) * window, 0.0)
            })
            .collect();
        transform(&mut out, self.forward.as_ref());
        out
    }
}

/// Rows, then columns.
fn transform(data: &mut [Complex32], fft: &dyn Fft<f32>) {
    fft.process(data);
    transpose(data);
    fft.process(data);
    transpose(data);
}

fn transpose(data: &mut [Complex32]) {
    for y in 0..TILE {
        for x in 0..y {
            data.swap(y * TILE + x, x * TILE + y);
        }
    }
}

fn damping(at: usize) -> f32 {
    let (x, y) = (signed(at % TILE), signed(at / TILE));
    libm::expf(-(x * x + y * y) / (2.0 * FINEST * FINEST))
}

/// A place on a circle as a distance from 0, to either side.
fn signed(at: usize) -> f32 {
    if at < TILE / 2 {
        position(at)
    } else {
        position(at) - position(TILE)
    }
}

/// Where a parabola through three neighbours has its top, from the middle one.
fn vertex([before, here, after]: [f32; 3]) -> f32 {
    let bend = before - 2.0 * here + after;
    if bend < 0.0 {
        (0.5 * (before - after) / bend).clamp(-0.5, 0.5)
    } else {
        0.0
    }
}

#[allow(clippy::cast_precision_loss, reason = "sizes of a tile")]
fn position(at: usize) -> f32 {
    at as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers of 0…1 from a small generator.
    fn random(state: &mut u32) -> f32 {
        *state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f32::from(u16::try_from(*state >> 16).expect("16 bits")) / 65536.0
    }

    /// Soft spots at random places, all of them moved by (dx, dy).
    fn tile(dx: f32, dy: f32) -> Vec<f32> {
        let mut state = 5;
        let spots: Vec<[f32; 4]> = (0..400)
            .map(|_| {
                let mut next = || random(&mut state);
                [
                    next() * 160.0 - 16.0,
                    next() * 160.0 - 16.0,
                    1.5 + 3.0 * next(),
                    next(),
                ]
            })
            .collect();
        (0..TILE * TILE)
            .map(|at| {
                let (x, y) = (position(at % TILE) - dx, position(at / TILE) - dy);
                spots
                    .iter()
                    .map(|[cx, cy, size, height]| {
                        let away = ((x - cx).powi(2) + (y - cy).powi(2)) / (2.0 * size * size);
                        height * libm::expf(-away)
                    })
                    .sum()
            })
            .collect()
    }

    #[test]
    fn shifts_come_back_to_a_fifth_of_a_pixel_and_strangers_are_refused() {
        let correlator = Correlator::new();
        for (dx, dy) in [(0.0, 0.0), (3.0, -2.0), (-7.4, 5.3), (0.3, 0.6)] {
            let [x, y] = correlator.shift(&tile(0.0, 0.0), &tile(dx, dy)).unwrap();
            assert!(
                (x - dx).abs() < 0.2 && (y - dy).abs() < 0.2,
                "{dx} {dy}: {x} {y}"
            );
        }
        let mut state = 1;
        let noise: Vec<f32> = (0..TILE * TILE).map(|_| random(&mut state)).collect();
        assert_eq!(correlator.shift(&tile(0.0, 0.0), &noise), None);
    }
}
