//! The CPU path of `apply`: slices in, slices out.

use super::{TableView, UndercoatView, axis_scale};
use crate::{PLANE_MAX, Pixel, Planes};

/// Writes the colour of each pixel of `planes` into `out`, which must have the same length.
///
/// `tables` holds one entry per region; a region without coats has none, and its pixels become all zeros.
///
/// # Panics
/// If `out` is shorter than the planes, or a table's entries do not match its sizes.
pub fn apply(planes: &Planes<'_>, tables: &[Option<TableView<'_>>], out: &mut [Pixel]) {
    for table in tables.iter().flatten() {
        assert_eq!(
            table.entries.len(),
            table.substrate_steps * table.relief_steps,
            "sizes and entries of a table"
        );
        assert!(
            table.substrate_steps >= 2 && table.relief_steps >= 1,
            "a table has two columns and a row at least"
        );
        if let Some(undercoat) = table.undercoat {
            assert_eq!(
                undercoat.entries.len(),
                undercoat.substrate_steps * undercoat.relief_steps,
                "sizes and entries of an undercoat"
            );
            assert!(
                undercoat.substrate_steps >= 2 && undercoat.relief_steps >= 2,
                "an undercoat has two columns and two rows at least"
            );
        }
    }
    let out = &mut out[..planes.len()];
    let pixels = planes
        .substrate
        .iter()
        .zip(planes.relief)
        .zip(planes.light)
        .zip(planes.region);
    for ((((substrate, relief), light), region), pixel) in pixels.zip(out) {
        // Region 0 is the background; wrapping moves it beyond the end of the list.
        let table = tables
            .get(usize::from(*region).wrapping_sub(1))
            .copied()
            .flatten();
        *pixel = match table {
            None => [0.0; 4],
            Some(table) => {
                let light = f32::from(*light) * planes.light_unit;
                // Bounced light grows with the paint's own reflectance, and is 0 in full light and in the dark.
                let thrown = table.bounce * light.sqrt() * (1.0 - light).max(0.0);
                let [red, green, blue, _] = look_up(&table, *substrate, *relief);
                let lit = |reflectance: f32| reflectance * (light + thrown * reflectance);
                [lit(red), lit(green), lit(blue), 1.0]
            }
        };
    }
}

#[inline]
fn look_up(table: &TableView<'_>, substrate: u16, relief: u16) -> Pixel {
    let substrate = match &table.undercoat {
        None => f32::from(substrate),
        Some(undercoat) => simulated(undercoat, substrate, relief),
    };
    let (column, across) = cell(substrate, table.substrate_steps);
    if table.relief_steps == 1 {
        return between(&table.entries[column], &table.entries[column + 1], across);
    }
    let (row, along) = cell(f32::from(relief), table.relief_steps);
    let upper = row * table.substrate_steps + column;
    let lower = upper + table.substrate_steps;
    let above = between(&table.entries[upper], &table.entries[upper + 1], across);
    let below = between(&table.entries[lower], &table.entries[lower + 1], across);
    between(&above, &below, along)
}

/// The substrate under a simulated undercoat, in units of its plane.
#[inline]
fn simulated(undercoat: &UndercoatView<'_>, substrate: u16, relief: u16) -> f32 {
    let (column, across) = cell(f32::from(substrate), undercoat.substrate_steps);
    let (row, along) = cell(f32::from(relief), undercoat.relief_steps);
    let upper = row * undercoat.substrate_steps + column;
    let along_row = |at: usize| {
        let (from, to) = (undercoat.entries[at], undercoat.entries[at + 1]);
        from + (to - from) * across
    };
    let (above, below) = (
        along_row(upper),
        along_row(upper + undercoat.substrate_steps),
    );
    (above + (below - above) * along) * PLANE_MAX
}

/// The entry before a plane's value on an axis of `steps` ≥ 2 entries, and how far beyond it the value is.
#[inline]
#[allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "axes are short and the product lies between 0 and steps − 1"
)]
fn cell(at: f32, steps: usize) -> (usize, f32) {
    let scaled = at * axis_scale(steps);
    let index = (scaled as usize).min(steps - 2);
    (index, scaled - index as f32)
}

#[inline]
fn between(a: &Pixel, b: &Pixel, share: f32) -> Pixel {
    std::array::from_fn(|i| a[i] + (b[i] - a[i]) * share)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A table that is linear in both axes, so that the right answer is known everywhere.
    fn ramp(substrate_steps: usize, relief_steps: usize) -> Vec<Pixel> {
        let mut entries = Vec::new();
        for row in 0..relief_steps {
            for column in 0..substrate_steps {
                let (s, r) = (
                    column as f32 / (substrate_steps - 1) as f32,
                    row as f32 / (relief_steps.max(2) - 1) as f32,
                );
                entries.push([s, r, 0.5 * s + 0.25 * r, 9.0]);
            }
        }
        entries
    }

    #[test]
    #[allow(clippy::cast_precision_loss, reason = "small numbers")]
    fn a_linear_table_is_read_back_at_every_place() {
        let entries = ramp(17, 5);
        let table = TableView {
            substrate_steps: 17,
            relief_steps: 5,
            entries: &entries,
            bounce: 0.0,
            undercoat: None,
        };
        let substrate: Vec<u16> = (0..=255).map(|i| i * 257).collect();
        let relief: Vec<u16> = substrate.iter().rev().copied().collect();
        let light = vec![32768; 256];
        let region = vec![1; 256];
        let planes = Planes {
            substrate: &substrate,
            relief: &relief,
            light: &light,
            region: &region,
            light_unit: 1.0 / 32768.0,
        };
        let mut out = vec![[-1.0; 4]; 256];
        apply(&planes, &[Some(table)], &mut out);
        for (i, pixel) in out.iter().enumerate() {
            let (s, r) = (
                f64::from(substrate[i]) / 65535.0,
                f64::from(relief[i]) / 65535.0,
            );
            let expected = [s, r, 0.5 * s + 0.25 * r, 1.0];
            for (found, expected) in pixel.iter().zip(expected) {
                // f32 look-up against f64: we reach 2e-7, far below a code value's smallest step of 3e-4.
                assert!(
                    (f64::from(*found) - expected).abs() < 1e-6,
                    "{i}: {pixel:?} {expected:?}"
                );
            }
        }
        // Must fail: the axes swapped.
        assert!((f64::from(out[0][0]) - f64::from(relief[0]) / 65535.0).abs() > 0.5);
    }

    #[test]
    fn a_simulated_undercoat_takes_the_place_of_the_planes_substrate() {
        let entries = ramp(17, 5);
        // Half the substrate, and a quarter of the relief on top.
        let undercoat: Vec<f32> = (0..3 * 9)
            .map(|at| 0.5 * (at % 9) as f32 / 8.0 + 0.25 * (at / 9) as f32 / 2.0)
            .collect();
        let table = TableView {
            substrate_steps: 17,
            relief_steps: 5,
            entries: &entries,
            bounce: 0.0,
            undercoat: Some(UndercoatView {
                substrate_steps: 9,
                relief_steps: 3,
                entries: &undercoat,
            }),
        };
        let substrate: Vec<u16> = (0..=255).map(|i| i * 257).collect();
        let relief: Vec<u16> = substrate.iter().rev().copied().collect();
        let planes = Planes {
            substrate: &substrate,
            relief: &relief,
            light: &[32768; 256],
            region: &[1; 256],
            light_unit: 1.0 / 32768.0,
        };
        let mut out = vec![[-1.0; 4]; 256];
        apply(&planes, &[Some(table)], &mut out);
        for (i, pixel) in out.iter().enumerate() {
            let s = f32::from(substrate[i]) / 65535.0;
            let r = f32::from(relief[i]) / 65535.0;
            assert!(
                (pixel[0] - (0.5 * s + 0.25 * r)).abs() < 1e-6,
                "{i}: {pixel:?}"
            );
            assert!((pixel[1] - r).abs() < 1e-6, "{i}: {pixel:?}");
        }
    }

    #[test]
    fn bounced_light_reaches_shaded_light_paint_and_nothing_else() {
        let shown = |reflectance: f32, light: u16, bounce: f32| {
            let entries = [[reflectance; 4]; 2];
            let table = TableView {
                substrate_steps: 2,
                relief_steps: 1,
                entries: &entries,
                bounce,
                undercoat: None,
            };
            let light = [light];
            let planes = Planes {
                substrate: &[0],
                relief: &[0],
                light: &light,
                region: &[1],
                light_unit: 1.0 / 65535.0,
            };
            let mut out = [[0.0; 4]];
            apply(&planes, &[Some(table)], &mut out);
            out[0][0]
        };
        let lift =
            |reflectance, light| shown(reflectance, light, 0.3) / shown(reflectance, light, 0.0);
        assert!((lift(0.8, 65535) - 1.0).abs() < 1e-6, "full light stays");
        assert!(
            lift(0.8, 6000) > 1.3 && lift(0.02, 6000) < 1.02,
            "light paint is lifted, dark paint is not"
        );
    }

    #[test]
    fn pixels_without_a_coat_are_left_alone() {
        let entries = ramp(2, 1);
        let table = TableView {
            substrate_steps: 2,
            relief_steps: 1,
            entries: &entries,
            bounce: 0.0,
            undercoat: None,
        };
        let planes = Planes {
            substrate: &[65535; 4],
            relief: &[0; 4],
            light: &[1; 4],
            region: &[0, 1, 2, 9],
            light_unit: 0.5,
        };
        let mut out = [[-1.0; 4]; 4];
        apply(&planes, &[Some(table), None], &mut out);
        assert_eq!(out.map(|pixel| pixel[3] > 0.5), [false, true, false, false]);
        assert!(
            out[0]
                .iter()
                .chain(&out[2])
                .chain(&out[3])
                .all(|x| x.abs() < f32::EPSILON)
        );
        assert!((out[1][0] - 0.5).abs() < 1e-6);
    }
}
