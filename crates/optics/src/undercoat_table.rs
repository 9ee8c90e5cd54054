//! A simulated undercoat as a table: what the reflectance under the coats would be, over substrate and relief.
//!
//! In: the undercoat as a function of two numbers of the planes, 0…1. Out: reflectance, relief rows × substrate columns,
//! row-major, evenly spaced over 0…1 on both axes, read with linear interpolation. All parts of a scheme share one table, and the
//! tables of their coats need not know which undercoat is below.

use crate::axis::{between, grown, half_way, place};

/// Largest error in reflectance half-way between entries, as far as the longest axes allow. The colour of a coat changes at most about
/// as much as the reflectance below it, so this and the bound of a colour table stay below 1e-4 together.
const ERROR_BOUND: f64 = 3e-5;

/// Longest axis: a wash that ends within a tenth of the scale needs it.
const LONGEST: usize = 2049;

/// Reflectance under the coats over substrate and relief.
#[derive(Debug, Clone, PartialEq)]
pub struct UndercoatTable {
    /// Number of substrate columns, at least 2.
    pub substrate_steps: usize,
    /// Number of relief rows, at least 2.
    pub relief_steps: usize,
    /// Reflectance, 0…1, relief rows × substrate columns.
    pub entries: Vec<f32>,
    /// Largest error found half-way between entries.
    pub error: f64,
}

impl UndercoatTable {
    /// Tabulates `undercoat(substrate, relief)`.
    #[must_use]
    pub fn new(undercoat: impl Fn(f64, f64) -> f64) -> Self {
        let (table, error) = grown((33, 33), (ERROR_BOUND, LONGEST), |columns, rows| {
            let table = Self::of_size(&undercoat, columns, rows);
            let errors = [
                table.worst(
                    &undercoat,
                    |column| half_way(column, columns),
                    |row| place(row, rows),
                ),
                table.worst(
                    &undercoat,
                    |column| place(column, columns),
                    |row| half_way(row, rows),
                ),
            ];
            (table, errors)
        });
        Self { error, ..table }
    }

    /// The reflectance at a substrate and relief of 0…1, as the kernels read it.
    #[must_use]
    pub fn at(&self, substrate: f64, relief: f64) -> f64 {
        between(
            [self.substrate_steps, self.relief_steps],
            [substrate, relief],
            |at| f64::from(self.entries[at]),
        )
    }

    fn of_size(undercoat: &impl Fn(f64, f64) -> f64, columns: usize, rows: usize) -> Self {
        let entries = (0..rows * columns).map(|at| {
            let (row, column) = (at / columns, at % columns);
            #[allow(clippy::cast_possible_truncation, reason = "kernels read f32")]
            let reflectance = undercoat(place(column, columns), place(row, rows)) as f32;
            reflectance
        });
        Self {
            substrate_steps: columns,
            relief_steps: rows,
            entries: entries.collect(),
            error: 0.0,
        }
    }

    /// The largest error at some of the places that two axes name.
    fn worst(
        &self,
        undercoat: &impl Fn(f64, f64) -> f64,
        across: impl Fn(usize) -> f64,
        down: impl Fn(usize) -> f64,
    ) -> f64 {
        // Steps without a common factor with the axes' halvings, so that no row or column is always left out.
        let rows = (0..self.relief_steps - 1).step_by(self.relief_steps / 32);
        let places = rows.flat_map(|row| {
            let columns = (0..self.substrate_steps - 1).step_by(self.substrate_steps / 32);
            columns.map(move |column| (row, column))
        });
        places
            .map(|(row, column)| {
                let (substrate, relief) = (across(column), down(row));
                (undercoat(substrate, relief) - self.at(substrate, relief)).abs()
            })
            .fold(0.0, f64::max)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_steep_wash_is_exact_to_a_ten_thousandth_everywhere() {
        let step = |from: f64, to: f64, at: f64| {
            let t = ((at - from) / (to - from)).clamp(0.0, 1.0);
            t * t * (3.0 - 2.0 * t)
        };
        let washed = |substrate: f64, relief: f64| {
            let share = (1.0 - step(0.05, 0.4, relief)) * (1.0 - step(0.015, 0.09, substrate));
            0.8 * libm::pow(0.3_f64, share)
        };
        let table = UndercoatTable::new(washed);
        let worst = |table: &UndercoatTable| {
            let mut worst: f64 = 0.0;
            for i in 0..=1009 {
                for j in 0..=89 {
                    let (substrate, relief) = (f64::from(i) / 1009.0, f64::from(j) / 89.0);
                    let off = washed(substrate, relief) - table.at(substrate, relief);
                    worst = worst.max(off.abs());
                }
            }
            worst
        };
        assert!(worst(&table) <= 1e-4, "{}", worst(&table));
        // Must fail: a table too coarse.
        assert!(worst(&UndercoatTable::of_size(&washed, 33, 33)) > 1e-4);
    }
}
