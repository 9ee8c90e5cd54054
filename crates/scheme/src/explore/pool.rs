//! Every mix that exploring may use, with the colour that it dries to on each region.
//!
//! In: the wishes. Out: mixes by number, and their colours. The number of mixes grows with the square of the paints, so
//! neither they nor their colours are stored in advance: a mix follows from its number, and its colours are computed when a
//! scheme first needs them.

use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::rc::Rc;

use velatura_figure::Grey;
use velatura_optics::colour::Lab;
use velatura_optics::mixture::Mix;

use super::{Exploring, film_1};
use crate::ground::mean_dried;

/// Parts of one paint and of another that two-paint mixes have.
const PAIRS: [[f64; 2]; 3] = [[1.0, 1.0], [3.0, 1.0], [1.0, 3.0]];
/// Share of paint in a mix with medium, as paint : medium. Neat, half and a glaze.
const THINNED: [[f64; 2]; 3] = [[1.0, 0.0], [1.0, 1.0], [3.0, 7.0]];
/// How many greys represent a region.
const GREYS: usize = 6;
/// Most colours that are remembered, about 30 MB; then all are forgotten and computed again.
const REMEMBERED: usize = 1_000_000;

/// All mixes, by number. Those that are kept for a region come first, in the order of [`Exploring::kept`]; then, for each owned
/// paint, it alone and with each later one.
#[derive(Debug)]
pub(super) struct Pool<'a> {
    wish: &'a Exploring<'a>,
    /// Indices of the owned paints.
    pub(super) owned: Vec<usize>,
    /// By region, what a mix is seen over.
    greys: Vec<Vec<Grey>>,
    remembered: RefCell<HashMap<usize, Rc<[Lab]>>>,
    looked_at: Cell<u64>,
}

impl<'a> Pool<'a> {
    pub(super) fn new(wish: &'a Exploring<'a>) -> Self {
        let regions = wish.ground.summary.regions.len();
        Self {
            wish,
            owned: (0..wish.paints.paints.len())
                .filter(|index| wish.paints.paints[*index].owned)
                .collect(),
            greys: (0..regions)
                .map(|region| wish.ground.few_greys(region, wish.undercoat, GREYS))
                .collect(),
            remembered: RefCell::default(),
            looked_at: Cell::new(0),
        }
    }

    /// The numbers of all free mixes of these paints, in rising order. `places` are rising indices into `owned`.
    pub(super) fn free_mixes(&self, places: &[usize]) -> Vec<usize> {
        let mut numbers = Vec::new();
        for (at, first) in places.iter().enumerate() {
            let alone = self.first_with(*first);
            numbers.extend(alone..alone + THINNED.len());
            for second in &places[at + 1..] {
                let pair = alone + THINNED.len() + (second - first - 1) * of_a_pair();
                numbers.extend(pair..pair + of_a_pair());
            }
        }
        numbers
    }

    /// The mix of a number, in whole parts.
    pub(super) fn mix(&self, number: usize) -> Mix {
        if let Some((_, kept)) = self.wish.kept.get(number) {
            return kept.clone();
        }
        // The last paint whose mixes begin at or before the number.
        let (mut first, mut beyond) = (0, self.owned.len());
        while first + 1 < beyond {
            let middle = usize::midpoint(first, beyond);
            if self.first_with(middle) <= number {
                first = middle;
            } else {
                beyond = middle;
            }
        }
        let rest = number - self.first_with(first);
        let one = self.owned[first];
        let Some(rest) = rest.checked_sub(THINNED.len()) else {
            return in_whole_parts(&[(one, 1.0)], THINNED[rest]);
        };
        let other = self.owned[first + 1 + rest / of_a_pair()];
        let [parts, of_other] = PAIRS[rest % of_a_pair() / THINNED.len()];
        in_whole_parts(
            &[(one, parts), (other, of_other)],
            THINNED[rest % THINNED.len()],
        )
    }

    /// Mean dried colours of a mix by region.
    pub(super) fn colours(&self, number: usize) -> Rc<[Lab]> {
        if let Some(known) = self.remembered.borrow().get(&number) {
            return Rc::clone(known);
        }
        let coat = [film_1(self.wish.paints, &self.mix(number))];
        let colours: Rc<[Lab]> = self
            .greys
            .iter()
            .map(|greys| mean_dried(greys, &coat, self.wish.paints.cards.specular).lab())
            .collect();
        self.looked(self.greys.iter().map(Vec::len).sum());
        let mut remembered = self.remembered.borrow_mut();
        if remembered.len() * colours.len() >= REMEMBERED {
            remembered.clear();
        }
        remembered.insert(number, Rc::clone(&colours));
        colours
    }

    /// Counts colours that were computed or compared.
    pub(super) fn looked(&self, colours: usize) {
        let more = u64::try_from(colours).unwrap_or(u64::MAX);
        self.looked_at
            .set(self.looked_at.get().saturating_add(more));
    }

    /// How many colours were computed or compared: a measure of the work that does not depend on the machine.
    pub(super) fn looked_at(&self) -> u64 {
        self.looked_at.get()
    }

    /// The number of the first mix of the owned paint at a place.
    fn first_with(&self, place: usize) -> usize {
        // With each earlier paint: alone, and in pairs with every paint after it.
        let pairs = place * self.owned.len() - place * (place + 1) / 2;
        self.wish.kept.len() + place * THINNED.len() + pairs * of_a_pair()
    }
}

/// How many mixes two paints make.
const fn of_a_pair() -> usize {
    PAIRS.len() * THINNED.len()
}

/// Paints and medium in the smallest whole parts that have these shares.
fn in_whole_parts(paints: &[(usize, f64)], [paint, medium]: [f64; 2]) -> Mix {
    let sum: f64 = paints.iter().map(|(_, parts)| parts).sum();
    // All shares above are ratios of small whole numbers: paint × parts against medium × sum has no fraction.
    let parts: Vec<f64> = paints.iter().map(|(_, parts)| parts * paint).collect();
    let medium = medium * sum;
    let divisor = parts.iter().fold(medium, |a, b| common_divisor(a, *b));
    Mix {
        paints: paints
            .iter()
            .zip(parts)
            .map(|((index, _), parts)| (*index, parts / divisor))
            .collect(),
        medium: medium / divisor,
    }
}

fn common_divisor(a: f64, b: f64) -> f64 {
    if b < 0.5 { a } else { common_divisor(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_whole_and_as_small_as_can_be() {
        let mix = in_whole_parts(&[(4, 3.0), (7, 1.0)], [3.0, 7.0]);
        assert_eq!((mix.paints, mix.medium), (vec![(4, 9.0), (7, 3.0)], 28.0));
        let mix = in_whole_parts(&[(4, 3.0), (7, 1.0)], [1.0, 1.0]);
        assert_eq!((mix.paints, mix.medium), (vec![(4, 3.0), (7, 1.0)], 4.0));
        let mix = in_whole_parts(&[(0, 1.0), (1, 1.0)], [1.0, 1.0]);
        assert_eq!((mix.paints, mix.medium), (vec![(0, 1.0), (1, 1.0)], 2.0));
        let mix = in_whole_parts(&[(2, 1.0)], [1.0, 0.0]);
        assert_eq!((mix.paints, mix.medium), (vec![(2, 1.0)], 0.0));
    }
}
