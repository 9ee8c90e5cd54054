//! From the grid back to every pixel of the photo.
//!
//! In: beliefs and labels of cells, the strokes as painted. Out: a label per pixel. Where the four cells around a pixel agree,
//! it has their label; elsewhere beliefs are interpolated linearly between cells, and the border then moves to the edge in the
//! photo (`snap.rs`).

use rayon::prelude::*;

use crate::cells::{Belief, likeliest};
use crate::grid::Grid;
use crate::snap::{Labelled, snapped};
use crate::strokes::UNMARKED;

/// How far a border may move: in cells, and at least in pixels. Where a cell is a pixel, one was too little for the edges of
/// the coins (`docs/regions.md`).
const REACH_CELLS: f32 = 1.0;
const LEAST_REACH: f32 = 2.0;

/// A label per pixel of the photo.
pub(super) fn labels(
    grid: &Grid,
    belief: &Belief,
    cells: &[u8],
    photo: &[[u8; 3]],
    marks: &[u8],
) -> Vec<u8> {
    let width = grid.photo_width;
    let mut labels = vec![0_u8; photo.len()];
    let columns: Vec<Between> = (0..width)
        .map(|x| Between::cells(x, width, grid.width))
        .collect();
    labels
        .par_chunks_mut(width)
        .enumerate()
        .for_each(|(y, row)| {
            let down = Between::cells(y, grid.photo_height, grid.height);
            for (x, (label, across)) in row.iter_mut().zip(&columns).enumerate() {
                let mark = marks[y * width + x];
                *label = if mark == UNMARKED {
                    between(grid, belief, cells, *across, down)
                } else {
                    mark
                };
            }
        });
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "a cell is a few dozen pixels at most"
    )]
    let reach = (REACH_CELLS * width as f32 / grid.width as f32)
        .ceil()
        .clamp(LEAST_REACH, 60.0) as u8;
    let picture = Labelled {
        photo,
        width,
        fixed: marks,
    };
    snapped(picture, labels, reach)
}

/// The two cells with a pixel between their centres, and how near it is to the second.
#[derive(Debug, Clone, Copy)]
struct Between {
    first: usize,
    second: usize,
    share: f32,
}

impl Between {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "places on the grid, clamped to it"
    )]
    fn cells(pixel: usize, pixels: usize, cells: usize) -> Self {
        let place = ((pixel as f32 + 0.5) * cells as f32 / pixels as f32 - 0.5)
            .clamp(0.0, (cells - 1) as f32);
        let first = place as usize;
        Self {
            first,
            second: (first + 1).min(cells - 1),
            share: place - first as f32,
        }
    }
}

fn between(grid: &Grid, belief: &Belief, cells: &[u8], across: Between, down: Between) -> u8 {
    let corners = [
        down.first * grid.width + across.first,
        down.first * grid.width + across.second,
        down.second * grid.width + across.first,
        down.second * grid.width + across.second,
    ];
    let label = cells[corners[0]];
    if corners[1..].iter().all(|corner| cells[*corner] == label) {
        return label;
    }
    let weights = [
        (1.0 - across.share) * (1.0 - down.share),
        across.share * (1.0 - down.share),
        (1.0 - across.share) * down.share,
        across.share * down.share,
    ];
    let read = |plane: &[f32]| -> f32 {
        corners
            .iter()
            .zip(weights)
            .map(|(corner, weight)| plane[*corner] * weight)
            .sum()
    };
    let some_figure = corners.iter().any(|corner| cells[*corner] != 0);
    let some_background = corners.iter().any(|corner| cells[*corner] == 0);
    if some_background && (!some_figure || read(&belief.figure) <= 0.5) {
        return 0;
    }
    // Only a label of one of the four can win, so an island that was given away does not come back.
    let candidate = |region: usize| {
        corners
            .iter()
            .any(|corner| usize::from(cells[*corner]) == region + 1)
    };
    likeliest(belief.parts.iter().enumerate().map(|(region, part)| {
        if candidate(region) { read(part) } else { -2.0 }
    }))
}
