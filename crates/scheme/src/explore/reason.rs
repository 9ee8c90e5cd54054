//! The words for a proposal: a name from its paints, and one line of reasons.

use velatura_optics::colour::delta_e;

use super::Exploring;
use super::compose::{Composed, index_of};
use super::pool::Pool;
use super::split::{ROLES, Role};

/// "Oil Amber & Deep Eel, 3": the paints that most of the dominant and of the secondary colour are.
pub(super) fn name(
    wish: &Exploring<'_>,
    pool: &Pool<'_>,
    composed: &Composed,
    number: usize,
) -> String {
    let main = |role: Role| main_paint(wish, pool, composed, role);
    let number = number + 1;
    match (main(Role::Dominant), main(Role::Secondary)) {
        (Some(one), Some(other)) if one != other => format!("{one} & {other}, {number}"),
        (Some(one), _) | (None, Some(one)) => format!("{one}, {number}"),
        (None, None) => format!("Proposal {number}"),
    }
}

/// The paints of each role, on how much of the surface, and how well neighbours contrast.
pub(super) fn line(wish: &Exploring<'_>, pool: &Pool<'_>, composed: &Composed) -> String {
    let regions = &wish.ground.summary.regions;
    let mut parts = Vec::new();
    for (role, word) in ROLES.into_iter().zip(["dominant", "secondary", "accent"]) {
        let area: f64 = regions
            .iter()
            .zip(&composed.roles)
            .filter(|(_, own)| **own == role)
            .map(|(region, _)| region.area)
            .sum();
        if let Some(paint) = main_paint(wish, pool, composed, role) {
            parts.push(format!("{word} {paint} ({:.0} %)", area * 100.0));
        }
    }
    let mut paints: Vec<usize> = composed
        .mixes
        .iter()
        .flat_map(|mix| pool.mix(*mix).paints.into_iter().map(|(paint, _)| paint))
        .collect();
    paints.sort_unstable();
    paints.dedup();
    parts.push(match paints.len() {
        1 => "1 paint".to_owned(),
        count => format!("{count} paints"),
    });
    let borders = &wish.ground.summary.borders;
    let pairs = (0..regions.len()).flat_map(|a| (a + 1..regions.len()).map(move |b| (a, b)));
    let nearest = pairs
        .filter(|(a, b)| borders[*a][*b] > 0)
        .map(|(a, b)| (delta_e(composed.colours[a], composed.colours[b]), a, b))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((apart, a, b)) = nearest {
        let (a, b) = (&regions[a].name, &regions[b].name);
        parts.push(format!(
            "weakest contrast between neighbours ΔE {apart:.1} ({a} / {b})"
        ));
    }
    parts.join("; ")
}

/// The paint with most parts on the largest region of a role.
fn main_paint(
    wish: &Exploring<'_>,
    pool: &Pool<'_>,
    composed: &Composed,
    role: Role,
) -> Option<String> {
    let regions = &wish.ground.summary.regions;
    let largest = (0..regions.len())
        .filter(|region| index_of(composed.roles[*region]) == index_of(role))
        .max_by(|a, b| regions[*a].area.total_cmp(&regions[*b].area))?;
    let mix = pool.mix(composed.mixes[largest]);
    let (paint, _) = mix.paints.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(wish.paints.paints[*paint].name.clone())
}
