//! One number per pixel for two things: how raised a place is, and how near it is to the ridge of an edge.
//!
//! In: the number of the relief plane, 0…1. Out: relief 0 (deep recess) … 1 (raised), and the distance to the nearest ridge.
//! Edges are where relief is at its highest, so the top of the scale is free to hold their distance. Up to
//! [`PLAIN_UP_TO`] the number is the relief. The scale is ours.

/// Up to here the number is the relief, and there are no edges.
pub const PLAIN_UP_TO: f64 = 0.75;
/// Up to here higher relief is pressed together; from here on the number is the distance to a ridge, and the relief is 1.
pub const EDGES_FROM: f64 = 0.85;
/// Distance to the ridge at [`EDGES_FROM`], in millimetres; at 1 it is 0.
pub const EDGE_REACH_MM: f64 = 0.5;

#[allow(clippy::cast_possible_truncation, reason = "constants")]
const PLAIN: f32 = PLAIN_UP_TO as f32;
#[allow(clippy::cast_possible_truncation, reason = "constants")]
const EDGES: f32 = EDGES_FROM as f32;

/// A place on the figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Relief {
    /// 0 deep recess … 1 raised.
    pub height: f64,
    /// Distance to the ridge of an edge in millimetres; infinite where no edge is.
    pub to_ridge_mm: f64,
}

impl Relief {
    /// What a number of the plane means.
    #[must_use]
    pub fn of(number: f64) -> Self {
        if number > EDGES_FROM {
            let near = (number - EDGES_FROM) / (1.0 - EDGES_FROM);
            return Self {
                height: 1.0,
                to_ridge_mm: EDGE_REACH_MM * (1.0 - near.min(1.0)),
            };
        }
        let above = (number - PLAIN_UP_TO).max(0.0) / (EDGES_FROM - PLAIN_UP_TO);
        Self {
            height: number.min(PLAIN_UP_TO) + above * (1.0 - PLAIN_UP_TO),
            to_ridge_mm: f64::INFINITY,
        }
    }

    /// Whether places of this height, 0…1, may be on an edge.
    #[must_use]
    pub fn may_be_edge(height: f32) -> bool {
        height > PLAIN
    }

    /// The number for a place: `height` 0…1, `near` 0 (no edge, or [`EDGE_REACH_MM`] away from its ridge) … 1 (on the ridge).
    /// Places of less relief than [`PLAIN_UP_TO`] are never on an edge.
    #[must_use]
    pub fn number(height: f32, near: f32) -> f32 {
        if !Self::may_be_edge(height) {
            height
        } else if near > 0.0 {
            EDGES + near.min(1.0) * (1.0 - EDGES)
        } else {
            PLAIN + (height - PLAIN) / (1.0 - PLAIN) * (EDGES - PLAIN)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_gives_back_the_place_it_was_made_from() {
        for step in 0..=100_u8 {
            let height = f32::from(step) / 100.0;
            let plain = Relief::of(f64::from(Relief::number(height, 0.0)));
            assert!((plain.height - f64::from(height)).abs() < 1e-5, "{plain:?}");
            // The rounded number of the highest place may be that of the far end of an edge.
            assert!(plain.to_ridge_mm > 0.999 * EDGE_REACH_MM, "{plain:?}");
        }
        let on_an_edge = Relief::of(f64::from(Relief::number(0.95, 0.4)));
        assert!((on_an_edge.to_ridge_mm - 0.6 * EDGE_REACH_MM).abs() < 1e-4);
        assert!((Relief::of(1.0).to_ridge_mm).abs() < 1e-12);
        // Not raised enough: whatever is near, the number stays the relief.
        assert!((Relief::number(0.7, 1.0) - 0.7).abs() < f32::EPSILON);
    }

    #[test]
    fn numbers_rise_with_relief_and_with_nearness() {
        let mut last = -1.0;
        let plain = (0..=100_u8).map(|step| Relief::number(f32::from(step) / 100.0, 0.0));
        let edges = (1..=100_u8).map(|step| Relief::number(1.0, f32::from(step) / 100.0));
        for number in plain.chain(edges) {
            assert!(number > last, "{number} after {last}");
            last = number;
        }
        assert!((last - 1.0).abs() < 1e-6);
    }
}
