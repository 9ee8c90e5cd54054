//! Figure or background by appearance nearby.
//!
//! In: the appearance (tone, colour, roughness) and place of each cell, samples of the figure and of the background. Out: the
//! natural logarithm of how much more likely the figure is. Light falls off over a backdrop and a shadow is on one side of a
//! figure, so closer samples count more: the density of each side is a mean of kernels (Nadaraya 1964, Watson 1964) over
//! appearance, weighted by nearness. Far from all samples appearance counts little, and edges decide. Computed once per basin
//! (`basins.rs`), because the cells of a basin look alike.

use rayon::prelude::*;

use crate::basins::Basins;
use crate::filters::blurred;
use crate::grid::Grid;

/// Reach of a sample in place, as a share of the longer side.
const REACH: f32 = 0.1;
/// How far L\*, a\* and b\*, and the logarithm of roughness may differ and still be alike.
const TONE: f32 = 6.0;
const CHROMA: f32 = 3.0;
const ROUGHNESS: f32 = 0.7;
/// Reach within which edges count as roughness, as a sigma in cells.
const ROUGHNESS_REACH: f32 = 3.0;
/// Blur of the colours before they are compared, in cells.
const GRAIN: f32 = 0.7;
/// Density of an appearance without samples, so that it counts little.
const UNSEEN: f32 = 0.02;
/// Mean nearness of the samples at which appearance counts half of what it would count next to them.
const FAR: f32 = 0.1;
/// The largest vote of appearance, as a logarithm.
const MOST: f32 = 4.0;
/// Samples of each side, at most.
const SAMPLES: usize = 400;

/// Place (columns, rows) and looks (L\*, a\*, b\*, roughness), each in units within which two are alike.
type Look = [f32; 6];
const PLACE: usize = 2;

/// The appearance of every cell and every basin.
#[derive(Debug)]
pub(super) struct Looks {
    cells: Vec<Look>,
    basins: Vec<Look>,
}

/// A cell known to be figure or background, and its weight.
pub(super) type Sample = (usize, f32);

impl Looks {
    /// `strength` is of edges, per cell.
    pub(super) fn of(grid: &Grid, strength: &[f32], basins: &Basins) -> Self {
        let lab: [Vec<f32>; 3] =
            std::array::from_fn(|channel| blurred(&grid.lab[channel], grid.width, GRAIN));
        let rough = blurred(strength, grid.width, ROUGHNESS_REACH);
        #[allow(
            clippy::cast_precision_loss,
            reason = "a grid has some hundred cells a side"
        )]
        let reach = REACH * grid.width.max(grid.height) as f32;
        let look = |at: usize| {
            #[allow(
                clippy::cast_precision_loss,
                reason = "a grid has some hundred cells a side"
            )]
            let (x, y) = ((at % grid.width) as f32, (at / grid.width) as f32);
            [
                x / reach,
                y / reach,
                lab[0][at] / TONE,
                lab[1][at] / CHROMA,
                lab[2][at] / CHROMA,
                libm::logf(1.0 + rough[at]) / ROUGHNESS,
            ]
        };
        let cells: Vec<Look> = (0..grid.len()).map(look).collect();
        let mut means = vec![[0.0; 6]; basins.len()];
        for (look, basin) in cells.iter().zip(&basins.of) {
            let size = basins.size[*basin as usize];
            for (mean, value) in means[*basin as usize].iter_mut().zip(look) {
                *mean += value / size;
            }
        }
        Self {
            cells,
            basins: means,
        }
    }

    /// Natural logarithm of figure's over background's likelihood, per basin; 0 everywhere if one of them has no samples.
    pub(super) fn odds(&self, figure: &[Sample], background: &[Sample]) -> Vec<f32> {
        if figure.is_empty() || background.is_empty() {
            return vec![0.0; self.basins.len()];
        }
        let [figure, background] = [figure, background].map(|samples| self.thinned(samples));
        self.basins
            .par_iter()
            .with_min_len(64)
            .map(|look| {
                let [figure, background] =
                    [&figure, &background].map(|samples| alike_and_near(samples, look));
                let near = 0.5 * (figure.1 + background.1);
                let odds = libm::logf((figure.0 + UNSEEN) / (background.0 + UNSEEN));
                near / (near + FAR) * odds.clamp(-MOST, MOST)
            })
            .collect()
    }

    /// Evenly chosen samples' looks, with their weights.
    fn thinned(&self, samples: &[Sample]) -> Vec<(Look, f32)> {
        let count = samples.len().min(SAMPLES);
        (0..count)
            .map(|index| samples[(2 * index + 1) * samples.len() / (2 * count)])
            .map(|(cell, weight)| (self.cells[cell], weight))
            .collect()
    }
}

/// How common this appearance is among the samples nearby, and how near the samples are on average; both 0…1.
fn alike_and_near(samples: &[(Look, f32)], look: &Look) -> (f32, f32) {
    let (mut alike, mut near, mut all) = (0.0, 0.0, 0.0);
    for (sample, weight) in samples {
        let mut squares = [0.0; 6];
        for (square, (a, b)) in squares.iter_mut().zip(sample.iter().zip(look)) {
            *square = (a - b) * (a - b);
        }
        let far = 1.0 + squares[..PLACE].iter().sum::<f32>();
        let unlike = 1.0 + squares[PLACE..].iter().sum::<f32>();
        let nearness = weight / (far * far);
        alike += nearness / (unlike * unlike * unlike);
        near += nearness;
        all += weight;
    }
    (alike / near, near / all)
}
