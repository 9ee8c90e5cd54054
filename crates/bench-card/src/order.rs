//! In which order to paint the parts.

use velatura_pipeline::scheme::{FigureGround, Scheme, painting_order};

/// The order of the parts on a card.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[non_exhaustive]
pub enum PaintingOrder {
    /// As the figure file lists them.
    File,
    /// From light to dark (common practice, no source): dark paint covers stray light paint.
    #[default]
    LightFirst,
    /// From the deepest part to the most raised one (common practice, no source): a part in front covers stray paint behind it.
    /// The photo's relief decides which part is deep.
    InsideOut,
}

impl PaintingOrder {
    /// Indices of the painted parts.
    pub(crate) fn parts(self, scheme: &Scheme, ground: &FigureGround) -> Vec<usize> {
        let mut parts = painting_order(scheme, ground);
        match self {
            Self::LightFirst => {}
            Self::File => parts.sort_unstable(),
            Self::InsideOut => {
                let depth = |region: &usize| mean_relief(ground, *region);
                parts.sort_unstable();
                parts.sort_by(|a, b| depth(a).total_cmp(&depth(b)));
            }
        }
        parts
    }

    pub(crate) fn in_words(self) -> &'static str {
        match self {
            Self::File => "Parts in the order of the figure file.",
            Self::LightFirst => "Light parts first: dark paint covers stray light paint.",
            Self::InsideOut => {
                "Deep parts first: paint on a part in front covers stray paint behind it."
            }
        }
    }
}

fn mean_relief(ground: &FigureGround, region: usize) -> f64 {
    ground.summary.regions[region]
        .greys
        .iter()
        .map(|grey| grey.weight * grey.relief)
        .sum()
}
