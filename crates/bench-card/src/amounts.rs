//! How much to mix: from the area of a part in the photo to drops.
//!
//! volume = area in the photo × surface per area seen × wet film × film × figures × (1 + loss). Every constant of it is an
//! estimate and can be changed.

/// The constants of the amounts and minutes. All defaults are from memory or common practice, none is measured here.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Bench {
    /// Surface of a part, per area that the photo shows of it. A post seen from the side has π times what one sees of it; folds
    /// add some.
    pub surface_per_seen: f64,
    /// Thickness of the wet paint at film 1 in mm, as a drawdown bar of the usual kind leaves it (from memory).
    pub wet_film_mm: f64,
    /// Paint that stays on palette and brush, per paint that reaches the figure.
    pub loss: f64,
    /// Volume of a drop in ml: 20 drops are 1 ml (the apothecaries' rule, from memory).
    pub drop_ml: f64,
    /// Minutes for one thin coat on one part.
    pub minutes_per_coat: f64,
    /// Minutes for the undercoat, not counting drying.
    pub minutes_for_undercoat: f64,
    /// Minutes for the varnish, not counting drying.
    pub minutes_for_varnish: f64,
}

impl Default for Bench {
    fn default() -> Self {
        Self {
            surface_per_seen: 3.5,
            wet_film_mm: 0.1,
            loss: 0.5,
            drop_ml: 0.05,
            minutes_per_coat: 4.0,
            minutes_for_undercoat: 12.0,
            minutes_for_varnish: 3.0,
        }
    }
}

impl Bench {
    /// Paint for one coat in ml: `seen_mm2` is the area in the photo, `film` the mean film on it, 1 = the drawdown's.
    pub(crate) fn needed_ml(&self, seen_mm2: f64, film: f64, figures: u32) -> f64 {
        let surface_mm2 = seen_mm2 * self.surface_per_seen;
        surface_mm2 * self.wet_film_mm * film * f64::from(figures) * (1.0 + self.loss) / 1000.0
    }

    /// Whole drops of each part of a mix that make at least `needed_ml`.
    pub(crate) fn drops(&self, parts: &[f64], needed_ml: f64) -> Vec<u32> {
        let ratio = whole_ratio(parts);
        let all: u32 = ratio.iter().sum();
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few thousand drops at most, and the cast saturates"
        )]
        let times = (needed_ml / self.drop_ml / f64::from(all)).ceil().max(1.0) as u32;
        ratio
            .into_iter()
            .map(|drops| drops.saturating_mul(times))
            .collect()
    }
}

/// Parts closer than this to whole numbers count as whole.
const WHOLE: f64 = 1e-6;
/// Parts of a mix that no small multiple makes whole are rounded to as many in all.
const ROUNDED_TO: f64 = 20.0;

/// The smallest whole numbers in the ratio of the parts, or close to it if there are none below some dozens.
fn whole_ratio(parts: &[f64]) -> Vec<u32> {
    let is_whole = |number: f64| (number - number.round()).abs() < WHOLE;
    let scale = (1..=20)
        .map(f64::from)
        .find(|scale| parts.iter().all(|part| is_whole(part * scale)));
    let sum: f64 = parts.iter().sum();
    let scale = scale.unwrap_or(ROUNDED_TO / sum);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "parts have a range, and the cast saturates"
    )]
    let whole: Vec<u32> = parts
        .iter()
        .map(|part| ((part * scale).round() as u32).max(1))
        .collect();
    let divisor = whole.iter().copied().fold(0, greatest_common_divisor);
    whole.iter().map(|part| part / divisor.max(1)).collect()
}

fn greatest_common_divisor(a: u32, b: u32) -> u32 {
    if b == 0 {
        a
    } else {
        greatest_common_divisor(b, a % b)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ratios_become_the_smallest_whole_numbers() {
        for (parts, expected) in [
            (&[3.0, 7.0][..], &[3, 7][..]),
            (&[6.0, 2.0], &[3, 1]),
            (&[0.5, 0.25], &[2, 1]),
            (&[1.5, 1.0, 2.5], &[3, 2, 5]),
            (&[2.0], &[1]),
        ] {
            assert_eq!(whole_ratio(parts), expected, "{parts:?}");
        }
        // No small multiple is whole: the nearest of 20 parts.
        assert_eq!(whole_ratio(&[1.0, std::f64::consts::PI]), [1, 3]);
        // A trace is still a drop.
        assert_eq!(whole_ratio(&[0.001, 1.0]), [1, 20]);
    }

    #[test]
    fn twice_the_figures_take_twice_the_paint_and_drops_are_enough() {
        let bench = Bench::default();
        let one = bench.needed_ml(250.0, 1.0, 1);
        // By hand: 250 mm² × 3.5 × 0.1 mm × 1.5 = 131.25 mm³.
        assert!((one - 0.13125).abs() < 1e-12);
        assert!((bench.needed_ml(250.0, 1.0, 2) / one - 2.0).abs() < 1e-12);
        assert_eq!(bench.drops(&[3.0, 7.0], one), [3, 7]);
        assert_eq!(bench.drops(&[3.0, 7.0], 1.0), [6, 14]);
        assert_eq!(bench.drops(&[3.0, 7.0], 1.01), [9, 21]);
    }
}
