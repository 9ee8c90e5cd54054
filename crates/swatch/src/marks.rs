//! The card's four corner marks, found in a photo at any rotation and in perspective.
//!
//! A mark is a black ring around a black disc. The disc of the upper left one has a hole, which shows the card's orientation.
//! In: a photo. Out: the marks' centres in pixels, clockwise from the card's upper left. Method: pixels darker than their
//! surroundings, nested borders (`imageproc`), and the proportions of the shapes.

use image::{GrayImage, Luma, imageops};
use imageproc::contours::{BorderType, Contour, find_contours};
use imageproc::geometry::{contour_area, min_area_rect};
use imageproc::integral_image::{integral_image, sum_image_pixels};
use velatura_document::Diagnostic;

use velatura_photo::Photo;

/// Radii of a mark, from outside in, in mm: ring, its inner edge, disc, and the hole in the upper left mark's disc.
pub(super) const RADII_MM: [f64; 4] = [6.0, 4.6, 3.2, 1.6];

/// Longer edges, in pixels, to which the photo is shrunk for the search, one after the other until four marks are found.
const SEARCH_EDGES: [u32; 3] = [1600, 900, 2800];
/// Surroundings reach this share of the longer edge to each side.
const SURROUNDINGS: f64 = 1.0 / 32.0;
/// A pixel counts as dark if it is darker than this share of the mean of its surroundings.
const DARK_SHARE: f64 = 0.85;
/// How far a radius may be from its share of the outer one: blur and threshold move edges by a pixel or so.
const RADIUS_SLACK: f64 = 0.16;
/// How far apart centres may be, as a share of the outer radius.
const CENTRE_SLACK: f64 = 0.15;
/// Smallest outer radius, in pixels of the search, at which ring, gap, disc and hole are still separate.
const LEAST_RADIUS_PX: f64 = 7.0;
/// Area of an ellipse as a share of the rectangle around it is π/4; a square's would be 1.
const ELLIPSE_FILL: std::ops::RangeInclusive<f64> = 0.70..=0.87;

/// One mark found.
#[derive(Debug, Clone, Copy)]
struct Mark {
    centre: [f64; 2],
    has_hole: bool,
}

/// Finds the marks.
///
/// # Errors
/// A diagnostic that says how many were found and what to do.
pub(super) fn find_marks(name: &str, photo: &Photo) -> Result<[[f64; 2]; 4], Diagnostic> {
    let grey = grey(photo);
    let mut most: Vec<Mark> = Vec::new();
    for edge in SEARCH_EDGES {
        let marks = marks_at(&grey, edge);
        if let Some(corners) = arranged(&marks) {
            return Ok(corners);
        }
        if marks.len() > most.len() {
            most = marks;
        }
    }
    Err(not_found(name, &most))
}

/// Tones for the search only: the root of luminance, so that shade matters as to the eye.
fn grey(photo: &Photo) -> GrayImage {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and 255"
    )]
    let tones = photo
        .luminance
        .iter()
        .map(|y| (f64::from(*y) / 65535.0).sqrt().mul_add(255.0, 0.5) as u8)
        .collect();
    GrayImage::from_raw(photo.width, photo.height, tones)
        .expect("a photo has a luminance per pixel")
}

/// Marks in the picture shrunk to a longer edge, in pixels of the whole picture.
fn marks_at(grey: &GrayImage, edge: u32) -> Vec<Mark> {
    let longer = grey.width().max(grey.height());
    let (dark, scale) = if longer <= edge {
        (dark(grey), 1.0)
    } else {
        let scale = f64::from(longer) / f64::from(edge);
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "smaller than before"
        )]
        let shrunk = |size: u32| ((f64::from(size) / scale).round() as u32).max(1);
        let small = imageops::thumbnail(grey, shrunk(grey.width()), shrunk(grey.height()));
        (dark(&small), scale)
    };
    nested(&find_contours::<i32>(&dark))
        .into_iter()
        .map(|mark| Mark {
            centre: mark.centre.map(|at| (at + 0.5) * scale - 0.5),
            ..mark
        })
        .collect()
}

/// White where a pixel is darker than its surroundings.
fn dark(grey: &GrayImage) -> GrayImage {
    let sums = integral_image::<_, u64>(grey);
    let (width, height) = grey.dimensions();
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share of a picture's size"
    )]
    let reach = (f64::from(width.max(height)) * SURROUNDINGS) as u32 + 1;
    GrayImage::from_fn(width, height, |x, y| {
        let (left, right) = (x.saturating_sub(reach), (x + reach).min(width - 1));
        let (top, bottom) = (y.saturating_sub(reach), (y + reach).min(height - 1));
        let [sum] = sum_image_pixels(&sums, left, top, right, bottom);
        let count = f64::from((right - left + 1) * (bottom - top + 1));
        #[allow(clippy::cast_precision_loss, reason = "a sum of bytes")]
        let mean = sum as f64 / count;
        let is_dark = f64::from(grey.get_pixel(x, y)[0]) < DARK_SHARE * mean;
        Luma([if is_dark { 255 } else { 0 }])
    })
}

/// A border as a shape: its centre, and the radius of a circle of its area.
struct Shape {
    centre: [f64; 2],
    radius: f64,
}

impl Shape {
    fn of(contour: &Contour<i32>) -> Option<Self> {
        if contour.points.len() < 6 {
            return None;
        }
        // Border points are centres of dark pixels: half a pixel inside a dark shape's edge, outside a hole's.
        let half = match contour.border_type {
            BorderType::Outer => 0.5,
            BorderType::Hole => -0.5,
        };
        Some(Self {
            centre: centroid(contour)?,
            radius: (contour_area(&contour.points) / std::f64::consts::PI).sqrt() + half,
        })
    }

    fn is_inside(&self, outer: &Self, radius_mm: f64) -> bool {
        let apart = libm::hypot(
            self.centre[0] - outer.centre[0],
            self.centre[1] - outer.centre[1],
        );
        let share = self.radius / outer.radius;
        apart <= CENTRE_SLACK * outer.radius
            && (share - radius_mm / RADII_MM[0]).abs() <= RADIUS_SLACK
    }
}

/// Centre of area of a border's polygon.
fn centroid(contour: &Contour<i32>) -> Option<[f64; 2]> {
    let points = &contour.points;
    let origin = points[0];
    let (mut area, mut sums) = (0.0, [0.0; 2]);
    for (a, b) in points.iter().zip(points.iter().cycle().skip(1)) {
        let [ax, ay, bx, by] = [
            a.x - origin.x,
            a.y - origin.y,
            b.x - origin.x,
            b.y - origin.y,
        ]
        .map(f64::from);
        let cross = ax * by - bx * ay;
        area += cross;
        sums[0] += (ax + bx) * cross;
        sums[1] += (ay + by) * cross;
    }
    (area.abs() > 1.0).then(|| {
        [
            f64::from(origin.x) + sums[0] / (3.0 * area),
            f64::from(origin.y) + sums[1] / (3.0 * area),
        ]
    })
}

/// Discs in holes of rings, with a mark's proportions.
fn nested(contours: &[Contour<i32>]) -> Vec<Mark> {
    let parent = |contour: &Contour<i32>, of: BorderType| {
        contour
            .parent
            .map(|index| &contours[index])
            .filter(|parent| parent.border_type == of)
    };
    let mut marks = Vec::new();
    for (index, disc) in contours.iter().enumerate() {
        if disc.border_type != BorderType::Outer {
            continue;
        }
        let Some(gap) = parent(disc, BorderType::Hole) else {
            continue;
        };
        let Some(ring) = parent(gap, BorderType::Outer) else {
            continue;
        };
        let (Some(disc), Some(gap), Some(outer)) =
            (Shape::of(disc), Shape::of(gap), Shape::of(ring))
        else {
            continue;
        };
        let right = outer.radius >= LEAST_RADIUS_PX
            && is_ellipse(ring)
            && gap.is_inside(&outer, RADII_MM[1])
            && disc.is_inside(&outer, RADII_MM[2]);
        if !right {
            continue;
        }
        let has_hole = contours
            .iter()
            .filter(|other| other.border_type == BorderType::Hole && other.parent == Some(index))
            .filter_map(Shape::of)
            .any(|hole| hole.is_inside(&outer, RADII_MM[3]));
        let centre = [0, 1].map(|i| (disc.centre[i] + gap.centre[i] + outer.centre[i]) / 3.0);
        marks.push(Mark { centre, has_hole });
    }
    marks
}

fn is_ellipse(ring: &Contour<i32>) -> bool {
    let [a, b, c, _] =
        min_area_rect(&ring.points).map(|corner| [f64::from(corner.x), f64::from(corner.y)]);
    let side = |a: [f64; 2], b: [f64; 2]| libm::hypot(a[0] - b[0], a[1] - b[1]);
    let around = side(a, b) * side(b, c);
    around > 0.0 && ELLIPSE_FILL.contains(&(contour_area(&ring.points) / around))
}

/// Four marks clockwise from the one with the hole; `None` unless there is one with and three without, at the corners of a
/// convex shape.
fn arranged(marks: &[Mark]) -> Option<[[f64; 2]; 4]> {
    let with_hole = marks.iter().filter(|mark| mark.has_hole).count();
    if marks.len() != 4 || with_hole != 1 {
        return None;
    }
    let middle = [0, 1].map(|i| marks.iter().map(|mark| mark.centre[i]).sum::<f64>() / 4.0);
    let angle = |mark: &Mark| libm::atan2(mark.centre[1] - middle[1], mark.centre[0] - middle[0]);
    let mut around = marks.to_vec();
    around.sort_by(|a, b| angle(a).total_cmp(&angle(b)));
    let first = around.iter().position(|mark| mark.has_hole)?;
    around.rotate_left(first);
    let corners: [[f64; 2]; 4] = std::array::from_fn(|i| around[i].centre);
    is_convex(&corners).then_some(corners)
}

/// Whether four corners turn right at each: with y down, clockwise to the eye.
pub(super) fn is_convex(corners: &[[f64; 2]; 4]) -> bool {
    (0..4).all(|i| {
        let [a, b, c] = [0, 1, 2].map(|step| corners[(i + step) % 4]);
        (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]) > 0.0
    })
}

fn not_found(name: &str, marks: &[Mark]) -> Diagnostic {
    let holes = marks.iter().filter(|mark| mark.has_hole).count();
    let found = match (marks.len(), holes) {
        (0, _) => "no corner mark of a card is visible".to_owned(),
        (4, 1) => "the four corner marks are not arranged as on a card".to_owned(),
        (4, 0) => "no corner mark has a hole in its disc, so the upper left of the card is unknown"
            .to_owned(),
        (many @ 4.., holes) => {
            format!("{many} corner marks are visible, {holes} of them with a hole in the disc")
        }
        (few, 0) => format!(
            "{few} of 4 corner marks are visible; the upper left one (with a hole in its disc) is missing"
        ),
        (few, _) => format!("{few} of 4 corner marks are visible"),
    };
    Diagnostic::error(name, found)
        .expected("one card with all four corner marks, sharp, complete and without glare")
        .help("photograph the whole card from above so that it fills most of the picture, or write the pixels of the marks into the layout: corners = [[x, y], …], clockwise from the upper left of the card")
}
