//! Colours of parts in the mask: each as different from all others as can be had. They are names, not paint.

use velatura_photo::flat::distance;
use velatura_pipeline::optics::colour::Encoded;

/// Codes of a channel that new colours are made of: all combinations but the greys, which could be taken for the photo.
const CODES: [u8; 7] = [0, 43, 85, 128, 170, 213, 255];
/// The first part's colour: a red that is neither the photo's nor the background's.
const FIRST: Encoded = Encoded([213, 43, 85]);

/// A colour for a new part: of all candidates the one that is furthest from the colours in use, the background's black, and the
/// photo's white.
pub(crate) fn new_colour(used: &[Encoded]) -> Encoded {
    let taken: Vec<Encoded> = used
        .iter()
        .copied()
        .chain([Encoded([0; 3]), Encoded([255; 3])])
        .collect();
    if used.is_empty() {
        return FIRST;
    }
    let nearest = |colour: &Encoded| {
        let apart = taken.iter().map(|other| {
            let sum: u32 = (0..3)
                .map(|channel| u32::from(colour.0[channel].abs_diff(other.0[channel])))
                .sum();
            sum
        });
        apart.min().unwrap_or(0)
    };
    let all = CODES.into_iter().flat_map(|red| {
        CODES
            .into_iter()
            .flat_map(move |green| CODES.into_iter().map(move |blue| [red, green, blue]))
    });
    let colourful = |codes: &[u8; 3]| {
        let (most, least) = (codes.iter().max(), codes.iter().min());
        most.zip(least)
            .is_some_and(|(most, least)| most - least >= 85)
    };
    all.filter(colourful)
        .map(Encoded)
        .max_by_key(|colour| (nearest(colour), std::cmp::Reverse(colour.0)))
        .filter(|colour| used.iter().all(|other| distance(*other, *colour) > 0))
        .unwrap_or(FIRST)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forty_parts_have_colours_that_a_mask_keeps_apart() {
        let mut used: Vec<Encoded> = Vec::new();
        for _ in 0..40 {
            let colour = new_colour(&used);
            // Regions should be 30 codes apart in some channel, and so should the background.
            for other in used.iter().chain(&[Encoded([0; 3])]) {
                assert!(distance(*other, colour) >= 30, "{other} and {colour}");
            }
            used.push(colour);
        }
    }
}
