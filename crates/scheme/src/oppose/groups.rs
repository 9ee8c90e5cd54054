//! Regions that belong together: with the very same coats, or with a paint in common.

use super::Stays;
use crate::resolve::Scheme;

/// Regions with the very same coats are one part of the design: they are matched together, if both stay or neither.
pub(super) fn groups_of_same_coats(scheme: &Scheme, stays: &[Option<Stays>]) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (region, stack) in scheme.regions.iter().enumerate() {
        if stack.coats.is_empty() {
            continue;
        }
        let alike = |other: usize| {
            scheme.regions[other].coats == stack.coats
                && stays[other].is_some() == stays[region].is_some()
        };
        match groups.iter_mut().find(|group| alike(group[0])) {
            Some(group) => group.push(region),
            None => groups.push(vec![region]),
        }
    }
    groups
}

/// Pairs of groups that have a paint in common, and both stay or neither.
pub(super) fn sharing_pairs(
    scheme: &Scheme,
    groups: &[Vec<usize>],
    stays: &[Option<Stays>],
) -> Vec<[usize; 2]> {
    let stay = |group: usize| stays[groups[group][0]].is_some();
    let paints = |group: &[usize]| -> Vec<usize> {
        let mixes = scheme.regions[group[0]].mixes.iter();
        mixes
            .flat_map(|mix| mix.paints.iter().map(|(paint, _)| *paint))
            .collect()
    };
    let all: Vec<Vec<usize>> = groups.iter().map(|group| paints(group)).collect();
    let mut pairs = Vec::new();
    for (at, some) in all.iter().enumerate() {
        for (beyond, others) in all[at + 1..].iter().enumerate() {
            let other = at + 1 + beyond;
            if stay(at) == stay(other) && some.iter().any(|paint| others.contains(paint)) {
                pairs.push([at, other]);
            }
        }
    }
    pairs
}
