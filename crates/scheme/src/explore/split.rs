//! Which regions have the dominant colour, which the secondary one, and which the accent: about 60, 30 and 10 % of the
//! painted surface (common practice, no source).

use rand::RngExt;
use rand::rngs::ChaCha8Rng;

/// The role of a region in a scheme.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Role {
    Dominant,
    Secondary,
    Accent,
    /// None: its colour follows from what it is.
    Natural,
}

/// The roles that carry the scheme, by their index.
pub(super) const ROLES: [Role; 3] = [Role::Dominant, Role::Secondary, Role::Accent];
/// The shares of the surface that they should have.
const SHARES: [f64; 3] = [0.6, 0.3, 0.1];
/// How many splits are drawn at random, and how many of the best are kept.
const DRAWN: usize = 2000;
const KEPT: usize = 12;
/// How much further from the shares than the best split a kept one may be: "about" 60, 30 and 10 %.
const SLACK: f64 = 0.15;

/// The splits that come nearest to the shares, best first. `areas` sum to 1 if there is any pixel.
pub(super) fn splits(areas: &[f64], chance: &mut ChaCha8Rng) -> Vec<Vec<Role>> {
    let mut found: Vec<(f64, Vec<Role>)> = Vec::new();
    for _ in 0..DRAWN {
        let roles: Vec<Role> = areas
            .iter()
            .map(|_| ROLES[chance.random_range(0..ROLES.len())])
            .collect();
        if found.iter().all(|(_, other)| *other != roles) {
            found.push((miss(areas, &roles), roles));
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.truncate(KEPT);
    let most = found.first().map_or(0.0, |(best, _)| best + SLACK);
    found.retain(|(miss, _)| *miss <= most);
    found.into_iter().map(|(_, roles)| roles).collect()
}

/// How far the shares of a split are from what they should be, summed.
fn miss(areas: &[f64], roles: &[Role]) -> f64 {
    ROLES
        .iter()
        .zip(SHARES)
        .map(|(role, share)| {
            let covered: f64 = areas
                .iter()
                .zip(roles)
                .filter(|(_, own)| *own == role)
                .map(|(area, _)| area)
                .sum();
            (covered - share).abs()
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::SeedableRng;

    #[test]
    fn the_best_split_has_the_shares_where_the_figure_allows_it() {
        let areas = [0.1, 0.35, 0.25, 0.2, 0.1];
        let splits = splits(&areas, &mut ChaCha8Rng::seed_from_u64(1));
        assert!(miss(&areas, &splits[0]) < 1e-9, "{:?}", splits[0]);
        assert!(splits.iter().all(|split| miss(&areas, split) <= SLACK));
        // Must fail: everything in one colour.
        assert!(miss(&areas, &[Role::Dominant; 5]) > 0.7);
    }
}
