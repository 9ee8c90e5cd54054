//! Blur: how wide the figure's strongest edges are.
//!
//! At the steepest pixels of the figure the tone is followed to both sides until it stops rising: the rise over its
//! steepest slope is the edge's width (after Marziliano et al. 2002, Proc. IEEE ICIP 3:57, there the walk alone). A step
//! gives 2 pixels, a Gaussian blur of deviation s gives s · √(2π). Rows and columns are measured separately, because a shaken camera
//! blurs one of them; the wider counts.

use rayon::prelude::*;

use super::Finding;
use crate::plate::Plate;

/// Share of the figure's pixels that count as its strongest edges.
const STRONGEST: f64 = 0.01;
/// Fewest edges to judge by.
const LEAST_EDGES: usize = 50;
/// Furthest that an edge is followed to each side, in pixels.
const FURTHEST: usize = 40;
/// An edge may be as wide as this share of the figure's height (0.08 mm on a figure of 32 mm, a fine brush's line)…
const WIDEST_SHARE: f64 = 1.0 / 400.0;
/// … and in any case as wide as this, in pixels: cameras' own sharpness at full size.
const WIDEST_PX: f64 = 5.0;
/// Tones are kept in this many steps to find the strongest slopes.
const SLOPES: usize = 4096;

pub(super) fn check(plate: &Plate, tall: u32, height_mm: f64) -> Option<Finding> {
    let width_px = edge_width_px(plate)?;
    let most = (f64::from(tall) * WIDEST_SHARE).max(WIDEST_PX);
    (width_px > most).then(|| Finding {
        found: format!(
            "the photo is blurred: the sharpest edges of the figure are {width_px:.1} pixels wide, {:.2} mm on the figure",
            width_px / f64::from(tall) * height_mm
        ),
        expected: format!("at most {most:.1} pixels for a figure that is {tall} pixels tall"),
        help: "rest the camera on something, use its timer, touch the figure to focus, and use more light",
    })
}

/// Width of the strongest edges, the wider of both directions; `None` if there are too few.
fn edge_width_px(plate: &Plate) -> Option<f64> {
    let width = plate.subject.width as usize;
    [1, width]
        .into_iter()
        .filter_map(|step| along(plate, step))
        .reduce(f64::max)
}

/// The median width of the strongest edges along rows (step 1) or columns (step = width).
fn along(plate: &Plate, step: usize) -> Option<f64> {
    let lines = Lines {
        tones: &plate.luminance,
        step,
    };
    let count = plate.luminance.len();
    let width = plate.subject.width as usize;
    let inside = |at: usize| {
        let along_row = step == 1;
        let (x, y) = (at % width, at / width);
        let (place, end) = if along_row {
            (x, width)
        } else {
            (y, count / width)
        };
        plate.subject.region[at] != 0 && place > 1 && place + 2 < end
    };
    let mut slopes = vec![0_usize; SLOPES];
    let steep = |at: usize| lines.slope(at).abs();
    let bin = |slope: f32| {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss,
            reason = "between 0 and the number of steps"
        )]
        let bin = (slope * SLOPES as f32) as usize;
        bin.min(SLOPES - 1)
    };
    let mut all = 0;
    for at in (0..count).filter(|at| inside(*at)) {
        slopes[bin(steep(at))] += 1;
        all += 1;
    }
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "a share of a count"
    )]
    let wanted = (all as f64 * STRONGEST) as usize;
    let mut above = 0;
    let least = (1..SLOPES).rev().find(|bin| {
        above += slopes[*bin];
        above >= wanted.max(1)
    })?;
    let mut widths: Vec<f32> = (0..count)
        .into_par_iter()
        .filter(|at| inside(*at) && bin(steep(*at)) >= least)
        .filter(|at| {
            // The steepest place of its own edge only.
            let here = steep(*at);
            here >= steep(at - step) && here > steep(at + step)
        })
        .map(|at| lines.width(at))
        .collect();
    if widths.len() < LEAST_EDGES {
        return None;
    }
    let middle = widths.len() / 2;
    Some(f64::from(
        *widths.select_nth_unstable_by(middle, f32::total_cmp).1,
    ))
}

/// Tones along one direction.
struct Lines<'a> {
    tones: &'a [u16],
    step: usize,
}

impl Lines<'_> {
    /// The root of luminance, 0…1: noise is about even on it.
    fn tone(&self, at: usize) -> f32 {
        (f32::from(self.tones[at]) / 65535.0).sqrt()
    }

    /// Change per pixel.
    fn slope(&self, at: usize) -> f32 {
        f32::midpoint(self.tone(at + self.step), -self.tone(at - self.step))
    }

    /// The whole rise through a place over the slope there, in pixels.
    fn width(&self, at: usize) -> f32 {
        let slope = self.slope(at);
        let rise = |from: f32, to: f32| (to - from) * slope.signum();
        let (mut low, mut high) = (self.tone(at), self.tone(at));
        for distance in 1..=FURTHEST {
            let Some(next) = at.checked_sub(distance * self.step) else {
                break;
            };
            let next = self.tone(next);
            if rise(next, low) <= 0.0 {
                break;
            }
            low = next;
        }
        for distance in 1..=FURTHEST {
            let next = at + distance * self.step;
            if next >= self.tones.len() {
                break;
            }
            let next = self.tone(next);
            if rise(high, next) <= 0.0 {
                break;
            }
            high = next;
        }
        rise(low, high) / slope.abs().max(f32::MIN_POSITIVE)
    }
}
