//! A photo with its exact mask and pictures of strokes, in a folder. In: `photo.png`, `truth.png` (grey: 0 background, else a
//! part's number), and strokes with the same numbers (255 = unmarked). Out: the overlap of the mask from the strokes.

use std::path::Path;

use velatura_optics::colour::Encoded;
use velatura_photo::{DecodeLimits, Photo, decode_photo};
use velatura_regions::{Marks, regions};

/// A photo with its exact mask and strokes.
pub(crate) struct Case {
    pub(crate) photo: Photo,
    truth: Vec<u8>,
    parts: u8,
}

/// The result for one set of strokes.
pub(crate) struct Found {
    /// A label per pixel.
    pub(crate) labels: Vec<u8>,
    /// Intersection over union of all parts together.
    pub(crate) figure: f64,
    /// Mean over the parts.
    pub(crate) parts: f64,
    /// Whether every stroke was obeyed.
    pub(crate) obeyed: bool,
}

fn grey(path: &Path) -> Vec<u8> {
    image::open(path)
        .unwrap_or_else(|error| panic!("{}: {error}", path.display()))
        .to_luma8()
        .into_raw()
}

fn overlap(one: impl Fn(usize) -> bool, other: impl Fn(usize) -> bool, count: usize) -> f64 {
    let (mut both, mut any) = (0_u32, 0_u32);
    for at in 0..count {
        both += u32::from(one(at) && other(at));
        any += u32::from(one(at) || other(at));
    }
    f64::from(both) / f64::from(any.max(1))
}

impl Case {
    pub(crate) fn read(folder: &Path) -> Self {
        let bytes = std::fs::read(folder.join("photo.png")).expect("photo.png");
        let photo = decode_photo("photo.png", &bytes, &DecodeLimits::default());
        let truth = grey(&folder.join("truth.png"));
        Self {
            photo: photo.expect("a photo").value,
            parts: *truth.iter().max().expect("pixels"),
            truth,
        }
    }

    /// Strokes by the name of their picture, without its ending.
    pub(crate) fn strokes(&self, folder: &Path, name: &str) -> Marks {
        Marks {
            colours: (1..=self.parts).map(|part| Encoded([part; 3])).collect(),
            marks: grey(&folder.join(format!("{name}.png"))),
        }
    }

    pub(crate) fn from(&self, strokes: &Marks) -> Found {
        let labels = regions(&self.photo, strokes).labels;
        let (truth, count) = (&self.truth, self.truth.len());
        let each = (1..=self.parts)
            .map(|part| overlap(|at| labels[at] == part, |at| truth[at] == part, count));
        let pairs = labels.iter().zip(&strokes.marks);
        Found {
            figure: overlap(|at| labels[at] != 0, |at| truth[at] != 0, count),
            parts: each.sum::<f64>() / f64::from(self.parts),
            obeyed: pairs
                .into_iter()
                .all(|(label, mark)| *mark == 255 || label == mark),
            labels,
        }
    }
}
