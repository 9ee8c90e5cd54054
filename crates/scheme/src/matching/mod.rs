//! Matching: the mixes whose dried colour comes nearest to a target.
//!
//! In: target colours, each over an undercoat and with a weight, and a [`Grid`] of mixes. Out: the best mixes, each with its
//! distance, what it is known from, and what one part too many or too few would change. The distance is the weighted mean
//! of CIEDE2000 over the aims, unless another [`Measure`] is chosen. Every mix of a grid of up to [`WHOLE_UP_TO`] colours is
//! tried, so no other has a smaller distance; larger grids are thinned out (`thinned.rs`). [`PaintBox::mixed`] does the mixing.
//! Not here: what is out of the grid's reach (`reach.rs`).

mod coarse;
mod grid;
mod reach;
mod search;
mod slips;
mod thinned;
mod trial;
mod useful;

pub use grid::{FILMS, Grid, MAX_PAINTS, MAX_PARTS};
pub(crate) use reach::best_distance_from;
pub use reach::{
    FAR, HelpfulPaint, OUT_OF_REACH, best_distance, best_distance_watched, helpful_paint,
};
pub use slips::{Component, Slip};
pub use useful::{BestAt, GIVEN_UP, LOOKED_THROUGH, useful};

use std::sync::atomic::{AtomicUsize, Ordering};

use velatura_document::Error;
use velatura_optics::calibrate::PaintBox;
use velatura_optics::colour::{Lab, Linear, delta_e};
use velatura_optics::mixture::Mix;
use velatura_optics::paint::Optics;
use velatura_optics::trust::Trust;

use crate::prediction::Substrate;
use crate::watch::Watch;

/// Colours of a grid up to which every one is tried: a second or two of one core.
pub const WHOLE_UP_TO: u64 = 3_000_000;

/// How much farther from the target, ΔE, the first mix of a thinned search was than that of a whole one, at most: measured on
/// random paints and targets (`tests/it/matching_thinned.rs`).
pub const THINNED_WITHIN: f64 = 0.5;

/// A target colour over one undercoat.
#[derive(Debug, Clone, PartialEq)]
pub struct Aim {
    /// The dried colour to reach, in the undercoat's convention.
    pub target: Lab,
    /// The undercoat.
    pub substrate: Substrate,
    /// Its weight relative to the other aims, more than 0.
    pub weight: f64,
}

/// What to find, and among which mixes.
#[derive(Debug, Clone, PartialEq)]
pub struct Matching {
    /// The targets: one, or several for a coat over many greys. At least one.
    pub aims: Vec<Aim>,
    /// The mixes to try.
    pub grid: Grid,
    /// How many to return.
    pub count: usize,
    /// What "near" means.
    pub measure: Measure,
}

/// How the distance of two colours is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Measure {
    /// ΔE, CIEDE2000: as the eye sees it, for similar colours.
    #[default]
    Ciede2000,
    /// The plain distance in CIELAB (CIE 15), for targets that no mix comes near. CIEDE2000 was made for small differences:
    /// it can rate a grey nearer to a vivid violet than a duller violet.
    Cielab,
}

impl Measure {
    fn between(self, a: Lab, b: Lab) -> f64 {
        match self {
            Self::Ciede2000 => delta_e(a, b),
            Self::Cielab => {
                let squares = a.0.iter().zip(b.0).map(|(a, b)| (a - b).powi(2));
                squares.sum::<f64>().sqrt()
            }
        }
    }
}

impl Matching {
    /// One colour over one undercoat, from owned paints, with the usual limits and the five best.
    #[must_use]
    pub fn new(paints: &PaintBox, target: Lab, substrate: Substrate) -> Self {
        Self {
            aims: vec![Aim {
                target,
                substrate,
                weight: 1.0,
            }],
            grid: Grid::of_owned(paints),
            count: 5,
            measure: Measure::Ciede2000,
        }
    }

    /// Weighted mean distance of dried colours, one per aim, to the aims.
    fn distance(&self, colours: &[Linear]) -> f64 {
        self.mean(self.measure, colours)
    }

    fn mean(&self, measure: Measure, colours: &[Linear]) -> f64 {
        mean(&self.aims, |index| {
            measure.between(colours[index].lab(), self.aims[index].target)
        })
    }
}

/// One mix near the target.
#[derive(Debug, Clone, PartialEq)]
pub struct Match {
    /// Whole parts of paints and medium.
    pub mix: Mix,
    /// The film of the grid that suits it best.
    pub film: f64,
    /// Its dried colour over each aim's undercoat, linear sRGB.
    pub colours: Vec<Linear>,
    /// Weighted mean ΔE (CIEDE2000) to the aims, whatever measure ranked them.
    pub delta_e: f64,
    /// The basis of its colour, and the usual error of such colours.
    pub trust: Trust,
    /// What one part more or less of each component changes.
    pub slips: Vec<Slip>,
}

impl Match {
    /// The largest change of the dried colour that one part too many or too few of one component makes, ΔE.
    #[must_use]
    pub fn worst_slip(&self) -> f64 {
        self.slips
            .iter()
            .flat_map(|slip| [slip.more].into_iter().chain(slip.less))
            .fold(0.0, f64::max)
    }
}

/// How much work a search may be, and who watches it.
#[derive(Debug, Clone, Copy)]
pub struct Effort<'a> {
    /// A grid of up to so many colours ([`Grid::size`]) is searched whole. Of a larger one about so many are tried.
    pub colours: u64,
    /// Stops the search, and looks at its progress.
    pub watch: Watch<'a>,
}

impl Default for Effort<'static> {
    /// [`WHOLE_UP_TO`] colours, and nobody watches.
    fn default() -> Self {
        Self {
            colours: WHOLE_UP_TO,
            watch: Watch::nobody(),
        }
    }
}

/// What a search found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The mixes, best first.
    pub mixes: Vec<Match>,
    /// Whether the grid was thinned out: then a mix that was not tried may be nearer. On random paints the first was at
    /// most [`THINNED_WITHIN`] farther from the target than the nearest of all.
    pub thinned: bool,
}

/// The mixes nearest to the targets, best first: by distance, then fewer paints, then fewer parts, then a film nearer 1.
///
/// Distances that agree to a millionth are a tie. A mix is listed once, at its best film. Among mixes of the same paints in
/// the same ratio that dry to the same colour (more medium, thicker film), only the first is listed. Empty if the grid is.
/// A grid of more than [`WHOLE_UP_TO`] colours is thinned out.
///
/// # Panics
/// If the grid names a paint that is not in the box.
///
/// ```
/// use velatura_document::SourceText;
/// use velatura_optics::{calibrate::calibrate, colour::Encoded, paints_file::read_paints_file};
/// use velatura_scheme::{Substrate, matching::{Matching, nearest_mixes}, mix_text};
///
/// let text = r##"
/// format = "velatura-paints/1"
/// cards = { black = "#1c1c1c", white = "#f0f0f0" }
/// [[paint]]
/// name = "Oil Amber"
/// over_black = "#4d3718"
/// over_white = "#f4a520"
/// "##;
/// let source = SourceText::new("paints.toml", text);
/// let paints = calibrate(&read_paints_file(&source).unwrap().value).value;
/// let colour = |hex: &str| hex.parse::<Encoded>().unwrap();
/// let over = Substrate::of_colour(colour("#e0e0e0").linear(), paints.cards.specular);
/// let found = nearest_mixes(&paints, &Matching::new(&paints, colour("#e0b060").lab(), over));
/// println!("{}: ΔE {:.1}", mix_text(&found[0].mix, &paints), found[0].delta_e);
/// # assert!(found.len() == 5 && found[0].delta_e < 6.0, "{found:?}");
/// ```
#[must_use]
pub fn nearest_mixes(paints: &PaintBox, matching: &Matching) -> Vec<Match> {
    let found = find(paints, matching, &Effort::default());
    found.expect("nobody stops it").mixes
}

/// As [`nearest_mixes`], with a limit of the caller's, while somebody watches.
///
/// # Errors
/// [`Error::Cancelled`] if it was stopped.
///
/// # Panics
/// If the grid names a paint that is not in the box.
pub fn find(paints: &PaintBox, matching: &Matching, effort: &Effort<'_>) -> Result<Found, Error> {
    let grid = &matching.grid;
    let thinned = grid.size() > effort.colours;
    let best = if thinned {
        thinned::best(paints, matching, effort.colours, &effort.watch)?
    } else {
        let (subsets, ratios) = (grid.subsets(), grid.ratios());
        let done = AtomicUsize::new(0);
        let piece = |_| {
            let done = done.fetch_add(1, Ordering::Relaxed) + 1;
            #[allow(clippy::cast_precision_loss, reason = "a share of some thousands")]
            effort.watch.report(done as f64 / subsets.len() as f64);
        };
        let ratios = |subset: &[usize]| ratios[subset.len() - 1].as_slice();
        thinned::whole(paints, matching, &subsets, ratios, &effort.watch, &piece)?
    };
    let mixes = best
        .into_iter()
        .map(|candidate| {
            let slips = slips::slips(paints, &candidate, &matching.aims);
            Match {
                trust: paints.trust(&candidate.mix),
                delta_e: matching.mean(Measure::Ciede2000, &candidate.colours),
                mix: candidate.mix,
                film: candidate.film,
                colours: candidate.colours,
                slips,
            }
        })
        .collect();
    Ok(Found { mixes, thinned })
}

/// Dried colour of a film over each aim's undercoat.
fn dried(optics: &Optics, film: f64, aims: &[Aim]) -> Vec<Linear> {
    let stack = optics.film(film);
    aims.iter()
        .map(|aim| aim.substrate.seen_through(&stack))
        .collect()
}

/// Weighted mean over the aims of a number by the aim's index.
fn mean(aims: &[Aim], of: impl Fn(usize) -> f64) -> f64 {
    let total: f64 = aims.iter().map(|aim| aim.weight).sum();
    let sum: f64 = aims
        .iter()
        .enumerate()
        .map(|(index, aim)| aim.weight * of(index))
        .sum();
    sum / total
}
