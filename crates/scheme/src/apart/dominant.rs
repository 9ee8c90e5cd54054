//! A team's dominant colour: areas of nearly one colour count as one, the group that covers most of the figure wins, and its
//! colour is the mean of its light by area.

use velatura_optics::colour::{Lab, Linear, delta_e};

/// Areas closer than this (CIEDE2000) count as one colour (invented): one paint in slightly different light.
pub const ONE_COLOUR: f64 = 5.0;

/// The mean colour of a part of a figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    /// Its mean light.
    pub colour: Linear,
    /// Its share of the figure, 0…1.
    pub share: f64,
}

/// The colour that covers most of a figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Dominant {
    /// The areas that have it, as indices, the largest first.
    pub areas: Vec<usize>,
    /// The mean of their light.
    pub colour: Linear,
    /// Their share of the figure, 0…1.
    pub share: f64,
}

/// The dominant colour of a figure's areas; `None` without an area.
#[must_use]
pub fn dominant(areas: &[Area]) -> Option<Dominant> {
    let labs: Vec<Lab> = areas.iter().map(|area| area.colour.lab()).collect();
    let group = |seed: usize| -> Vec<usize> {
        let mut alike: Vec<usize> = (0..areas.len())
            .filter(|other| delta_e(labs[seed], labs[*other]) < ONE_COLOUR)
            .collect();
        alike.sort_by(|a, b| areas[*b].share.total_cmp(&areas[*a].share));
        alike
    };
    let share = |group: &[usize]| group.iter().map(|index| areas[*index].share).sum::<f64>();
    let mut best: Vec<usize> = Vec::new();
    for seed in 0..areas.len() {
        let group = group(seed);
        if best.is_empty() || share(&group) > share(&best) {
            best = group;
        }
    }
    (!best.is_empty()).then(|| Dominant {
        colour: mixed_light(areas, &best),
        share: share(&best),
        areas: best,
    })
}

/// The mean light of some areas, weighted by their shares.
///
/// # Panics
/// If an index is out of range.
#[must_use]
pub fn mixed_light(areas: &[Area], of: &[usize]) -> Linear {
    let whole: f64 = of.iter().map(|index| areas[*index].share).sum();
    let mut light = [0.0; 3];
    for index in of {
        for (sum, channel) in light.iter_mut().zip(areas[*index].colour.0) {
            *sum += channel * areas[*index].share / whole.max(f64::MIN_POSITIVE);
        }
    }
    Linear(light)
}
