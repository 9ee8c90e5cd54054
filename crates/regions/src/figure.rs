//! The figure against the background.
//!
//! In: the grid, its marks and strengths of edges. Out: 0 background … 1 figure per cell. Three votes: what both look like nearby
//! (`nearby.rs`), which colours their strokes have in the whole picture (`colours.rs`), and how much more a walk to a cell costs from
//! the background's strokes or the edge of the picture than from the figure's strokes (`travel.rs`). The votes are smoothed where
//! there is no edge (`smooth.rs`). Cells that are certain by then become samples of appearance for the second round: a dark flank in
//! front of a dark backdrop is recognised by its lit neighbours and the backdrop there, not by strokes far away.

use crate::basins::Basins;
use crate::colours::figure_odds;
use crate::edges::against_surroundings;
use crate::filters::{blurred, gradient_length};
use crate::grid::Grid;
use crate::nearby::{Looks, Sample};
use crate::smooth::Links;
use crate::strokes::UNMARKED;
use crate::travel::{Cell, travel};

/// A step costs the strength to this power, so the strongest edge on the path decides.
const POWER: i32 = 4;
/// Cost of distance alone: small, otherwise a flat path over a wide figure would cost as much as an edge.
const STEP: f32 = 0.015;
/// Weight of walks relative to appearance.
const WALKS: f32 = 1.2;
/// Where appearance changes from figure to background there is an edge, this strong for a change from 0 to 1.
const CHANGE_EDGE: f32 = 12.0;
/// Cost of starting a walk of the background at the edge of the picture: figures rarely touch it, but they may. It costs more
/// where the edge looks more like figure, so a figure cut off by the picture keeps its foot.
const RIM: f32 = 0.5;
/// Weight of a cell at the edge of the picture as a sample of the background, at first.
const RIM_WEIGHT: f32 = 0.3;
/// Costs are compared above this.
const NEAR: f32 = 0.5;
/// Weight of each cell's first opinion during smoothing.
const SURENESS: f32 = 0.01;
/// Smoothing steps in each round; the last round decides.
const ROUNDS: [usize; 2] = [25, 60];
/// A cell at least this certain becomes a sample of the next round; a stroke counts this many times as much.
const SURE: f32 = 0.7;
const STROKE_WEIGHT: f32 = 3.0;
/// Weight of the strokes' colours in the whole picture, relative to appearance nearby: a gap between legs has no stroke nearby.
const EVERYWHERE: f32 = 0.5;
/// Blur of strength before basins are found, in cells.
const BASIN_BLUR: f32 = 0.6;

/// How much each cell is figure.
pub(super) fn figure(grid: &Grid, marks: &[u8], strength: &[f32]) -> Vec<f32> {
    let edges = against_surroundings(grid, strength, |_| true);
    let links = Links::across(&edges, grid.width);
    let nobody = vec![UNMARKED; grid.len()];
    let basins = Basins::of(
        &blurred(strength, grid.width, BASIN_BLUR),
        grid.width,
        &nobody,
    );
    let looks = Looks::of(grid, strength, &basins);
    let everywhere = figure_odds(grid, marks, strength);
    let [mut of_figure, mut of_background] = strokes_and_rim(grid, marks);
    let mut figure = Vec::new();
    for steps in ROUNDS {
        let odds = looks.odds(&of_figure, &of_background);
        let odds: Vec<f32> = everywhere
            .iter()
            .zip(&basins.of)
            .map(|(everywhere, basin)| EVERYWHERE * everywhere + odds[*basin as usize])
            .collect();
        let walks = walks(grid, marks, &edges, &odds);
        figure = (0..grid.len())
            .map(|at| match marks[at] {
                0 => 0.0,
                UNMARKED => sigmoid(walks[at] + odds[at]),
                _ => 1.0,
            })
            .collect();
        links.smooth(&mut figure, SURENESS, steps, |at| marks[at] != UNMARKED);
        [of_figure, of_background] = sure(marks, &figure);
    }
    figure
}

fn is_rim(grid: &Grid, at: usize) -> bool {
    let (x, y) = (at % grid.width, at / grid.width);
    x == 0 || y == 0 || x + 1 == grid.width || y + 1 == grid.height
}

/// The first samples of figure and background.
fn strokes_and_rim(grid: &Grid, marks: &[u8]) -> [Vec<Sample>; 2] {
    let of_figure = |at: &usize| marks[*at] != 0 && marks[*at] != UNMARKED;
    let of_background = |at: usize| match marks[at] {
        0 => Some((at, 1.0)),
        UNMARKED if is_rim(grid, at) => Some((at, RIM_WEIGHT)),
        _ => None,
    };
    [
        (0..grid.len())
            .filter(of_figure)
            .map(|at| (at, 1.0))
            .collect(),
        (0..grid.len()).filter_map(of_background).collect(),
    ]
}

/// Samples of the figure and of the background once most cells are known.
fn sure(marks: &[u8], figure: &[f32]) -> [Vec<Sample>; 2] {
    let samples = |own: &dyn Fn(u8) -> bool, belief: &dyn Fn(f32) -> f32| {
        let weight = |at: usize| match marks[at] {
            UNMARKED => (belief(figure[at]) > SURE).then_some((at, 1.0)),
            mark => own(mark).then_some((at, STROKE_WEIGHT)),
        };
        (0..marks.len()).filter_map(weight).collect()
    };
    [
        samples(&|mark| mark != 0, &|figure| figure),
        samples(&|mark| mark == 0, &|figure| 1.0 - figure),
    ]
}

/// How much more expensive it is to come from the background than from the figure, as a natural logarithm.
fn walks(grid: &Grid, marks: &[u8], edges: &[f32], odds: &[f32]) -> Vec<f32> {
    let likely: Vec<f32> = odds.iter().map(|odds| sigmoid(*odds)).collect();
    let changes = gradient_length(&blurred(&likely, grid.width, 0.8), grid.width);
    let cost: Vec<f32> = edges
        .iter()
        .zip(&changes)
        .map(|(edge, change)| (edge + CHANGE_EDGE * change).powi(POWER))
        .collect();
    let (from_background, from_figure) = rayon::join(
        || {
            travel(
                &cost,
                grid.width,
                STEP,
                |at| match marks[at] {
                    0 => Cell::Start(0.0),
                    UNMARKED if is_rim(grid, at) => Cell::Start(RIM * libm::expf(odds[at])),
                    UNMARKED => Cell::Open,
                    _ => Cell::Closed,
                },
                |_| true,
            )
        },
        || {
            travel(
                &cost,
                grid.width,
                STEP,
                |at| match marks[at] {
                    0 => Cell::Closed,
                    UNMARKED => Cell::Open,
                    _ => Cell::Start(0.0),
                },
                |_| true,
            )
        },
    );
    let above = |cost: f32| (cost + NEAR).min(f32::MAX);
    from_background
        .iter()
        .zip(&from_figure)
        .map(|(background, figure)| WALKS * libm::logf(above(*background) / above(*figure)))
        .collect()
}

fn sigmoid(odds: f32) -> f32 {
    1.0 / (1.0 + libm::expf(-odds))
}
