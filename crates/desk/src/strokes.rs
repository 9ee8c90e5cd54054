//! Strokes on the photo: as the painter draws them, and as marks per pixel.
//!
//! In: strokes in pixels of the working photo. Out: marks for `velatura-regions`, or the picture of strokes that the command takes.
//! A stroke covers all pixels whose centre is within its radius of its line, without smoothing, so that every colour is flat.

use std::hash::{DefaultHasher, Hash as _, Hasher as _};
use std::sync::Arc;

use image::codecs::png::PngEncoder;
use image::{ExtendedColorType, ImageEncoder};
use velatura_pipeline::optics::colour::Encoded;
use velatura_regions::Marks;

/// A pixel that no stroke marks, as in [`Marks`].
pub(crate) const UNMARKED: u8 = 255;
/// The background's colour.
const BLACK: Encoded = Encoded([0; 3]);

/// One stroke.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stroke {
    pub(crate) ink: Ink,
    /// In pixels.
    pub(crate) radius: f64,
    /// In pixels; the centre of the first pixel is at (0.5, 0.5).
    pub(crate) points: Vec<[f64; 2]>,
}

/// What a stroke does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ink {
    /// Marks a part by its colour in the mask.
    Part(Encoded),
    Background,
    /// Takes marks away.
    Erase,
}

/// All strokes of a project. Cheap to clone.
#[derive(Debug, Clone, Default)]
pub(crate) struct Strokes {
    /// Marks that were drawn before the project was opened.
    pub(crate) earlier: Option<Arc<Marks>>,
    pub(crate) drawn: Arc<Vec<Stroke>>,
}

impl Strokes {
    /// With one more stroke.
    pub(crate) fn with(&self, stroke: Stroke) -> Self {
        let mut drawn = (*self.drawn).clone();
        drawn.push(stroke);
        Self {
            earlier: self.earlier.clone(),
            drawn: Arc::new(drawn),
        }
    }

    /// Without those of one part.
    pub(crate) fn without(&self, part: Encoded) -> Self {
        let drawn = self.drawn.iter();
        let drawn = drawn.filter(|stroke| stroke.ink != Ink::Part(part));
        Self {
            earlier: self.earlier.clone(),
            drawn: Arc::new(drawn.cloned().collect()),
        }
    }

    /// A number that stands for all of them.
    pub(crate) fn number(&self) -> u64 {
        let mut hasher = DefaultHasher::new();
        if let Some(earlier) = &self.earlier {
            earlier.marks.hash(&mut hasher);
            earlier
                .colours
                .iter()
                .for_each(|colour| colour.0.hash(&mut hasher));
        }
        for stroke in self.drawn.iter() {
            let ink = match stroke.ink {
                Ink::Part(colour) => Some(Some(colour.0)),
                Ink::Background => Some(None),
                Ink::Erase => None,
            };
            let places = stroke.points.as_flattened().iter();
            let bits: Vec<u64> = places.map(|place| place.to_bits()).collect();
            (ink, stroke.radius.to_bits(), bits).hash(&mut hasher);
        }
        hasher.finish()
    }

    /// Whether nothing was ever drawn.
    pub(crate) fn is_empty(&self) -> bool {
        self.earlier.is_none() && self.drawn.is_empty()
    }

    /// Marks per pixel at another size of the photo: `size` is that of the working photo, `at` the one wanted. Only colours of
    /// `parts` count, and only those that some pixel has are in the result, in the order of their codes.
    pub(crate) fn marks(&self, parts: &[Encoded], size: (u32, u32), at: (u32, u32)) -> Marks {
        let (width, height) = (at.0 as usize, at.1 as usize);
        let mut colours: Vec<Encoded> = parts.to_vec();
        colours.sort_by_key(|colour| colour.0);
        let number = |colour: &Encoded| {
            let place = colours.iter().position(|other| other == colour)?;
            u8::try_from(place + 1).ok()
        };
        let mut marks = vec![UNMARKED; width * height];
        if let Some(earlier) = &self.earlier {
            let of: Vec<u8> = earlier
                .colours
                .iter()
                .map(|colour| number(colour).unwrap_or(UNMARKED))
                .collect();
            let from = |mark: u8| match mark {
                0 | UNMARKED => mark,
                part => of[usize::from(part) - 1],
            };
            for (y, row) in marks.chunks_exact_mut(width).enumerate() {
                let source = y * size.1 as usize / height * size.0 as usize;
                for (x, mark) in row.iter_mut().enumerate() {
                    *mark = from(earlier.marks[source + x * size.0 as usize / width]);
                }
            }
        }
        let scale = [
            f64::from(at.0) / f64::from(size.0),
            f64::from(at.1) / f64::from(size.1),
        ];
        for stroke in self.drawn.iter() {
            let mark = match stroke.ink {
                Ink::Background => 0,
                Ink::Erase => UNMARKED,
                Ink::Part(colour) => match number(&colour) {
                    Some(mark) => mark,
                    None => continue,
                },
            };
            let points = stroke
                .points
                .iter()
                .map(|[x, y]| [x * scale[0], y * scale[1]]);
            let radius = stroke.radius * scale[0].midpoint(scale[1]);
            draw(&mut marks, width, &points.collect::<Vec<_>>(), radius, mark);
        }
        only_used(colours, marks)
    }

    /// The strokes as a picture of the working photo's size: flat colours, black for the background, and transparent elsewhere.
    pub(crate) fn png(&self, parts: &[Encoded], size: (u32, u32)) -> Vec<u8> {
        let marks = self.marks(parts, size, size);
        let pixels: Vec<u8> = marks
            .marks
            .iter()
            .flat_map(|mark| {
                let colour = match *mark {
                    UNMARKED => return [0; 4],
                    0 => BLACK,
                    part => marks.colours[usize::from(part) - 1],
                };
                let [red, green, blue] = colour.0;
                [red, green, blue, 255]
            })
            .collect();
        let mut bytes = Vec::new();
        PngEncoder::new(&mut bytes)
            .write_image(&pixels, size.0, size.1, ExtendedColorType::Rgba8)
            .expect("whole rows, written to memory");
        bytes
    }
}

/// Marks of colours that some pixel has.
fn only_used(colours: Vec<Encoded>, mut marks: Vec<u8>) -> Marks {
    let mut used = vec![false; 256];
    for mark in &marks {
        used[usize::from(*mark)] = true;
    }
    let mut new_number = [0_u8; 256];
    new_number[usize::from(UNMARKED)] = UNMARKED;
    let mut kept = Vec::new();
    for (colour, number) in colours.into_iter().zip(1_usize..) {
        if used[number] {
            kept.push(colour);
            new_number[number] = u8::try_from(kept.len()).expect("at most 250 parts");
        }
    }
    for mark in &mut marks {
        *mark = new_number[usize::from(*mark)];
    }
    Marks {
        colours: kept,
        marks,
    }
}

/// Marks all pixels whose centre is within `radius` of the line, and always the one below each of its points.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "clamped to the picture"
)]
fn draw(marks: &mut [u8], width: usize, points: &[[f64; 2]], radius: f64, mark: u8) {
    let height = marks.len() / width;
    let within = |place: f64, length: usize| place.clamp(0.0, length as f64 - 1.0) as usize;
    for [x, y] in points {
        if (0.0..width as f64).contains(x) && (0.0..height as f64).contains(y) {
            marks[within(*y, height) * width + within(*x, width)] = mark;
        }
    }
    let last = points.len().saturating_sub(1);
    for (at, from) in points.iter().enumerate() {
        let to = points[(at + 1).min(last)];
        let (left, right) = (from[0].min(to[0]) - radius, from[0].max(to[0]) + radius);
        let (top, bottom) = (from[1].min(to[1]) - radius, from[1].max(to[1]) + radius);
        if right < 0.0 || bottom < 0.0 {
            continue;
        }
        for y in within(top, height)..=within(bottom, height) {
            for x in within(left, width)..=within(right, width) {
                let centre = [x as f64 + 0.5, y as f64 + 0.5];
                if distance(centre, *from, to) <= radius {
                    marks[y * width + x] = mark;
                }
            }
        }
    }
}

/// The distance of a point from a line between two others.
fn distance(point: [f64; 2], from: [f64; 2], to: [f64; 2]) -> f64 {
    let line = [to[0] - from[0], to[1] - from[1]];
    let away = [point[0] - from[0], point[1] - from[1]];
    let length = line[0].powi(2) + line[1].powi(2);
    let along = match length > 0.0 {
        true => ((away[0] * line[0] + away[1] * line[1]) / length).clamp(0.0, 1.0),
        false => 0.0,
    };
    libm::hypot(away[0] - along * line[0], away[1] - along * line[1])
}

#[cfg(test)]
mod tests {
    use super::*;
    use velatura_photo::flat::PhotoFrame;
    use velatura_photo::{DecodeLimits, Orientation};
    use velatura_regions::{Marked, read_marks};

    const RED: Encoded = Encoded([230, 25, 75]);
    const BLUE: Encoded = Encoded([0, 130, 200]);

    fn strokes() -> Strokes {
        let stroke = |ink, radius, points: &[[f64; 2]]| Stroke {
            ink,
            radius,
            points: points.to_vec(),
        };
        Strokes::default()
            .with(stroke(Ink::Part(RED), 3.0, &[[10.0, 10.0], [40.0, 12.0]]))
            .with(stroke(Ink::Part(BLUE), 2.0, &[[20.0, 30.0]]))
            .with(stroke(Ink::Background, 2.5, &[[55.0, 2.0], [55.0, 44.0]]))
            .with(stroke(Ink::Erase, 2.0, &[[25.0, 5.0], [25.0, 20.0]]))
    }

    #[test]
    fn the_picture_of_strokes_reads_as_the_marks() {
        let (parts, size) = ([RED, BLUE], (60, 46));
        let marks = strokes().marks(&parts, size, size);
        let frame = PhotoFrame {
            width: size.0,
            height: size.1,
            photo: "photo.png",
            orientation: Orientation::UPRIGHT,
        };
        let read = read_marks(
            "strokes.png",
            &strokes().png(&parts, size),
            &DecodeLimits::default(),
            &frame,
            Marked::Strokes,
        )
        .unwrap();
        assert_eq!(read.value.colours, marks.colours);
        assert_eq!(read.value.marks, marks.marks);
        assert_eq!(read.warnings, []);
        for label in [0, 1, 2, UNMARKED] {
            assert!(marks.marks.contains(&label), "{label}");
        }
    }

    #[test]
    fn what_was_drawn_before_counts_as_if_drawn_now() {
        let (parts, size) = ([RED, BLUE], (60, 46));
        let marks = strokes().marks(&parts, size, size);
        let opened = Strokes {
            earlier: Some(Arc::new(marks.clone())),
            drawn: Arc::default(),
        };
        assert_eq!(opened.marks(&parts, size, size).marks, marks.marks);
        // A part that was removed is no longer marked.
        let fewer = opened.marks(&[BLUE], size, size);
        assert_eq!(fewer.colours, [BLUE]);
        assert!(!fewer.marks.contains(&2));
    }

    #[test]
    fn a_dot_counts_at_any_size() {
        let dot = Strokes::default().with(Stroke {
            ink: Ink::Part(RED),
            radius: 0.1,
            points: vec![[200.2, 90.7]],
        });
        for at in [(400, 300), (40, 30)] {
            assert_eq!(dot.marks(&[RED], (400, 300), at).colours, [RED]);
        }
    }

    #[test]
    fn strokes_outside_the_photo_mark_nothing() {
        let outside = Strokes::default().with(Stroke {
            ink: Ink::Part(RED),
            radius: 4.0,
            points: vec![[-50.0, -50.0], [-20.0, 20.0]],
        });
        assert!(outside.marks(&[RED], (30, 30), (30, 30)).colours.is_empty());
    }
}
