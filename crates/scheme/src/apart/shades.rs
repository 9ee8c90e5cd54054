//! The colours of a figure with their shares of its area, as a few shades.
//!
//! In: any number of colours with weights. Out: at most [`MOST_SHADES`] colours in CIELAB whose shares sum to 1. Colours that are
//! near each other become their mean: the most spread group is split at its mean, again and again, as in a median cut.

use velatura_optics::colour::{Lab, Linear};

/// Most shades of one figure. With twice as many, distances between the teams of the tests move by less than 0.3.
pub const MOST_SHADES: usize = 24;

/// A group whose spread is below this many square units of CIELAB, times its share, is not split.
const SPREAD_ENOUGH: f64 = 0.05;

/// A colour that covers a share of a figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shade {
    /// The colour.
    pub lab: Lab,
    /// Its share of the area, 0…1.
    pub share: f64,
}

/// The shades of weighted colours, the same for the same colours in the same order. Weights are 0 or more and count relative to
/// their sum; empty if they sum to 0.
#[must_use]
pub fn shades(colours: &[(Linear, f64)]) -> Vec<Shade> {
    let whole: f64 = colours.iter().map(|(_, weight)| weight).sum();
    if !(whole > 0.0 && whole.is_finite()) {
        return Vec::new();
    }
    let all: Vec<Shade> = colours
        .iter()
        .filter(|(_, weight)| *weight > 0.0)
        .map(|(colour, weight)| Shade {
            lab: colour.lab(),
            share: weight / whole,
        })
        .collect();
    let mut groups = vec![Group::of(all)];
    while groups.len() < MOST_SHADES {
        let spread = |group: &Group| group.spread;
        let widest =
            (0..groups.len()).max_by(|a, b| spread(&groups[*a]).total_cmp(&spread(&groups[*b])));
        let Some(widest) = widest.filter(|index| groups[*index].spread > SPREAD_ENOUGH) else {
            break;
        };
        let halves = groups.swap_remove(widest).halves();
        groups.extend(halves);
    }
    groups.into_iter().map(|group| group.mean).collect()
}

/// Colours that will be one shade.
struct Group {
    members: Vec<Shade>,
    mean: Shade,
    /// The axis with the largest variance.
    axis: usize,
    /// That variance times the share.
    spread: f64,
}

impl Group {
    fn of(members: Vec<Shade>) -> Self {
        let share: f64 = members.iter().map(|member| member.share).sum();
        let mean: [f64; 3] = std::array::from_fn(|axis| {
            let sum = members.iter().map(|one| one.lab.0[axis] * one.share);
            sum.sum::<f64>() / share
        });
        let spread = |axis: usize| -> f64 {
            let squares = members
                .iter()
                .map(|one| (one.lab.0[axis] - mean[axis]).powi(2) * one.share);
            squares.sum()
        };
        let (axis, spread) = (0..3)
            .map(|axis| (axis, spread(axis)))
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .expect("three axes");
        Self {
            members,
            mean: Shade {
                lab: Lab(mean),
                share,
            },
            axis,
            spread,
        }
    }

    /// Both halves have members: some are below the mean and some above where there is a spread.
    fn halves(self) -> [Self; 2] {
        let (axis, mean) = (self.axis, self.mean.lab.0[self.axis]);
        let (below, above) = self
            .members
            .into_iter()
            .partition(|member| member.lab.0[axis] < mean);
        [Self::of(below), Self::of(above)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_few_colours_stay_as_they_are_and_many_keep_their_mean() {
        let few = [(Linear::grey(0.2), 3.0), (Linear([0.5, 0.1, 0.1]), 1.0)];
        let mut found = shades(&few);
        found.sort_by(|a, b| b.share.total_cmp(&a.share));
        assert_eq!(found.len(), 2);
        assert!((found[0].share - 0.75).abs() < 1e-12);
        let grey = Linear::grey(0.2).lab();
        assert!((0..3).all(|axis| (found[0].lab.0[axis] - grey.0[axis]).abs() < 1e-9));

        let many: Vec<(Linear, f64)> = (0..1000_u32)
            .map(|at| (Linear([f64::from(at) / 1000.0, 0.3, 0.2]), 1.0))
            .collect();
        let found = shades(&many);
        assert_eq!(found.len(), MOST_SHADES);
        let mean =
            |axis: usize| many.iter().map(|(one, _)| one.lab().0[axis]).sum::<f64>() / 1000.0;
        for axis in 0..3 {
            let kept: f64 = found.iter().map(|one| one.lab.0[axis] * one.share).sum();
            assert!((kept - mean(axis)).abs() < 1e-9, "axis {axis}");
        }
    }

    #[test]
    fn nothing_has_no_shade() {
        assert!(shades(&[]).is_empty());
        assert!(shades(&[(Linear::grey(0.5), 0.0)]).is_empty());
    }
}
