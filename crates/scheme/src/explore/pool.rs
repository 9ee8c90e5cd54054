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

/// Parts of a paint and of medium: neat, half, and a glaze.
const ALONE: [[u32; 2]; 3] = [[1, 0], [1, 1], [1, 2]];
/// Parts of one paint, of another, and of medium: one to one, and three to one either way, each neat, thinned and as a glaze. No mix
/// has more than ten parts: more are hard to count on a palette.
const PAIRS: [[u32; 3]; 9] = [
    [1, 1, 0],
    [1, 1, 2],
    [1, 1, 4],
    [3, 1, 0],
    [3, 1, 4],
    [2, 1, 6],
    [1, 3, 0],
    [1, 3, 4],
    [1, 2, 6],
];
/// Parts of three paints and of medium: a little of two in much of the third, and of one two parts; neat and thinned. A painter
/// mixes skin so where no paint of the box is near it.
const TRIPLES: [[u32; 4]; 20] = [
    [1, 1, 1, 0],
    [1, 1, 1, 3],
    [4, 1, 1, 0],
    [1, 4, 1, 0],
    [1, 1, 4, 0],
    [4, 1, 1, 4],
    [1, 4, 1, 4],
    [1, 1, 4, 4],
    [1, 2, 4, 0],
    [1, 4, 2, 0],
    [2, 1, 4, 0],
    [2, 4, 1, 0],
    [4, 1, 2, 0],
    [4, 2, 1, 0],
    [1, 2, 4, 3],
    [1, 4, 2, 3],
    [2, 1, 4, 3],
    [2, 4, 1, 3],
    [4, 1, 2, 3],
    [4, 2, 1, 3],
];
/// How many greys represent a region.
const GREYS: usize = 6;
/// Most colours that are remembered, about 30 MB; then all are forgotten and computed again.
const REMEMBERED: usize = 1_000_000;

/// All mixes, by number. Those that are kept for a region come first, in the order of [`Exploring::kept`]; then, for each owned
/// paint, it alone and with each later one; then every three.
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

    /// The numbers of all free mixes of these paints with at most the wished number of parts, in rising order. `places` are
    /// rising indices into `owned`.
    pub(super) fn free_mixes(&self, places: &[usize]) -> Vec<usize> {
        let few = |parts: &[u32]| parts.iter().sum::<u32>() <= self.wish.max_parts;
        let alone: Vec<usize> = (0..ALONE.len()).filter(|form| few(&ALONE[*form])).collect();
        let of_two: Vec<usize> = (0..PAIRS.len()).filter(|form| few(&PAIRS[*form])).collect();
        let mut numbers = Vec::new();
        for (at, first) in places.iter().enumerate() {
            let begin = self.first_with(*first);
            numbers.extend(alone.iter().map(|form| begin + form));
            for second in &places[at + 1..] {
                let pair = begin + ALONE.len() + (second - first - 1) * PAIRS.len();
                numbers.extend(of_two.iter().map(|form| pair + form));
            }
        }
        numbers
    }

    /// The numbers of all mixes of three of these paints with at most the wished number of parts; `places` as above.
    pub(super) fn mixes_of_three(&self, places: &[usize]) -> Vec<usize> {
        let few = |parts: &[u32]| parts.iter().sum::<u32>() <= self.wish.max_parts;
        let forms: Vec<usize> = (0..TRIPLES.len())
            .filter(|form| few(&TRIPLES[*form]))
            .collect();
        let begin = self.first_with(self.owned.len());
        let mut numbers = Vec::new();
        for (at, third) in places.iter().enumerate() {
            for (at, second) in places[..at].iter().enumerate() {
                for first in &places[..at] {
                    let three = first + two_below(*second) + three_below(*third);
                    let three = begin + three * TRIPLES.len();
                    numbers.extend(forms.iter().map(|form| three + form));
                }
            }
        }
        numbers
    }

    /// A mix of three paints, by its number after all others.
    fn mix_of_three(&self, number: usize) -> Mix {
        let places = three_places(number / TRIPLES.len(), self.owned.len());
        let [a, b, c, medium] = TRIPLES[number % TRIPLES.len()].map(f64::from);
        let paints = places.map(|place| self.owned[place]);
        Mix {
            paints: paints.into_iter().zip([a, b, c]).collect(),
            medium,
        }
    }

    /// The mix of a number, in whole parts.
    pub(super) fn mix(&self, number: usize) -> Mix {
        if let Some((_, kept)) = self.wish.kept.get(number) {
            return kept.clone();
        }
        if let Some(three) = number.checked_sub(self.first_with(self.owned.len())) {
            return self.mix_of_three(three);
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
        let Some(rest) = rest.checked_sub(ALONE.len()) else {
            let [paint, medium] = ALONE[rest].map(f64::from);
            return Mix {
                paints: vec![(one, paint)],
                medium,
            };
        };
        let other = self.owned[first + 1 + rest / PAIRS.len()];
        let [parts, of_other, medium] = PAIRS[rest % PAIRS.len()].map(f64::from);
        Mix {
            paints: vec![(one, parts), (other, of_other)],
            medium,
        }
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

    /// Whether the paint at a place glints like metal.
    pub(super) fn is_metallic(&self, place: usize) -> bool {
        self.wish.paints.paints[self.owned[place]].metallic
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
        self.wish.kept.len() + place * ALONE.len() + pairs * PAIRS.len()
    }
}

/// The rising places of the triple of this number, of fewer than `count` places.
fn three_places(number: usize, count: usize) -> [usize; 3] {
    // The last place below which there are no more than `rest`.
    let last = |below: fn(usize) -> usize, rest: usize| {
        let (mut low, mut high) = (0, count);
        while low + 1 < high {
            let middle = usize::midpoint(low, high);
            match below(middle) <= rest {
                true => low = middle,
                false => high = middle,
            }
        }
        low
    };
    let third = last(three_below, number);
    let rest = number - three_below(third);
    let second = last(two_below, rest);
    [rest - two_below(second), second, third]
}

/// How many pairs of places there are below a place.
fn two_below(place: usize) -> usize {
    place * place.saturating_sub(1) / 2
}

/// How many triples of places there are below a place.
fn three_below(place: usize) -> usize {
    two_below(place) * place.saturating_sub(2) / 3
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_palette_can_count_every_mix() {
        let parts = |form: &[u32]| form.iter().sum::<u32>();
        assert!(ALONE.iter().all(|form| parts(form) <= 10));
        assert!(PAIRS.iter().all(|form| parts(form) <= 10));
        assert!(TRIPLES.iter().all(|form| parts(form) <= 10));
        // In smallest numbers: nothing divides all parts.
        let divides = |by: u32, form: &[u32]| form.iter().all(|part| part % by == 0);
        for by in 2..=10 {
            assert!(!ALONE.iter().any(|form| divides(by, form)));
            assert!(!PAIRS.iter().any(|form| divides(by, form)));
            assert!(!TRIPLES.iter().any(|form| divides(by, form)));
        }
    }

    #[test]
    fn every_triple_has_its_own_number() {
        let mut number = 0;
        for third in 0..7 {
            for second in 0..third {
                for first in 0..second {
                    assert_eq!(three_places(number, 7), [first, second, third]);
                    number += 1;
                }
            }
        }
        assert_eq!(number, three_below(7));
    }
}
