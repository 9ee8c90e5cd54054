//! All paints of a file after calibration: what mixing and predicting work on. Not here: how K and S are found (`calibrate`), what a
//! mix is (`mixture.rs`).

use std::collections::BTreeMap;

use crate::paint::Paint;
use crate::paints_file::Cards;
use crate::spectrum::BANDS;

/// Entries of a departure: 31 × ln K, then 31 × ln S.
pub(crate) const ENTRIES: usize = 2 * BANDS;

/// All paints of a file with their K and S, what tints show about their mixtures, and the convention of their colours.
#[derive(Debug, Clone)]
pub struct PaintBox {
    /// The cards below the drawdowns, and whether photo, cards and codes include the surface's own reflection.
    pub cards: Cards,
    /// The paints in the order written.
    pub paints: Vec<Paint>,
    /// What their tints show about mixtures.
    pub(crate) tints: Tints,
}

impl PaintBox {
    /// The paint of a name.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<&Paint> {
        self.paints.iter().find(|paint| paint.name == name)
    }
}

/// What the tints of a box say of mixtures.
#[derive(Debug, Clone)]
pub(crate) struct Tints {
    /// Per paint, the number of its group: paints of one group are tied together by tints.
    pub(crate) group: Vec<usize>,
    /// Per pair of paints, the lesser index first, its tints by rising share of the first.
    pub(crate) pairs: BTreeMap<[usize; 2], Vec<Departure>>,
}

/// What one tint showed: how far ln K and ln S of the mix are above those of the plain sum.
#[derive(Debug, Clone)]
pub(crate) struct Departure {
    /// ln of the first paint's parts per part of the second.
    pub(crate) ln_ratio: f64,
    /// Added to ln K, then to ln S.
    pub(crate) entries: [f64; ENTRIES],
}
