//! From the card's plane to the photo: a projective map (homography) from mm to pixels, by four pairs of points.
//!
//! In: where four points of the card are in the photo. Out: pixels of any place on the card. A pixel's centre has whole
//! coordinates. Lens distortion is ignored: phones take most of it out themselves.

use nalgebra::{Matrix3, SMatrix, SVector, Vector3};

/// A projective map from mm on the card to pixels of the photo.
#[derive(Debug, Clone, Copy)]
pub(super) struct Plane(Matrix3<f64>);

impl Plane {
    /// The map that takes each of four points in mm to its pixel; `None` if three of them are on one line.
    pub(super) fn through(mm: [[f64; 2]; 4], px: [[f64; 2]; 4]) -> Option<Self> {
        // Eight unknowns, the ninth is 1: u (g x + h y + 1) = a x + b y + c, and the same for v.
        let mut system = SMatrix::<f64, 8, 8>::zeros();
        let mut right = SVector::<f64, 8>::zeros();
        for (index, ([x, y], [u, v])) in mm.into_iter().zip(px).enumerate() {
            let rows = [
                ([x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y], u),
                ([0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y], v),
            ];
            for (offset, (row, value)) in rows.into_iter().enumerate() {
                system.set_row(2 * index + offset, &SVector::from(row).transpose());
                right[2 * index + offset] = value;
            }
        }
        let h = system.lu().solve(&right)?;
        let map = Matrix3::new(h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], 1.0);
        let flat = map.determinant().abs() < 1e-9;
        (!flat && map.iter().all(|one| one.is_finite())).then_some(Self(map))
    }

    /// The pixel of a point on the card.
    pub(super) fn px(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let at = self.0 * Vector3::new(x, y, 1.0);
        [at.x / at.z, at.y / at.z]
    }

    /// Pixels per mm near a point, along the direction that has fewest.
    pub(super) fn px_per_mm(&self, [x, y]: [f64; 2]) -> f64 {
        let distance = |a: [f64; 2], b: [f64; 2]| libm::hypot(a[0] - b[0], a[1] - b[1]);
        let here = self.px([x, y]);
        distance(here, self.px([x + 1.0, y])).min(distance(here, self.px([x, y + 1.0])))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MM: [[f64; 2]; 4] = [[0.0, 0.0], [170.0, 0.0], [170.0, 244.0], [0.0, 244.0]];

    #[test]
    fn corners_go_where_they_were_sent_and_lines_stay_lines() {
        let px = [
            [312.0, 80.5],
            [40.0, 1210.0],
            [905.0, 1333.0],
            [880.0, 200.0],
        ];
        let plane = Plane::through(MM, px).unwrap();
        for (mm, px) in MM.into_iter().zip(px) {
            let [x, y] = plane.px(mm);
            assert!((x - px[0]).abs() < 1e-6 && (y - px[1]).abs() < 1e-6);
        }
        let [a, b, c] = [20.0, 60.0, 120.0].map(|x| plane.px([x, 2.0 * x]));
        let turn = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
        assert!(turn.abs() < 1e-6, "{turn}");
    }

    #[test]
    fn corners_on_one_line_have_no_map() {
        let line = [[0.0, 0.0], [1.0, 1.0], [2.0, 2.0], [3.0, 3.0]];
        assert!(Plane::through(MM, line).is_none());
    }
}
