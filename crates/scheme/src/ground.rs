//! The ground that a scheme is painted on: the regions of a figure as numbers, under any undercoat, without pixels.
//!
//! In: a figure's summary and the points of its undercoat. Out: the dried colour of a region, averaged over its pixels in full
//! light: what you see when you turn the figure in your hand, not a single shaded photo of it.

use velatura_figure::{
    FigureSummary, Grey, SimulatedUndercoat, UndercoatPoints, simulated_substrate,
};
use velatura_optics::coat::{Coat, colour_over_grey, stack_at};
use velatura_optics::colour::Linear;
use velatura_optics::surface::Specular;

/// A figure without pixels, and the convention of its greys.
#[derive(Debug, Clone)]
pub struct FigureGround {
    /// Regions and their borders.
    pub summary: FigureSummary,
    /// The points of the undercoat as photographed.
    pub points: UndercoatPoints,
    /// Whether greys and colours include the surface's own reflection.
    pub specular: Specular,
}

impl FigureGround {
    /// A region's greys under an undercoat. A region without a pixel counts as one mid grey.
    #[must_use]
    pub fn greys(&self, region: usize, undercoat: SimulatedUndercoat) -> Vec<Grey> {
        let Linear([mid, ..]) = crate::MID_GREY.linear();
        let no_pixel = [Grey {
            substrate: mid,
            relief: 0.5,
            weight: 1.0,
        }];
        let photographed = match self.summary.regions[region].greys.as_slice() {
            [] => &no_pixel[..],
            greys => greys,
        };
        photographed
            .iter()
            .map(|grey| Grey {
                substrate: simulated_substrate(
                    undercoat,
                    &self.points,
                    grey.substrate,
                    grey.relief,
                ),
                ..*grey
            })
            .collect()
    }

    /// At most `count` greys for all of a region under an undercoat: neighbours in reflectance are merged to their mean,
    /// into greys of about equal weight. Enough for even films, because then only the substrate matters.
    #[must_use]
    pub fn few_greys(
        &self,
        region: usize,
        undercoat: SimulatedUndercoat,
        count: usize,
    ) -> Vec<Grey> {
        let mut greys = self.greys(region, undercoat);
        greys.sort_by(|a, b| a.substrate.total_cmp(&b.substrate));
        let mut merged: Vec<Grey> = Vec::new();
        let mut passed = 0.0;
        #[allow(clippy::cast_precision_loss, reason = "a handful")]
        let share = 1.0 / count.max(1) as f64;
        for grey in greys {
            let (group, within) = (merged.len(), passed + grey.weight / 2.0);
            passed += grey.weight;
            #[allow(clippy::cast_precision_loss, reason = "a handful")]
            let begins_next = group == 0 || within >= group as f64 * share;
            match merged.last_mut() {
                Some(last) if !begins_next => {
                    let weight = last.weight + grey.weight;
                    let mean = |a: f64, b: f64| (a * last.weight + b * grey.weight) / weight;
                    *last = Grey {
                        substrate: mean(last.substrate, grey.substrate),
                        relief: mean(last.relief, grey.relief),
                        weight,
                    };
                }
                _ => merged.push(grey),
            }
        }
        merged
    }

    /// Mean reflectance of a region's undercoat.
    #[must_use]
    pub fn bare(&self, region: usize, undercoat: SimulatedUndercoat) -> f64 {
        self.greys(region, undercoat)
            .iter()
            .map(|grey| grey.weight * grey.substrate)
            .sum()
    }

    /// Mean dried colour of a region under these coats, lowest first, in full light. No coat shows the undercoat.
    #[must_use]
    pub fn dried(&self, region: usize, undercoat: SimulatedUndercoat, coats: &[Coat]) -> Linear {
        mean_dried(&self.greys(region, undercoat), coats, self.specular)
    }
}

/// Mean dried colour of coats over greys whose weights sum to 1.
#[must_use]
pub fn mean_dried(greys: &[Grey], coats: &[Coat], specular: Specular) -> Linear {
    let mut stack = stack_at(coats, 0.5);
    let even = coats.iter().all(Coat::is_even);
    // Greys come in runs of one relief, and films cost more time than colours.
    let mut relief = f64::NAN;
    let mut mean = [0.0; 3];
    for grey in greys {
        if !even && grey.relief.to_bits() != relief.to_bits() {
            relief = grey.relief;
            stack = stack_at(coats, relief);
        }
        let Linear(rgb) = colour_over_grey(&stack, grey.substrate, specular);
        for (sum, channel) in mean.iter_mut().zip(rgb) {
            *sum += grey.weight * channel;
        }
    }
    Linear(mean)
}
