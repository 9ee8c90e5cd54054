//! Which limits of a call would fit, when there are too many mixes to try them all.

use velatura_pipeline::scheme::matching::Grid;

/// A mix of fewer parts is hardly one.
const LEAST_PARTS: u32 = 3;

/// "use 17 of the 40 paints", "--max-parts 7", "--max-paints 2": for each limit of the call the largest number that alone brings the
/// grid down to `most` colours. Where no number of parts or paints does, two together: "--max-paints 2 with --max-parts 6".
pub(crate) fn what_would_fit(grid: &Grid, most: u64) -> Vec<String> {
    let fits = |narrower: &Grid| narrower.size() <= most;
    let with_paints = |count: usize| Grid {
        paints: grid.paints[..count].to_vec(),
        ..grid.clone()
    };
    let with = |max_paints: usize, max_parts: u32| Grid {
        max_paints,
        max_parts,
        ..grid.clone()
    };
    // The size grows with each of these numbers.
    let paints = largest(1, grid.paints.len(), |count| fits(&with_paints(count)));
    let parts_for = |max_paints: usize| {
        let upper = usize::try_from(grid.max_parts).unwrap_or(usize::MAX);
        let parts = |parts: usize| u32::try_from(parts).unwrap_or(u32::MAX);
        largest(LEAST_PARTS as usize, upper, |one| {
            fits(&with(max_paints, parts(one)))
        })
        .map(parts)
    };
    let parts = parts_for(grid.max_paints);
    let count = largest(1, grid.max_paints, |count| {
        fits(&with(count, grid.max_parts))
    });
    let both = (1..grid.max_paints)
        .rev()
        .filter(|_| parts.is_none() && count.is_none())
        .find_map(|count| Some((count, parts_for(count)?)));
    let ways = [
        paints.map(|count| format!("use {count} of the {} paints", grid.paints.len())),
        parts.map(|parts| format!("--max-parts {parts}")),
        count.map(|count| format!("--max-paints {count}")),
        both.map(|(count, parts)| format!("--max-paints {count} with --max-parts {parts}")),
    ];
    ways.into_iter().flatten().collect()
}

/// The largest number from `least` to below `upper` that fits, if a smaller one always fits as well; none if not even the least does.
fn largest(least: usize, upper: usize, fits: impl Fn(usize) -> bool) -> Option<usize> {
    let (mut low, mut high) = (least, upper);
    while low < high {
        let middle = low + (high - low) / 2;
        match fits(middle) {
            true => low = middle + 1,
            false => high = middle,
        }
    }
    (low > least).then(|| low - 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid(paints: usize, max_paints: usize, max_parts: u32) -> Grid {
        Grid {
            paints: (0..paints).collect(),
            max_paints,
            max_parts,
            films: vec![1.0],
        }
    }

    /// The numbers in a text.
    fn numbers(text: &str) -> Vec<usize> {
        let pieces = text.split(|letter: char| !letter.is_ascii_digit());
        pieces.filter_map(|piece| piece.parse().ok()).collect()
    }

    #[test]
    fn each_number_fits_and_one_more_does_not() {
        let too_large = grid(40, 4, 20);
        let most = 2_000_000;
        assert!(too_large.size() > most);
        let text = what_would_fit(&too_large, most).join(", or ");
        let [paints, 40, parts, count] = numbers(&text)[..] else {
            panic!("{text}")
        };
        let parts = u32::try_from(parts).unwrap();
        for (fits, beyond) in [
            (grid(paints, 4, 20), grid(paints + 1, 4, 20)),
            (grid(40, 4, parts), grid(40, 4, parts + 1)),
            (grid(40, count, 20), grid(40, count + 1, 20)),
        ] {
            assert!(fits.size() <= most && beyond.size() > most, "{text}");
        }
    }

    #[test]
    fn where_no_number_fits_alone_two_are_named() {
        let too_large = grid(500, 6, 100);
        let most = 200_000;
        let text = what_would_fit(&too_large, most).join(", or ");
        assert!(
            text.contains("--max-paints ") && text.contains(" with --max-parts "),
            "{text}"
        );
        let numbers = numbers(&text);
        let [.., count, parts] = numbers[..] else {
            panic!("{text}")
        };
        let parts = u32::try_from(parts).unwrap();
        assert!(grid(500, count, parts).size() <= most, "{text}");
        assert!(grid(500, count, parts + 1).size() > most, "{text}");
        // Must not be named: what does not fit alone.
        assert!(grid(500, 1, 100).size() > most);
        assert!(!text.contains("or --max-parts"), "{text}");
    }
}
