//! The words for a proposal: a name from its colours, and one line of reasons.

use std::collections::HashSet;

use velatura_optics::coat::Where;
use velatura_optics::colour::{Lab, delta_e};

use super::colour_words::word;
use super::compose::Composed;
use super::pool::Pool;
use super::second_coat::SecondCoat;
use super::split::{ROLES, Role};
use super::{Exploring, film_1};
use crate::ground::mean_dried;

/// "Amber and bottle green": words for the dominant and the secondary colour; with the accent, or a number, where that name is taken.
pub(super) fn name(
    wish: &Exploring<'_>,
    pool: &Pool<'_>,
    composed: &Composed,
    taken: &mut HashSet<String>,
) -> String {
    let mut words: Vec<&str> = Vec::new();
    for role in ROLES {
        if let Some(region) = largest(wish, composed, role) {
            let bright = bright_colour(wish, pool, region, composed.mixes[region]);
            words.push(word(bright, &words));
        }
    }
    let short = words[..words.len().min(2)].join(" and ");
    let with_accent = match words.as_slice() {
        [one, other, accent] => format!("{one}, {other} and {accent}"),
        _ => short.clone(),
    };
    let plain = [short, with_accent.clone()];
    let numbered = (2_usize..).map(|number| format!("{with_accent} {number}"));
    let mut all = plain
        .into_iter()
        .chain(numbered)
        .map(|name| capitalised(&name));
    let name = all
        .find(|name| !name.trim().is_empty() && !taken.contains(name))
        .expect("there is always another number");
    taken.insert(name.clone());
    name
}

/// The colour of a mix on the brighter half of a region: the eye takes it for that of the part.
fn bright_colour(wish: &Exploring<'_>, pool: &Pool<'_>, region: usize, mix: usize) -> Lab {
    let mut greys = wish.ground.greys(region, wish.undercoat);
    greys.sort_by(|a, b| b.substrate.total_cmp(&a.substrate));
    let mut left = 0.5;
    for grey in &mut greys {
        grey.weight = grey.weight.min(left);
        left -= grey.weight;
        grey.weight *= 2.0;
    }
    let coat = [film_1(wish.paints, &pool.mix(mix))];
    mean_dried(&greys, &coat, wish.paints.cards.specular).lab()
}

fn capitalised(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// The paints of each role, on how much of the surface, and how well neighbours contrast.
pub(super) fn line(
    wish: &Exploring<'_>,
    pool: &Pool<'_>,
    composed: &Composed,
    second: &[SecondCoat],
) -> String {
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
            parts.push(format!(
                "{word} {paint} on {:.0} % of the figure",
                area * 100.0
            ));
        }
    }
    let natural: Vec<String> = regions
        .iter()
        .zip(&composed.roles)
        .enumerate()
        .filter(|(_, (_, role))| **role == Role::Natural)
        .filter_map(|(index, (region, _))| {
            Some(format!("{} ({})", region.name, wish.limit(index)?.word()))
        })
        .collect();
    if !natural.is_empty() {
        parts.push(format!("natural {}", natural.join(", ")));
    }
    for coat in second {
        let names: Vec<&str> = coat
            .regions
            .iter()
            .map(|region| regions[*region].name.as_str())
            .collect();
        let what = match coat.place {
            Where::Recesses => "shade in the recesses of",
            _ => "light on the raised parts of",
        };
        parts.push(format!(
            "{what} {} (ΔE {:.0})",
            names.join(", "),
            coat.delta_e
        ));
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
    let largest = largest(wish, composed, role)?;
    let mix = pool.mix(composed.mixes[largest]);
    let (paint, _) = mix.paints.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(wish.paints.paints[*paint].name.clone())
}

/// The largest region of a role.
fn largest(wish: &Exploring<'_>, composed: &Composed, role: Role) -> Option<usize> {
    let regions = &wish.ground.summary.regions;
    (0..regions.len())
        .filter(|region| composed.roles[*region] == role)
        .max_by(|a, b| regions[*a].area.total_cmp(&regions[*b].area))
}
