//! From marks to a label for every cell of the grid: first the figure against the background, then its parts.
//!
//! In: the grid and its marks. Out: soft scores per cell, so that the full size can cut between cells. The figure is found by colour
//! and by walking from the strokes, its parts by walking alone: see `travel.rs`, `colours.rs`, `edges.rs`.

use rayon::prelude::*;

use super::colours::figure_odds;
use super::edges::{against_surroundings, strength};
use super::filters::{blurred, gradient_length};
use super::grid::Grid;
use super::smooth::Links;
use super::strokes::UNMARKED;
use super::travel::{Cell, travel};

/// Walks pay strength to this power: the strongest edge on the way decides.
const FIGURE_POWER: i32 = 3;
const PART_POWER: i32 = 4;
/// Where colour changes from figure's to background's there is an edge, this strong for a change from none to all.
const COLOUR_EDGE: f32 = 12.0;
/// What a walk of the background pays to begin at the picture's rim: figures seldom touch it, but they may.
const RIM: f32 = 0.5;
/// How sure cells are of their first opinion while they are drawn together, and for how many rounds.
const FIGURE_SURENESS: f32 = 0.01;
const FIGURE_ROUNDS: usize = 120;
const PART_SURENESS: f32 = 0.1;
const PART_ROUNDS: usize = 20;
/// What leaving the figure costs a part.
const LEAVING: f32 = 30.0;
/// Costs are compared above this.
const NEAR: f32 = 0.05;

/// What is believed of every cell.
#[derive(Debug)]
pub(super) struct Belief {
    /// 0 background … 1 figure.
    pub(super) figure: Vec<f32>,
    /// One plane per region, 0…1; they add up to 1 in each cell of the figure.
    pub(super) parts: Vec<Vec<f32>>,
}

/// Beliefs about the cells. `marks` holds 0 for the background's strokes, a region's index + 1 or [`UNMARKED`].
pub(super) fn belief(grid: &Grid, marks: &[u8], regions: usize) -> Belief {
    let strength = strength(grid);
    let figure = if marks.contains(&0) {
        figure(grid, marks, &strength)
    } else {
        vec![1.0; grid.len()]
    };
    let parts = parts(grid, marks, &strength, &figure, regions);
    Belief { figure, parts }
}

fn figure(grid: &Grid, marks: &[u8], strength: &[f32]) -> Vec<f32> {
    let edges = against_surroundings(grid, strength, |_| true);
    let odds = figure_odds(grid, marks, strength);
    let likely: Vec<f32> = odds.iter().map(|odds| sigmoid(*odds)).collect();
    let changes = gradient_length(&blurred(&likely, grid.width, 0.8), grid.width);
    let cost: Vec<f32> = edges
        .iter()
        .zip(&changes)
        .map(|(edge, change)| (edge + COLOUR_EDGE * change).powi(FIGURE_POWER))
        .collect();
    let rim = |at: usize| {
        let (x, y) = (at % grid.width, at / grid.width);
        x == 0 || y == 0 || x + 1 == grid.width || y + 1 == grid.height
    };
    let (from_background, from_figure) = rayon::join(
        || {
            travel(&cost, grid.width, |at| match marks[at] {
                0 => Cell::Start(0.0),
                UNMARKED if rim(at) => Cell::Start(RIM),
                UNMARKED => Cell::Open,
                _ => Cell::Closed,
            })
        },
        || {
            travel(&cost, grid.width, |at| match marks[at] {
                0 => Cell::Closed,
                UNMARKED => Cell::Open,
                _ => Cell::Start(0.0),
            })
        },
    );
    let mut figure: Vec<f32> = (0..grid.len())
        .map(|at| match marks[at] {
            0 => 0.0,
            UNMARKED => {
                let walks = ((from_background[at] + 0.5).min(f32::MAX)
                    / (from_figure[at] + 0.5).min(f32::MAX))
                .ln();
                sigmoid(walks + odds[at])
            }
            _ => 1.0,
        })
        .collect();
    Links::across(&edges, grid.width).smooth(&mut figure, FIGURE_SURENESS, FIGURE_ROUNDS, |at| {
        marks[at] != UNMARKED
    });
    figure
}

fn sigmoid(odds: f32) -> f32 {
    1.0 / (1.0 + (-odds).exp())
}

fn parts(
    grid: &Grid,
    marks: &[u8],
    strength: &[f32],
    figure: &[f32],
    regions: usize,
) -> Vec<Vec<f32>> {
    let inside = |at: usize| match marks[at] {
        0 => false,
        UNMARKED => figure[at] > 0.5,
        _ => true,
    };
    let mut edges = against_surroundings(grid, strength, inside);
    let cost: Vec<f32> = edges
        .iter()
        .enumerate()
        .map(|(at, edge)| edge.powi(PART_POWER) + if inside(at) { 0.0 } else { LEAVING })
        .collect();
    let mut parts: Vec<Vec<f32>> = (1..=regions)
        .into_par_iter()
        .map(|region| {
            let reached = travel(&cost, grid.width, |at| match marks[at] {
                UNMARKED => Cell::Open,
                mark if usize::from(mark) == region => Cell::Start(0.0),
                _ => Cell::Closed,
            });
            reached.iter().map(|cost| (cost + NEAR).powi(-2)).collect()
        })
        .collect();
    for at in 0..grid.len() {
        let sum: f32 = parts.iter().map(|part| part[at]).sum();
        if sum > 0.0 {
            parts.iter_mut().for_each(|part| part[at] /= sum);
        }
    }
    for (at, edge) in edges.iter_mut().enumerate() {
        if !inside(at) {
            *edge = LEAVING;
        }
    }
    let links = Links::across(&edges, grid.width);
    parts.par_iter_mut().for_each(|part| {
        links.smooth(part, PART_SURENESS, PART_ROUNDS, |at| {
            marks[at] != UNMARKED || !inside(at)
        });
    });
    parts
}

impl Belief {
    /// The likelier label of a cell: 0 for background, else a region's index + 1. Of equals the first.
    pub(super) fn label(&self, at: usize) -> u8 {
        if self.figure[at] <= 0.5 {
            return 0;
        }
        likeliest(self.parts.iter().map(|part| part[at]))
    }
}

/// The label of the largest score; of equals the first.
pub(super) fn likeliest(scores: impl Iterator<Item = f32>) -> u8 {
    let (label, _) = scores.enumerate().fold((0, -1.0), |best, (index, score)| {
        if score > best.1 { (index, score) } else { best }
    });
    u8::try_from(label + 1).expect("at most 250 regions")
}

impl Belief {
    /// Makes beliefs agree with labels that were decided otherwise since.
    pub(super) fn agree_with(&mut self, labels: &[u8]) {
        for (at, label) in labels.iter().enumerate() {
            if self.label(at) == *label {
                continue;
            }
            self.figure[at] = if *label == 0 { 0.0 } else { 1.0 };
            for (region, part) in self.parts.iter_mut().enumerate() {
                part[at] = if region + 1 == usize::from(*label) {
                    1.0
                } else {
                    0.0
                };
            }
        }
    }
}
