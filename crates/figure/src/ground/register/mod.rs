//! Registration: finds how the light photo is shifted against the photo, and aligns it.
//!
//! A tripod that was touched, or a figure set back by hand, shifts, turns and tilts the second photo by a few pixels. Tiles all
//! over the figure are matched by phase correlation (`correlate.rs`) on the slopes of the tone's logarithm, which drybrushing
//! leaves where they are; an affine map is fitted to the tiles' shifts, with stray tiles weighted down. Not here: a changed
//! pose, which no map of the picture plane can undo; it is reported.

mod correlate;

use nalgebra::{Matrix3, Matrix3x2, Vector3};
use rayon::prelude::*;
use velatura_document::{Diagnostic, Warned};

use crate::plate::Plate;
use correlate::{Correlator, TILE};
use velatura_photo::Photo;

/// Longer edge of the figure's box, in pixels, in which tiles are matched: larger photos are averaged down to it.
const MATCHED_EDGE: usize = 1400;
/// A figure smaller than this many tiles is left as it is.
const LEAST_TILES: usize = 6;
/// Share of a tile that must be figure.
const LEAST_FIGURE: f64 = 0.25;
/// Less movement than this, in pixels of the photo and as the tiles' root mean square, is left: tiles are not more precise,
/// and interpolation would cost more than it fixes. In photos that are averaged down for matching it is this many halves of
/// a tile's pixel, because tiles are less precise there.
const STILL_PX: f64 = 0.8;
/// Movement above which it is reported; grows in the same way.
const REPORTED_PX: f64 = 1.5;
/// Tiles that miss the map by more than this share of the matched edge (8 px of 1400) have moved on their own…
const STRAY_SHARE: f64 = 0.004;
/// … and if this many of them have, the pose or the lamp has changed.
const MOST_STRAYS: f64 = 0.4;
/// Furthest movement that is undone, as a share of the figure's height.
const FURTHEST_SHARE: f64 = 0.06;

/// One tile's match, in pixels of the photo.
#[derive(Debug, Clone, Copy)]
struct Match {
    /// Centre of the tile in the photo.
    at: [f64; 2],
    /// How far the same thing has moved in the light photo.
    shift: [f64; 2],
}

/// From a place in the photo to the same place in the light photo: `x' = m · (x, y, 1)`.
#[derive(Debug, Clone, Copy)]
struct Affine(Matrix3x2<f64>);

/// The light photo, aligned with the photo if it has moved, with a warning about what was done.
pub(super) fn registered(plate: &Plate, light: Photo, name: &str) -> Warned<Photo> {
    let Some(frame) = Frame::of(plate) else {
        return light.into();
    };
    let matches = matches(plate, &light, &frame);
    if frame.tiles().len() < LEAST_TILES {
        return light.into();
    }
    let strange = |light, found: String| {
        let problem = Diagnostic::warning(name, found)
            .expected("the same pose, camera position and lamp in both photos")
            .help("it is used unchanged; take it again from a tripod without touching the figure, or remove `light_photo`");
        Warned::new(light, vec![problem])
    };
    if matches.len() < LEAST_TILES {
        return strange(
            light,
            "the light photo hardly matches the photo anywhere".to_owned(),
        );
    }
    let map = Affine::fit(&matches, frame.stray_px());
    let strays = matches
        .iter()
        .filter(|one| map.miss(one) > frame.stray_px())
        .count();
    #[allow(clippy::cast_precision_loss, reason = "a few dozen tiles")]
    let stray_share = strays as f64 / matches.len() as f64;
    let movement = frame
        .corners()
        .iter()
        .map(|corner| map.movement(*corner))
        .fold(0.0, f64::max);
    if stray_share > MOST_STRAYS || movement > FURTHEST_SHARE * frame.height_px() {
        return strange(
            light,
            format!(
                "parts of the light photo have moved by up to {movement:.0} pixels, each in a different direction"
            ),
        );
    }
    let typical = root_mean_square(matches.iter().map(|one| map.movement(one.at)));
    if typical < STILL_PX * frame.coarseness() {
        return light.into();
    }
    let moved = map.moved(light);
    let mut found = Vec::new();
    if movement >= REPORTED_PX * frame.coarseness() {
        found.push(
            Diagnostic::warning(
                name,
                format!(
                    "the light photo is shifted by up to {movement:.1} pixels (turned by {:.2}°)",
                    map.turn_degrees()
                ),
            )
            .expected("both photos from the same camera position")
            .help("it was aligned with the photo; for an exact match, use a tripod and a timer"),
        );
    }
    Warned::new(moved, found)
}

/// The part of the photo in which tiles are matched, and how far it is shrunk.
struct Frame {
    /// Upper left and lower right of the figure's box, in pixels of the photo.
    from: [usize; 2],
    to: [usize; 2],
    /// Pixels of the photo per pixel of a tile.
    step: usize,
}

impl Frame {
    fn of(plate: &Plate) -> Option<Self> {
        let width = plate.subject.width as usize;
        let (from, to) = plate
            .subject
            .region
            .par_iter()
            .enumerate()
            .filter(|(_, region)| **region != 0)
            .map(|(at, _)| ([at % width, at / width], [at % width + 1, at / width + 1]))
            .reduce_with(|(a, b), (c, d)| {
                (
                    [a[0].min(c[0]), a[1].min(c[1])],
                    [b[0].max(d[0]), b[1].max(d[1])],
                )
            })?;
        let edge = (to[0] - from[0]).max(to[1] - from[1]);
        Some(Self {
            from,
            to,
            step: edge.div_ceil(MATCHED_EDGE).max(1),
        })
    }

    /// Half the pixels of the photo per pixel of a tile, at least 1: what limits grow with.
    fn coarseness(&self) -> f64 {
        #[allow(clippy::cast_precision_loss, reason = "a small number")]
        let step = self.step as f64;
        (step / 2.0).max(1.0)
    }

    /// Upper left corners of the tiles: half over each other, the last ones flush with the box's edge.
    fn tiles(&self) -> Vec<[usize; 2]> {
        let side = TILE * self.step;
        let starts = |i: usize| -> Vec<usize> {
            let (from, to) = (self.from[i], self.to[i]);
            if to - from < side {
                return Vec::new();
            }
            let mut starts: Vec<usize> = (from..to - side).step_by(side / 2).collect();
            starts.push(to - side);
            starts
        };
        let columns = starts(0);
        starts(1)
            .into_iter()
            .flat_map(|y| columns.iter().map(move |x| [*x, y]))
            .collect()
    }

    fn corners(&self) -> [[f64; 2]; 4] {
        let [left, top] = self.from.map(as_px);
        let [right, bottom] = self.to.map(as_px);
        [[left, top], [right, top], [right, bottom], [left, bottom]]
    }

    fn height_px(&self) -> f64 {
        as_px(self.to[1] - self.from[1])
    }

    fn stray_px(&self) -> f64 {
        STRAY_SHARE * as_px(MATCHED_EDGE * self.step)
    }
}

/// Every tile of the figure that has a match.
fn matches(plate: &Plate, light: &Photo, frame: &Frame) -> Vec<Match> {
    let width = plate.subject.width as usize;
    let height = plate.subject.height as usize;
    let correlator = Correlator::new();
    let side = TILE * frame.step;
    let found: Vec<Option<Match>> = frame
        .tiles()
        .into_par_iter()
        .map(|[left, top]| {
            let figure = (0..TILE * TILE)
                .filter(|at| {
                    let (x, y) = (left + at % TILE * frame.step, top + at / TILE * frame.step);
                    plate.subject.region[y * width + x] != 0
                })
                .count();
            if as_px(figure) < LEAST_FIGURE * as_px(TILE * TILE) {
                return None;
            }
            let tile = |tones| slopes(tones, [width, height], [left, top], frame.step);
            let shift = correlator.shift(&tile(&plate.luminance), &tile(&light.luminance))?;
            Some(Match {
                at: [left, top].map(|at| as_px(at) + as_px(side) / 2.0),
                shift: shift.map(|one| f64::from(one) * as_px(frame.step)),
            })
        })
        .collect();
    found.into_iter().flatten().collect()
}

/// How steep the logarithm of the tone is, over a tile of averaged pixels.
fn slopes(tones: &[u16], size: [usize; 2], from: [usize; 2], step: usize) -> Vec<f32> {
    // One pixel more on the right and below, for the differences.
    let logarithms: Vec<f32> = (0..(TILE + 1) * (TILE + 1))
        .map(|at| {
            let (column, row) = (at % (TILE + 1), at / (TILE + 1));
            let mut sum = 0_u64;
            for dy in 0..step {
                for dx in 0..step {
                    let x = (from[0] + column * step + dx).min(size[0] - 1);
                    let y = (from[1] + row * step + dy).min(size[1] - 1);
                    sum += u64::from(tones[y * size[0] + x]);
                }
            }
            #[allow(clippy::cast_precision_loss, reason = "a sum of a few tones")]
            let mean = sum as f32 / (step * step) as f32;
            // A floor of half a percent: below it there is noise only.
            libm::logf(mean / 65535.0 + 0.005)
        })
        .collect();
    (0..TILE * TILE)
        .map(|at| {
            let here = at / TILE * (TILE + 1) + at % TILE;
            let across = logarithms[here + 1] - logarithms[here];
            let down = logarithms[here + TILE + 1] - logarithms[here];
            libm::hypotf(across, down)
        })
        .collect()
}

impl Affine {
    /// Least squares with Tukey's weights: tiles further off than `stray_px` count for nothing in the end.
    fn fit(matches: &[Match], stray_px: f64) -> Self {
        let middle = |i: usize| median(matches.iter().map(|one| one.shift[i]).collect());
        // Begin from the median shift, which a third of strays does not move.
        let mut map = Self(Matrix3x2::new(1.0, 0.0, 0.0, 1.0, middle(0), middle(1)));
        for round in 0..10 {
            // Wide at first, then as the tiles scatter: Tukey's constant times the deviation, by the median.
            let scatter = 1.4826 * median(matches.iter().map(|one| map.miss(one)).collect());
            let width = if round < 3 {
                4.0 * stray_px
            } else {
                (4.685 * scatter).clamp(1.0, 4.0 * stray_px)
            };
            let (mut left, mut right) = (Matrix3::zeros(), Matrix3x2::zeros());
            for one in matches {
                let share = (map.miss(one) / width).powi(2);
                let weight = if share < 1.0 {
                    (1.0 - share).powi(2)
                } else {
                    0.0
                };
                let from = Vector3::new(one.at[0], one.at[1], 1.0);
                let to =
                    nalgebra::RowVector2::new(one.at[0] + one.shift[0], one.at[1] + one.shift[1]);
                left += weight * from * from.transpose();
                right += weight * from * to;
            }
            match left.lu().solve(&right) {
                Some(solved) if solved.iter().all(|one| one.is_finite()) => map = Self(solved),
                // Too few tiles agree for a turn or a tilt: the shift stays.
                _ => break,
            }
        }
        map
    }

    fn at(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let to = self.0.transpose() * Vector3::new(x, y, 1.0);
        [to.x, to.y]
    }

    fn movement(&self, at: [f64; 2]) -> f64 {
        let [x, y] = self.at(at);
        libm::hypot(x - at[0], y - at[1])
    }

    /// How far a tile is from where the map puts it.
    fn miss(&self, one: &Match) -> f64 {
        let [x, y] = self.at(one.at);
        libm::hypot(x - one.at[0] - one.shift[0], y - one.at[1] - one.shift[1])
    }

    /// The turn of the light photo against the photo.
    fn turn_degrees(&self) -> f64 {
        libm::atan2(
            self.0[(0, 1)] - self.0[(1, 0)],
            self.0[(0, 0)] + self.0[(1, 1)],
        )
        .to_degrees()
    }

    /// The photo's luminance taken from where the map says, between pixels bilinearly, at the edge the nearest.
    fn moved(&self, light: Photo) -> Photo {
        let (width, height) = (light.width as usize, light.height as usize);
        let last = [as_px(width - 1), as_px(height - 1)];
        let mut luminance = vec![0_u16; light.luminance.len()];
        luminance
            .par_chunks_mut(width)
            .enumerate()
            .for_each(|(y, row)| {
                for (x, tone) in row.iter_mut().enumerate() {
                    let to = self.at([as_px(x), as_px(y)]);
                    let [u, v] = [0, 1].map(|i| to[i].clamp(0.0, last[i]));
                    #[allow(
                        clippy::cast_possible_truncation,
                        clippy::cast_sign_loss,
                        reason = "inside the photo"
                    )]
                    let (left, top) = (u as usize, v as usize);
                    let (right, below) = ((left + 1).min(width - 1), (top + 1).min(height - 1));
                    let at = |x: usize, y: usize| f64::from(light.luminance[y * width + x]);
                    let (du, dv) = (u.fract(), v.fract());
                    let upper = at(left, top) * (1.0 - du) + at(right, top) * du;
                    let lower = at(left, below) * (1.0 - du) + at(right, below) * du;
                    *tone = super::as_code((upper * (1.0 - dv) + lower * dv).round());
                }
            });
        Photo { luminance, ..light }
    }
}

/// The middle of numbers; 0 where there are none.
fn median(mut numbers: Vec<f64>) -> f64 {
    numbers.sort_by(f64::total_cmp);
    numbers.get(numbers.len() / 2).copied().unwrap_or(0.0)
}

fn root_mean_square(numbers: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = numbers.fold((0.0, 0.0), |(sum, count), one| {
        (sum + one * one, count + 1.0)
    });
    (sum / f64::max(count, 1.0)).sqrt()
}

#[allow(clippy::cast_precision_loss, reason = "pixels of a photo")]
fn as_px(count: usize) -> f64 {
    count as f64
}
