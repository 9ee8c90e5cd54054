//! The colour of all coats together as a table over two numbers per pixel: substrate and relief.
//!
//! In: coats, the substrate of each pair of numbers, the convention of the cards. Out: linear sRGB, relief rows × substrate
//! columns, row-major, evenly spaced over 0…1 on both axes, read with linear interpolation. Sizes grow until the error
//! measured half-way between entries is below [`ERROR_BOUND`].

use crate::coat::Coat;
use crate::colour::Linear;
use crate::seen_stack::{Curve, SeenStack};
use crate::surface::Specular;

/// Largest error in linear sRGB that a table may have half-way between its entries, where the error of linear
/// interpolation is largest. The goal is 1e-4 everywhere; half of it leaves room between the places measured.
pub const ERROR_BOUND: f64 = 5e-5;

/// Longest axis. If even this is too short, [`ColourTable::error`] has the error that was reached.
const LONGEST: usize = 1025;

/// What a table is made of.
#[derive(Debug)]
pub struct Request<'a, F: Fn(f64, f64) -> f64> {
    /// Coats, lowest first. Without coats the colour is that of the substrate.
    pub coats: &'a [Coat],
    /// The reflectance under the coats, from the substrate and relief planes (both 0…1).
    pub substrate: F,
    /// The convention of photo and cards.
    pub specular: Specular,
    /// Colour of the lamp, relative; white is 1, 1, 1.
    pub lamp: Linear,
}

/// Linear sRGB over substrate and relief.
#[derive(Debug, Clone, PartialEq)]
pub struct ColourTable {
    /// Number of substrate columns, at least 2.
    pub substrate_steps: usize,
    /// Number of relief rows, at least 1.
    pub relief_steps: usize,
    /// Linear sRGB and an unused fourth number, relief rows × substrate columns.
    pub entries: Vec<[f32; 4]>,
    /// Largest error found half-way between entries, linear.
    pub error: f64,
    /// How much light a figure of this substrate reflects into its own hollows beyond the light plane; 0 as photographed.
    pub bounce: f32,
}

impl ColourTable {
    /// Tabulates a stack.
    #[must_use]
    pub fn new<F: Fn(f64, f64) -> f64>(request: &Request<'_, F>) -> Self {
        let (mut columns, mut rows) = (33, 1);
        let mut painted = Painted {
            request,
            curve: None,
        };
        loop {
            let mut table = Self::of_size(&painted, columns, rows);
            let across = table.error_between_columns(&painted);
            let along = table.error_between_rows(&painted);
            table.error = across.max(along);
            if along > ERROR_BOUND && rows < LONGEST {
                rows = longer(rows.max(5), along);
            } else if across > ERROR_BOUND && columns < LONGEST {
                columns = longer(columns, across);
            } else {
                return table;
            }
            painted.use_curve_if_even();
        }
    }

    /// The colour at a substrate and relief of 0…1, as the kernels read it.
    #[must_use]
    pub fn at(&self, substrate: f64, relief: f64) -> Linear {
        let (column, across) = cell(substrate, self.substrate_steps);
        let (row, along) = cell(relief, self.relief_steps);
        let entry = |row: usize, column: usize| {
            let row = row.min(self.relief_steps - 1);
            self.entries[row * self.substrate_steps + column.min(self.substrate_steps - 1)]
        };
        let corners = [
            entry(row, column),
            entry(row, column + 1),
            entry(row + 1, column),
            entry(row + 1, column + 1),
        ];
        Linear(std::array::from_fn(|channel| {
            let [a, b, c, d] = corners.map(|corner| f64::from(corner[channel]));
            let (upper, lower) = (a + (b - a) * across, c + (d - c) * across);
            upper + (lower - upper) * along
        }))
    }

    fn of_size<F: Fn(f64, f64) -> f64>(
        painted: &Painted<'_, F>,
        columns: usize,
        rows: usize,
    ) -> Self {
        let mut entries = Vec::new();
        for row in 0..rows {
            let at_relief = painted.at(place(row, rows));
            for column in 0..columns {
                #[allow(clippy::cast_possible_truncation, reason = "kernels read f32")]
                let [red, green, blue] = at_relief.colour(place(column, columns)).map(|c| c as f32);
                entries.push([red, green, blue, 0.0]);
            }
        }
        Self {
            substrate_steps: columns,
            relief_steps: rows,
            entries,
            error: 0.0,
            bounce: 0.0,
        }
    }

    fn error_between_columns<F: Fn(f64, f64) -> f64>(&self, painted: &Painted<'_, F>) -> f64 {
        let columns = self.substrate_steps;
        let every_row = (0..self.relief_steps).step_by((self.relief_steps / 16).max(1));
        every_row
            .map(|row| place(row, self.relief_steps))
            .fold(0.0, |worst, relief| {
                let at_relief = painted.at(relief);
                (0..columns - 1).fold(worst, |worst: f64, column| {
                    let substrate = (place(column, columns) + place(column + 1, columns)) / 2.0;
                    worst.max(self.error_at(&at_relief, substrate))
                })
            })
    }

    fn error_between_rows<F: Fn(f64, f64) -> f64>(&self, painted: &Painted<'_, F>) -> f64 {
        // A table of one row must show that no relief matters, and not only the one half-way.
        let rows = self.relief_steps.max(33);
        let columns = (0..self.substrate_steps).step_by((self.substrate_steps / 16).max(1));
        (0..rows - 1).fold(0.0, |worst, row| {
            let at_relief = painted.at((place(row, rows) + place(row + 1, rows)) / 2.0);
            columns.clone().fold(worst, |worst: f64, column| {
                worst.max(self.error_at(&at_relief, place(column, self.substrate_steps)))
            })
        })
    }

    fn error_at<F: Fn(f64, f64) -> f64>(&self, at_relief: &AtRelief<'_, F>, substrate: f64) -> f64 {
        let direct = at_relief.colour(substrate);
        let Linear(read) = self.at(substrate, at_relief.relief);
        (0..3).fold(0.0, |worst: f64, i| worst.max((direct[i] - read[i]).abs()))
    }
}

/// What is tabulated.
struct Painted<'a, F: Fn(f64, f64) -> f64> {
    request: &'a Request<'a, F>,
    /// The colours of even coats, which depend on the substrate alone.
    curve: Option<Curve>,
}

impl<F: Fn(f64, f64) -> f64> Painted<'_, F> {
    /// A table of a simulated undercoat has up to a million entries; those of even coats are all on one curve.
    fn use_curve_if_even(&mut self) {
        let Request {
            coats, specular, ..
        } = *self.request;
        if self.curve.is_none() && coats.iter().all(Coat::is_even) {
            self.curve = Some(SeenStack::at(coats, 0.5, specular).curve());
        }
    }

    /// Everything at one relief.
    fn at(&self, relief: f64) -> AtRelief<'_, F> {
        let Request {
            coats, specular, ..
        } = *self.request;
        AtRelief {
            request: self.request,
            relief,
            colours: match &self.curve {
                Some(curve) => Colours::Curve(curve),
                None => Colours::Stack(Box::new(SeenStack::at(coats, relief, specular))),
            },
        }
    }
}

struct AtRelief<'a, F: Fn(f64, f64) -> f64> {
    request: &'a Request<'a, F>,
    relief: f64,
    colours: Colours<'a>,
}

enum Colours<'a> {
    Stack(Box<SeenStack>),
    Curve(&'a Curve),
}

impl<F: Fn(f64, f64) -> f64> AtRelief<'_, F> {
    /// Linear sRGB under the lamp, at a number of the substrate plane.
    fn colour(&self, substrate: f64) -> [f64; 3] {
        let grey = (self.request.substrate)(substrate, self.relief);
        let colour = match &self.colours {
            Colours::Stack(stack) => stack.colour(grey),
            Colours::Curve(curve) => curve.colour(grey),
        };
        std::array::from_fn(|i| colour[i] * self.request.lamp.0[i])
    }
}

/// An axis long enough for the bound, if the error of linear interpolation falls with the square of the step as it does on
/// smooth curves: one leap instead of a table for every doubling.
fn longer(steps: usize, error: f64) -> usize {
    let (mut steps, mut error) = (steps, error);
    while error > ERROR_BOUND && steps < LONGEST {
        steps = steps * 2 - 1;
        error /= 4.0;
    }
    steps
}

/// The position of entry `index` of `steps` on 0…1.
fn place(index: usize, steps: usize) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "axes have at most 1,025 steps")]
    let place = if steps > 1 {
        index as f64 / (steps - 1) as f64
    } else {
        0.5
    };
    place
}

/// The entry to the left of a position on 0…1, and how far beyond it the position is, in steps.
fn cell(at: f64, steps: usize) -> (usize, f64) {
    #[allow(clippy::cast_precision_loss, reason = "axes have at most 1,025 steps")]
    let scaled = at.clamp(0.0, 1.0) * (steps - 1) as f64;
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and steps"
    )]
    let index = (scaled.floor() as usize).min(steps.saturating_sub(2));
    #[allow(clippy::cast_precision_loss, reason = "axes have at most 1,025 steps")]
    let beyond = scaled - index as f64;
    (index, beyond)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::coat::{Where, colour_over_grey, stack_at};
    use crate::paint::Optics;
    use crate::spectrum::BANDS;

    fn coat(place: Where, pooling: f64) -> Coat {
        let k = std::array::from_fn(|band| if band < 15 { 3.0 } else { 0.1 });
        Coat {
            optics: Optics { k, s: [0.3; BANDS] },
            film: 1.3,
            place,
            pooling,
            width_mm: 0.3,
        }
    }

    /// Largest error at positions other than those where the table measured its error.
    fn worst(table: &ColourTable, coats: &[Coat]) -> f64 {
        let mut worst: f64 = 0.0;
        for i in 0..=97 {
            for j in 0..=89 {
                let (substrate, relief) = (f64::from(i) / 97.0, f64::from(j) / 89.0);
                let Linear(direct) =
                    colour_over_grey(&stack_at(coats, relief), substrate, Specular::Excluded);
                let Linear(read) = table.at(substrate, relief);
                worst = (0..3).fold(worst, |worst, c| worst.max((direct[c] - read[c]).abs()));
            }
        }
        worst
    }

    fn table(coats: &[Coat]) -> ColourTable {
        let lamp = Linear::grey(1.0);
        ColourTable::new(&Request {
            coats,
            substrate: |s, _| s,
            specular: Specular::Excluded,
            lamp,
        })
    }

    #[test]
    fn tables_are_exact_to_a_ten_thousandth_everywhere() {
        for coats in [
            vec![coat(Where::All, 0.0)],
            vec![coat(Where::All, 0.0), coat(Where::Recesses, 0.5)],
            vec![
                coat(Where::All, 1.0),
                coat(Where::Raised, 0.0),
                coat(Where::Upper, 0.2),
            ],
            // The usual line; the narrowest one misses the bound, by less than a code value.
            vec![coat(Where::All, 0.0), coat(Where::Edges, 0.0)],
        ] {
            let table = table(&coats);
            assert!(worst(&table, &coats) <= 1e-4, "{}", worst(&table, &coats));
            assert!(table.error <= ERROR_BOUND, "{}", table.error);
        }
        // Must fail: a table too coarse for a dark glaze.
        let coats = [coat(Where::All, 0.0)];
        let request = Request {
            coats: &coats,
            substrate: |s, _| s,
            specular: Specular::Excluded,
            lamp: Linear::grey(1.0),
        };
        let painted = Painted {
            request: &request,
            curve: None,
        };
        let coarse = ColourTable::of_size(&painted, 5, 1);
        assert!(worst(&coarse, &coats) > 1e-4);
    }

    #[test]
    fn an_even_coat_needs_one_row_and_a_wash_needs_more() {
        assert_eq!(table(&[coat(Where::All, 0.0)]).relief_steps, 1);
        assert!(table(&[coat(Where::All, 0.5)]).relief_steps > 8);
    }
}
