//! Moves borders between labels to the photo's edges, by this many pixels at most.
//!
//! In: the photo and a label per pixel. Out: labels in which only pixels near a border changed. Each pixel farther from every
//! border keeps its label, and so does the middle of anything too thin to have such pixels. From these, all labels walk into
//! the remaining pixels at once, as in `travel.rs`, and meet at the strongest edges. Distances count a diagonal step as one.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use rayon::prelude::*;

use crate::strokes::UNMARKED;

/// A step costs the edge's strength, relative to its mean near borders, to this power.
const POWER: i32 = 3;
/// Cost of distance: where there is no edge, the border stays in the middle, where it was.
const STEP: f32 = 0.1;
/// Weight of a dark line's middle against its edges.
const HOLLOW: f32 = 2.0;
/// In a thin place, pixels this deep keep their label, as a share of the deepest nearby.
const MIDDLE: f32 = 0.7;

/// A picture with labels, row-major.
#[derive(Debug, Clone, Copy)]
pub(super) struct Labelled<'a> {
    pub(super) photo: &'a [[u8; 3]],
    pub(super) width: usize,
    /// Pixels whose label must not change; [`UNMARKED`] where it may.
    pub(super) fixed: &'a [u8],
}

/// Labels after snapping; no pixel farther than `reach` (1…250) from a border is changed.
pub(super) fn snapped(picture: Labelled<'_>, mut labels: Vec<u8>, reach: u8) -> Vec<u8> {
    let width = picture.width;
    let depth = depths(&labels, width, reach + 1);
    let open: Vec<u32> = (0..labels.len())
        .into_par_iter()
        .with_min_len(1 << 14)
        .filter(|at| {
            depth[*at] <= reach
                && picture.fixed[*at] == UNMARKED
                && !is_middle(&labels, &depth, width, *at, reach)
        })
        .map(|at| u32::try_from(at).expect("pictures have fewer than 2^32 pixels"))
        .collect();
    if open.is_empty() {
        return labels;
    }
    let edges: Vec<f32> = open
        .par_iter()
        .with_min_len(1 << 10)
        .map(|at| edge(&picture, *at as usize, usize::from(reach / 4).max(1)))
        .collect();
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_precision_loss,
        reason = "a mean of f32"
    )]
    let mean = (edges.iter().map(|edge| f64::from(*edge)).sum::<f64>() / edges.len() as f64) as f32;
    let costs: Vec<f32> = edges
        .iter()
        .map(|edge| (edge / (mean + 0.5)).powi(POWER) + STEP)
        .collect();
    flood(&mut labels, width, &open, &costs);
    labels
}

/// Distance of each pixel to the nearest of another label, at most `most`.
fn depths(labels: &[u8], width: usize, most: u8) -> Vec<u8> {
    let height = labels.len() / width;
    let mut depth = vec![most; labels.len()];
    depth
        .par_chunks_mut(width)
        .enumerate()
        .for_each(|(y, row)| {
            for (x, depth) in row.iter_mut().enumerate() {
                let own = labels[y * width + x];
                let beside = (y.saturating_sub(1)..=(y + 1).min(height - 1)).any(|y| {
                    let row = &labels[y * width..][x.saturating_sub(1)..(x + 2).min(width)];
                    row.iter().any(|label| *label != own)
                });
                if beside {
                    *depth = 1;
                }
            }
        });
    let lower = |depth: &mut [u8], at: usize, nears: [Option<usize>; 4]| {
        for near in nears.into_iter().flatten() {
            depth[at] = depth[at].min(depth[near].saturating_add(1));
        }
    };
    for at in 0..depth.len() {
        if depth[at] > 1 {
            let (x, y) = (at % width, at / width);
            let (left, up, right) = (x > 0, y > 0, x + 1 < width);
            lower(
                &mut depth,
                at,
                [
                    left.then(|| at - 1),
                    up.then(|| at - width),
                    (left && up).then(|| at - width - 1),
                    (right && up).then(|| at - width + 1),
                ],
            );
        }
    }
    for at in (0..depth.len()).rev() {
        if depth[at] > 1 {
            let (x, y) = (at % width, at / width);
            let (left, down, right) = (x > 0, y + 1 < height, x + 1 < width);
            lower(
                &mut depth,
                at,
                [
                    right.then_some(at + 1),
                    down.then_some(at + width),
                    (left && down).then(|| at + width - 1),
                    (right && down).then_some(at + width + 1),
                ],
            );
        }
    }
    depth
}

/// Whether a pixel is in the middle of something thin: about as deep as its label gets within `reach`.
fn is_middle(labels: &[u8], depth: &[u8], width: usize, at: usize, reach: u8) -> bool {
    let height = labels.len() / width;
    let step = usize::from(reach / 6).max(1);
    let reach = usize::from(reach);
    let (x, y) = (at % width, at / width);
    let deepest = (y.saturating_sub(reach)..=(y + reach).min(height - 1))
        .step_by(step)
        .flat_map(|y| {
            (x.saturating_sub(reach)..=(x + reach).min(width - 1))
                .step_by(step)
                .map(move |x| y * width + x)
        })
        .filter(|near| labels[*near] == labels[at])
        .map(|near| depth[near])
        .max();
    f32::from(depth[at]) >= MIDDLE * f32::from(deepest.unwrap_or(0))
}

/// How strong the edge at a pixel is: the largest difference between the two sides of a pixel, `apart` pixels off, over the
/// channels and both directions, and how much darker the pixel is than both.
fn edge(picture: &Labelled<'_>, at: usize, apart: usize) -> f32 {
    let (width, height) = (picture.width, picture.photo.len() / picture.width);
    let (x, y) = (at % width, at / width);
    let (left, right) = (x.saturating_sub(apart), (x + apart).min(width - 1));
    let (up, down) = (y.saturating_sub(apart), (y + apart).min(height - 1));
    let sum = |places: [(usize, usize); 3]| {
        places.iter().fold([0_i32; 3], |mut sum, (x, y)| {
            for (sum, code) in sum.iter_mut().zip(picture.photo[y * width + x]) {
                *sum += i32::from(code);
            }
            sum
        })
    };
    let most = |a: [i32; 3], b: [i32; 3]| (0..3).map(|i| (a[i] - b[i]).abs()).max().unwrap_or(0);
    let across = most(
        sum([(left, up), (left, y), (left, down)]),
        sum([(right, up), (right, y), (right, down)]),
    );
    let along = most(
        sum([(left, up), (x, up), (right, up)]),
        sum([(left, down), (x, down), (right, down)]),
    );
    // A dark line has an edge on each side, but two surfaces meet in its middle.
    let tone = |x: usize, y: usize| {
        picture.photo[y * width + x]
            .iter()
            .map(|code| i32::from(*code))
            .sum::<i32>()
    };
    let here = tone(x, y);
    let hollow = (tone(left, y).min(tone(right, y)) - here)
        .max(tone(x, up).min(tone(x, down)) - here)
        .max(0);
    #[allow(clippy::cast_precision_loss, reason = "at most 765")]
    let [across, along, hollow] = [across, along, hollow].map(|sum| sum as f32);
    (libm::hypotf(across, along) + HOLLOW * hollow) / 3.0
}

/// Gives each open pixel the label that reaches it most cheaply from pixels that are not open.
fn flood(labels: &mut [u8], width: usize, open: &[u32], costs: &[f32]) {
    const SETTLED: u32 = u32::MAX;
    let height = labels.len() / width;
    let mut place = vec![SETTLED; labels.len()];
    for (index, at) in open.iter().enumerate() {
        place[*at as usize] = u32::try_from(index).expect("fewer than 2^32 pixels");
    }
    let mut reached = vec![f32::INFINITY; open.len()];
    let mut queue = BinaryHeap::new();
    let nears = |at: usize| {
        let (x, y) = (at % width, at / width);
        (y.saturating_sub(1)..=(y + 1).min(height - 1)).flat_map(move |near_y| {
            (x.saturating_sub(1)..=(x + 1).min(width - 1)).map(move |near_x| {
                let length = if near_x != x && near_y != y {
                    std::f32::consts::SQRT_2
                } else {
                    1.0
                };
                (near_y * width + near_x, length)
            })
        })
    };
    // Bits of non-negative floats sort like the floats; equals are sorted by place, so the result is deterministic.
    let entry = |cost: f32, at: u32| Reverse((cost.to_bits(), at));
    for (index, at) in open.iter().enumerate() {
        let from = nears(*at as usize)
            .filter(|(near, _)| place[*near] == SETTLED)
            .min_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((near, length)) = from {
            reached[index] = length * 0.5 * costs[index];
            labels[*at as usize] = labels[near];
            queue.push(entry(reached[index], *at));
        }
    }
    while let Some(Reverse((bits, at))) = queue.pop() {
        let index = place[at as usize] as usize;
        let so_far = f32::from_bits(bits);
        if so_far > reached[index] {
            continue;
        }
        for (near, length) in nears(at as usize) {
            let other = place[near];
            if other == SETTLED {
                continue;
            }
            let other = other as usize;
            let total = so_far + length * 0.5 * (costs[index] + costs[other]);
            if total < reached[other] {
                reached[other] = total;
                labels[near] = labels[at as usize];
                queue.push(entry(total, open[other]));
            }
        }
    }
}
