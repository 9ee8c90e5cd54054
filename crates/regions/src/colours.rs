//! Figure or background by colour and roughness: which of the two has more strokes that look like a cell.
//!
//! In: the grid, its strengths of edges and the marks on it. Out: per cell the logarithm of how much more likely the figure is,
//! 0 where neither has such colours. There are three tables. The first has all three coordinates. The second has hue and chroma
//! relative to lightness, which do not change in shadow (a grey backdrop gives no information there, and the table then has no
//! effect). The third has roughness, the mean strength of edges nearby.

use crate::filters::{Derivative, Kernel, blurred};
use crate::grid::Grid;
use crate::strokes::UNMARKED;

/// Bins of L\* 0…100, a\* and b\* −40…40.
const FULL: [usize; 3] = [40, 24, 24];
/// Bins of a\* and b\* relative to lightness, −40…40.
const HUE: [usize; 3] = [1, 40, 40];
/// Bins of the logarithm of the mean strength of edges nearby, 0…5.
const ROUGHNESS: [usize; 3] = [1, 1, 24];
const ROUGHEST: f32 = 5.0;
/// Reach within which edges count as roughness, as a sigma in cells.
const ROUGHNESS_REACH: f32 = 3.0;
/// Blur of the tables, in bins: strokes show only a few of the colours.
const BLUR: f32 = 1.2;
/// Share added to each bin, in units of three times an even table: a colour of few strokes counts little.
const UNSEEN: f32 = 3.0;
/// The largest vote of one table, as a logarithm.
const MOST: f32 = 4.0;
/// Weight of each table of colours.
const WEIGHT: f32 = 0.6;
/// Weight of the table of roughness: most backdrops are smoother than a figure, or rougher than its parts.
const ROUGHNESS_WEIGHT: f32 = 0.8;
/// Half the range of a\* and b\*.
const CHROMA: f32 = 40.0;
/// Blur of the colours before they are looked up, in cells.
const GRAIN: f32 = 0.7;

/// Natural logarithm of figure's over background's likelihood, per cell.
pub(super) fn figure_odds(grid: &Grid, marks: &[u8], strength: &[f32]) -> Vec<f32> {
    let lab: [Vec<f32>; 3] =
        std::array::from_fn(|channel| blurred(&grid.lab[channel], grid.width, GRAIN));
    let full = |at: usize| {
        let (l, a, b) = (lab[0][at], lab[1][at], lab[2][at]);
        bin_of([l / 100.0, share(a), share(b)], FULL)
    };
    let hue = |at: usize| {
        let factor = 50.0 / (lab[0][at] + 12.0);
        bin_of(
            [0.0, share(lab[1][at] * factor), share(lab[2][at] * factor)],
            HUE,
        )
    };
    let roughness = blurred(strength, grid.width, ROUGHNESS_REACH);
    let rough = |at: usize| {
        bin_of(
            [0.0, 0.0, libm::logf(1.0 + roughness[at]) / ROUGHEST],
            ROUGHNESS,
        )
    };
    let mut odds = vec![0.0_f32; grid.len()];
    let tables = [
        (FULL, &full as &dyn Fn(usize) -> usize, WEIGHT),
        (HUE, &hue, WEIGHT),
        (ROUGHNESS, &rough, ROUGHNESS_WEIGHT),
    ];
    for (bins, bin, weight) in tables {
        let figure = table(marks, bins, bin, |mark| mark != 0 && mark != UNMARKED);
        let background = table(marks, bins, bin, |mark| mark == 0);
        #[allow(clippy::cast_precision_loss, reason = "some thousand bins")]
        let unseen = UNSEEN / bins.iter().product::<usize>() as f32;
        for (at, odds) in odds.iter_mut().enumerate() {
            let bin = bin(at);
            let says = libm::logf((figure[bin] + unseen) / (background[bin] + unseen));
            *odds += weight * says.clamp(-MOST, MOST);
        }
    }
    odds
}

fn share(chroma: f32) -> f32 {
    (chroma + CHROMA) / (2.0 * CHROMA)
}

/// The bin of coordinates 0…1; what is outside goes to the outermost.
fn bin_of(place: [f32; 3], bins: [usize; 3]) -> usize {
    place.iter().zip(bins).fold(0, |index, (place, bins)| {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss,
            reason = "clamped to the bins"
        )]
        let bin = (place * bins as f32).clamp(0.0, bins as f32 - 1.0) as usize;
        index * bins + bin
    })
}

/// Shares of the chosen marks' cells per bin, blurred; they add up to 1.
fn table(
    marks: &[u8],
    bins: [usize; 3],
    bin: &dyn Fn(usize) -> usize,
    wanted: impl Fn(u8) -> bool,
) -> Vec<f32> {
    let mut table = vec![0.0_f32; bins.iter().product()];
    for (at, _) in marks.iter().enumerate().filter(|(_, mark)| wanted(**mark)) {
        table[bin(at)] += 1.0;
    }
    let kernel = Kernel::new(BLUR, Derivative::None);
    let strides = [bins[1] * bins[2], bins[2], 1];
    for (count, stride) in bins.into_iter().zip(strides) {
        if count > 1 {
            table = kernel.along(&table, count, stride);
        }
    }
    let sum: f32 = table.iter().sum();
    if sum > 0.0 {
        table.iter_mut().for_each(|share| *share /= sum);
    }
    table
}
