//! The colour of all coats together as a table over two numbers: the reflectance under them, and relief.
//!
//! In: coats, the convention of the cards. Out: linear sRGB, relief rows × substrate columns, row-major, evenly spaced over
//! 0…1 on both axes, read with linear interpolation. Sizes grow until the error measured half-way between entries is below
//! [`ERROR_BOUND`]. Not here: another undercoat than that of the photo (`undercoat_table.rs`).

use crate::axis::{between, grown, half_way, place};
use crate::coat::Coat;
use crate::colour::Linear;
use crate::seen_stack::SeenStack;
use crate::surface::Specular;

/// Largest error in linear sRGB that a table may have half-way between its entries, where the error of linear
/// interpolation is largest. The goal is 1e-4 everywhere; half of it leaves room between the places measured.
pub const ERROR_BOUND: f64 = 5e-5;

/// Longest axis.
const LONGEST: usize = 1025;

/// What a table is made of.
#[derive(Debug)]
pub struct Request<'a> {
    /// Coats, lowest first. Without coats the colour is that of the substrate.
    pub coats: &'a [Coat],
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
    /// Largest error found half-way between entries, linear. Where even the longest axes miss [`ERROR_BOUND`], it is the error that
    /// was reached.
    pub error: f64,
    /// How much light a figure of this substrate reflects into its own hollows beyond the light plane; 0 as photographed.
    pub bounce: f32,
}

impl ColourTable {
    /// Tabulates a stack.
    #[must_use]
    pub fn new(request: &Request<'_>) -> Self {
        let (table, error) = grown((33, 1), (ERROR_BOUND, LONGEST), |columns, rows| {
            let table = Self::of_size(request, columns, rows);
            let errors = [
                table.error_between_columns(request),
                table.error_between_rows(request),
            ];
            (table, errors)
        });
        Self { error, ..table }
    }

    /// The colour over a substrate and at a relief of 0…1, as the kernels read it.
    #[must_use]
    pub fn at(&self, substrate: f64, relief: f64) -> Linear {
        let sizes = [self.substrate_steps, self.relief_steps];
        Linear(std::array::from_fn(|channel| {
            between(sizes, [substrate, relief], |at| {
                f64::from(self.entries[at][channel])
            })
        }))
    }

    fn of_size(request: &Request<'_>, columns: usize, rows: usize) -> Self {
        let mut entries = Vec::new();
        for row in 0..rows {
            let at_relief = request.at(place(row, rows));
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

    fn error_between_columns(&self, request: &Request<'_>) -> f64 {
        let columns = self.substrate_steps;
        let every_row = (0..self.relief_steps).step_by((self.relief_steps / 16).max(1));
        every_row.fold(0.0, |worst, row| {
            let at_relief = request.at(place(row, self.relief_steps));
            (0..columns - 1).fold(worst, |worst: f64, column| {
                worst.max(self.error_at(&at_relief, half_way(column, columns)))
            })
        })
    }

    fn error_between_rows(&self, request: &Request<'_>) -> f64 {
        // A table of one row must show that no relief matters, and not only the one half-way.
        let rows = self.relief_steps.max(33);
        let columns = (0..self.substrate_steps).step_by((self.substrate_steps / 16).max(1));
        (0..rows - 1).fold(0.0, |worst, row| {
            let at_relief = request.at(half_way(row, rows));
            columns.clone().fold(worst, |worst: f64, column| {
                worst.max(self.error_at(&at_relief, place(column, self.substrate_steps)))
            })
        })
    }

    fn error_at(&self, at_relief: &AtRelief, substrate: f64) -> f64 {
        let direct = at_relief.colour(substrate);
        let Linear(read) = self.at(substrate, at_relief.relief);
        (0..3).fold(0.0, |worst: f64, i| worst.max((direct[i] - read[i]).abs()))
    }
}

impl Request<'_> {
    fn at(&self, relief: f64) -> AtRelief {
        AtRelief {
            relief,
            stack: SeenStack::at(self.coats, relief, self.specular),
            lamp: self.lamp,
        }
    }
}

/// All coats at one relief, under the lamp.
struct AtRelief {
    relief: f64,
    stack: SeenStack,
    lamp: Linear,
}

impl AtRelief {
    /// Linear sRGB over a substrate of this reflectance.
    fn colour(&self, substrate: f64) -> [f64; 3] {
        let colour = self.stack.colour(substrate);
        std::array::from_fn(|i| colour[i] * self.lamp.0[i])
    }
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
            specular: Specular::Excluded,
            lamp: Linear::grey(1.0),
        };
        let coarse = ColourTable::of_size(&request, 5, 1);
        assert!(worst(&coarse, &coats) > 1e-4);
    }

    #[test]
    fn an_even_coat_needs_one_row_and_a_wash_needs_more() {
        assert_eq!(table(&[coat(Where::All, 0.0)]).relief_steps, 1);
        assert!(table(&[coat(Where::All, 0.5)]).relief_steps > 8);
    }
}
