//! Paint and light from one photo alone: the reflectance of a drybrushed figure where nothing but the photo is known.
//!
//! In: a plate. Out: reflectance per pixel, 0…1. Drybrushing comes near white on the raised spots everywhere, so the
//! brightest tone nearby is nearly white under the light that falls there. The *envelope* of the tone is its running maximum within
//! the figure, then the running minimum of that: it bridges hollows and brush marks that are narrower than the window, and
//! keeps the edge of a cast shadow where it is (a closing: Serra 1982, Image Analysis and Mathematical Morphology). With ln t
//! the logarithm of the tone, and E₁ and E₂ that of a narrow and a wide envelope,
//!
//! ln substrate = NEAR · (ln t − E₁) + FAR · (ln t − E₂) + BREADTH · b + LEVEL,
//!
//! where b shows how broadly the figure is drybrushed: the upper quartile of ln t − E₁. Every term is a quotient of tones, so a
//! brighter exposure changes nothing. The model is ours.

use super::grid::{Grid, RowBetween};
use super::running::{Extreme, running};

use crate::plate::Plate;

/// Rows that the figure has at most on the grid of the envelopes: light changes slowly, and noise is averaged.
const GRID_ROWS: usize = 1000;
/// Added to luminance before the logarithm: below it there is only noise.
const FLOOR: f32 = 0.0005;
/// Reach of a mean over the tone before its maximum is taken, as a share of the figure's height: one glint is no light.
const CALM: f64 = 0.0012;
/// Reach of the two windows as shares of the figure's height.
const NARROW: f64 = 0.024;
const WIDE: f64 = 0.1;
/// An envelope is smoothed by this share of its window.
const SMOOTHED: f64 = 0.25;

// Chosen on twelve path-traced figures (demo_images/make/variants.py: two sculpts, each with six combinations of pose, lamp,
// primer, proportions, brush and exposure): the windows by eye among five sizes, on all of them; the four numbers below by least
// squares on the logarithm of the true reflectance, weighted by tone to the power of 0.4. With true paint tables, previews of each
// figure by the four numbers of the other eleven have a mean ΔE of 2.00 (1.4 to 3.1; the worst is brushed nearly white all over), by
// those of the six of the other sculpt 2.01. A constant share of light of 0.2 gives 3.8, the best constant share 2.2 if the
// white point is given, one envelope without the breadth 2.3, and the true light 0.9.
/// Exponents of the tone over the narrow and over the wide envelope.
const NEAR: f32 = 0.42;
const FAR: f32 = 0.30;
/// Effect of the upper quartile on the level, and the level itself.
const BREADTH: f32 = 3.82;
const LEVEL: f32 = 0.27;
/// The upper quartiles of those figures are between -0.29 and -0.10; nobody knows what holds far beyond.
const BREADTHS: [f32; 2] = [-0.35, -0.05];
/// Reflectance of the white paint on those figures: 0.75 to 0.84.
pub(super) const WHITE: f64 = 0.80;
/// Nothing on the figure reflects more than this share of its white paint.
const BRIGHTEST: f64 = 1.06;

/// The estimate for a plate.
pub(super) struct Lit {
    grid: Grid,
    /// Per cell the logarithm of the substrate without the term of the pixel's own tone.
    level: Vec<f32>,
    /// Reflectance between which the substrate must be.
    range: [f64; 2],
}

impl Lit {
    /// `black` and `white` are the reflectances of the dark primer and of the white paint. `None` if the figure has no pixel.
    pub(super) fn of(plate: &Plate, black: f64, white: f64) -> Option<Self> {
        let figure = plate.subject.figure_box()?;
        let factor = (figure.height as usize).div_ceil(GRID_ROWS);
        let grid = Grid::of(plate, figure, factor, WIDE * SMOOTHED, FLOOR);
        let calm = grid.surroundings(&grid.tone, grid.reach(CALM));
        let [narrow, wide] = [NARROW, WIDE].map(|share| envelope(&grid, &calm, share));
        let breadth = upper_quartile(&grid, &narrow).clamp(BREADTHS[0], BREADTHS[1]);
        #[allow(clippy::cast_possible_truncation, reason = "planes need no more")]
        let constant = BREADTH * breadth + LEVEL + libm::log(white / WHITE) as f32;
        let level = narrow
            .iter()
            .zip(&wide)
            .map(|(narrow, wide)| constant - NEAR * narrow - FAR * wide)
            .collect();
        // A fifth below the black point leaves room for primer that is not quite even.
        let most = (white * BRIGHTEST).min(1.0);
        let range = [(black * 0.8).min(most), most];
        Some(Self { grid, level, range })
    }

    /// One row of the photo.
    pub(super) fn row(&self, y: usize) -> LitRow<'_> {
        LitRow {
            level: self.grid.row_between(&self.level, y),
            range: self.range,
        }
    }
}

/// One row of the photo.
pub(super) struct LitRow<'a> {
    level: RowBetween<'a>,
    range: [f64; 2],
}

impl LitRow<'_> {
    /// The reflectance at a pixel of this tone.
    pub(super) fn reflectance(&self, x: usize, tone: u16) -> f64 {
        let ln_tone = libm::logf(f32::from(tone) / 65535.0 + FLOOR);
        let paint = libm::expf((NEAR + FAR) * ln_tone + self.level.at(x));
        let [least, most] = self.range;
        f64::from(paint).clamp(least, most)
    }
}

/// The logarithm of the envelope of a plane.
fn envelope(grid: &Grid, calm: &[f32], share: f64) -> Vec<f32> {
    let only_figure = |plane: &[f32], other: f32| -> Vec<f32> {
        let cells = plane.iter().zip(&grid.weight);
        cells
            .map(|(value, weight)| if *weight > 0.0 { *value } else { other })
            .collect()
    };
    let reach = grid.reach(share);
    let mut plane = only_figure(calm, Extreme::Most.none());
    plane = running(&plane, grid.width, reach, Extreme::Most);
    plane = only_figure(&plane, Extreme::Least.none());
    plane = running(&plane, grid.width, reach, Extreme::Least);
    grid.surroundings(&only_figure(&plane, 0.0), grid.reach(share * SMOOTHED))
}

/// The upper quartile of the tone over the envelope, as a logarithm: near 0 where white covers a quarter of the figure.
fn upper_quartile(grid: &Grid, envelope: &[f32]) -> f32 {
    let mut below: Vec<f32> = grid
        .tone
        .iter()
        .zip(envelope)
        .zip(&grid.weight)
        .filter(|(_, weight)| **weight > 0.5)
        .map(|((tone, envelope), _)| tone - envelope)
        .collect();
    if below.is_empty() {
        return 0.0;
    }
    let at = (below.len() - 1) * 3 / 4;
    *below.select_nth_unstable_by(at, f32::total_cmp).1
}
