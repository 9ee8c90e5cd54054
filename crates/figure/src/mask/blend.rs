//! Blended edges of a mask: pixels whose colour is between two flat colours next to them.
//!
//! A pixel counts as blended only if its colour is on the line between two colours found within 2 pixels of it (both
//! regions', or a region's and the background's), in codes or in linear light, as painting programs blend either way.
//! It then goes to the nearer end. Anything else that is undecided becomes background.

use std::collections::HashMap;

use rayon::prelude::*;
use velatura_optics::colour::{Encoded, Linear};

use velatura_photo::Orientation;
use velatura_photo::flat::FlatPicture;

use super::{BlendedEdges, UNDECIDED, add};

/// Pixels that a blend reaches from the flat colour that it came from.
const REACH: usize = 2;

/// Distance from the line, in codes, that rounding and other blending rules may cause. Invented: wide enough for 8-bit
/// steps, far below the 30 codes that we ask of regions.
const OFF_THE_LINE: f64 = 10.0;

/// What happened to the undecided pixels.
pub(super) struct Blend {
    /// Blended pixels.
    pub(super) count: usize,
    /// The first of them in reading order, after rotation.
    pub(super) first: Option<(usize, usize)>,
    /// Colours that were not a blend, with their pixels.
    pub(super) left: HashMap<[u8; 3], usize>,
}

struct Row {
    decided: Vec<(usize, u8)>,
    left: HashMap<[u8; 3], usize>,
}

/// Decides every undecided pixel.
pub(super) fn settle(
    view: &FlatPicture<'_>,
    labels: &mut [u8],
    colours: &[Encoded],
    edges: BlendedEdges,
    orientation: Orientation,
) -> Blend {
    let (width, height) = (view.width, view.height);
    let rows: Vec<Row> = (0..height)
        .into_par_iter()
        .map(|y| settle_row(view, labels, colours, y))
        .filter(|row| !row.decided.is_empty() || !row.left.is_empty())
        .collect();
    labels
        .par_iter_mut()
        .filter(|label| **label == UNDECIDED)
        .for_each(|label| *label = 0);

    let mut blend = Blend {
        count: 0,
        first: None,
        left: HashMap::new(),
    };
    let reading_order = |place: &(usize, usize)| (place.1, place.0);
    for row in rows {
        blend.count += row.decided.len();
        for (index, label) in row.decided {
            if edges == BlendedEdges::NearerColour {
                labels[index] = label;
            }
            let place = orientation.upright_place(index % width, index / width, width, height);
            blend.first = blend
                .first
                .into_iter()
                .chain([place])
                .min_by_key(reading_order);
        }
        blend.left = add(blend.left, row.left);
    }
    blend
}

fn settle_row(view: &FlatPicture<'_>, labels: &[u8], colours: &[Encoded], y: usize) -> Row {
    let mut row = Row {
        decided: Vec::new(),
        left: HashMap::new(),
    };
    for index in (y * view.width..(y + 1) * view.width).filter(|index| labels[*index] == UNDECIDED)
    {
        let Some(colour) = view.colour(index) else {
            continue;
        };
        let beside = colours_beside(view, labels, colours, index);
        match nearer_end(Encoded(colour), &beside) {
            Some(label) => row.decided.push((index, label)),
            None => *row.left.entry(colour).or_default() += 1,
        }
    }
    row
}

/// The flat colours within reach, each once, with their labels; in order of label and colour.
fn colours_beside(
    view: &FlatPicture<'_>,
    labels: &[u8],
    colours: &[Encoded],
    index: usize,
) -> Vec<(u8, Encoded)> {
    let (x, y) = (index % view.width, index / view.width);
    let mut beside = Vec::new();
    for near_y in y.saturating_sub(REACH)..=(y + REACH).min(view.height - 1) {
        for near_x in x.saturating_sub(REACH)..=(x + REACH).min(view.width - 1) {
            let near = near_y * view.width + near_x;
            let flat = match labels[near] {
                UNDECIDED => None,
                0 => view.colour(near).map(|colour| (0, Encoded(colour))),
                label => Some((label, colours[usize::from(label) - 1])),
            };
            beside.extend(flat.filter(|flat| !beside.contains(flat)));
        }
    }
    beside.sort_unstable();
    beside
}

/// The label of the nearer end of the line that the colour is on, if it is on one.
fn nearer_end(colour: Encoded, beside: &[(u8, Encoded)]) -> Option<u8> {
    let pairs = beside
        .iter()
        .enumerate()
        .flat_map(|(index, a)| beside[index + 1..].iter().map(move |b| (a, b)))
        .filter(|(a, b)| a.0 != b.0);
    pairs
        .flat_map(|(a, b)| {
            [in_codes(colour, a.1, b.1), in_light(colour, a.1, b.1)]
                .map(|(share, off)| (off, if share < 0.5 { a.0 } else { b.0 }))
        })
        .filter(|(off, _)| *off <= OFF_THE_LINE)
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, label)| label)
}

/// How far along the line from `a` to `b` the colour is, 0…1, and how far off it, in codes.
fn in_codes(colour: Encoded, a: Encoded, b: Encoded) -> (f64, f64) {
    let [colour_codes, a, b] = [colour, a, b].map(|c| c.0.map(f64::from));
    let share = share_along(colour_codes, a, b);
    (
        share,
        length(&std::array::from_fn(|i| {
            a[i] + (b[i] - a[i]) * share - colour_codes[i]
        })),
    )
}

fn in_light(colour: Encoded, a: Encoded, b: Encoded) -> (f64, f64) {
    let [light, a, b] = [colour, a, b].map(|c| c.linear().0);
    let share = share_along(light, a, b);
    let on_line = Linear(std::array::from_fn(|i| a[i] + (b[i] - a[i]) * share)).encoded();
    (
        share,
        length(&std::array::from_fn(|i| {
            f64::from(on_line.0[i]) - f64::from(colour.0[i])
        })),
    )
}

fn share_along(p: [f64; 3], a: [f64; 3], b: [f64; 3]) -> f64 {
    let (mut along, mut whole) = (0.0, 0.0);
    for i in 0..3 {
        along += (p[i] - a[i]) * (b[i] - a[i]);
        whole += (b[i] - a[i]).powi(2);
    }
    if whole > 0.0 {
        (along / whole).clamp(0.0, 1.0)
    } else {
        0.0
    }
}

fn length(v: &[f64; 3]) -> f64 {
    v.iter().map(|x| x * x).sum::<f64>().sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    const RED: Encoded = Encoded([0xe6, 0x19, 0x4b]);
    const BLUE: Encoded = Encoded([0x43, 0x63, 0xd8]);

    #[test]
    fn a_blend_goes_to_its_nearer_end_however_it_was_blended() {
        let beside = [(1, RED), (2, BLUE)];
        let codes = |share: f64| {
            Encoded(std::array::from_fn(|i| {
                let mixed =
                    f64::from(RED.0[i]) + (f64::from(BLUE.0[i]) - f64::from(RED.0[i])) * share;
                #[allow(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "between two codes"
                )]
                let code = mixed.round() as u8;
                code
            }))
        };
        let light = |share: f64| {
            let (a, b) = (RED.linear().0, BLUE.linear().0);
            Linear(std::array::from_fn(|i| a[i] + (b[i] - a[i]) * share)).encoded()
        };
        for share in [0.05, 0.2, 0.45, 0.55, 0.8, 0.95] {
            let nearer = Some(if share < 0.5 { 1 } else { 2 });
            assert_eq!(
                nearer_end(codes(share), &beside),
                nearer,
                "{share} in codes"
            );
            assert_eq!(
                nearer_end(light(share), &beside),
                nearer,
                "{share} in light"
            );
        }
    }

    #[test]
    fn a_colour_off_the_line_is_no_blend() {
        assert_eq!(
            nearer_end(Encoded([0x3c, 0xb4, 0x4b]), &[(1, RED), (2, BLUE)]),
            None
        );
        assert_eq!(nearer_end(Encoded([0x99, 0x40, 0x90]), &[(1, RED)]), None);
    }
}
