//! The mask of a project: regions from strokes, or a picture that was loaded.

use velatura::Session;
use velatura_document::{Diagnostic, Error, Warned};
use velatura_photo::flat::PhotoFrame;
use velatura_photo::{DecodeLimits, Orientation, Photo, peek, picture_png, reduced_size};
use velatura_pipeline::optics::colour::Encoded;
use velatura_pipeline::{SheetPicture, View};
use velatura_regions::{Labels, Marked, Marks, mask_png, read_marks};

use crate::pixels::Pixels;
use crate::project::Bytes;
use crate::strokes::{Strokes, UNMARKED};

/// The longer edge of the photos on which regions are found while strokes are drawn, in pixels: one that follows a pen, and one for
/// the moment after.
const QUICK_EDGE: u32 = 208;
const FINE_EDGE: u32 = 640;

/// How finely regions are found while strokes are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fineness {
    Quick,
    Fine,
}

/// A small copy of the working photo, to find regions on while strokes are drawn.
pub(crate) fn small_photo(photo: &Photo, fineness: Fineness) -> Photo {
    let edge = match fineness {
        Fineness::Quick => QUICK_EDGE,
        Fineness::Fine => FINE_EDGE,
    };
    let (width, height) = reduced_size((photo.width, photo.height), edge);
    let whole = SheetPicture {
        width: photo.width,
        height: photo.height,
        pixels: photo.photo.clone(),
    };
    Photo {
        width,
        height,
        // Regions are found by colours alone.
        luminance: Vec::new(),
        photo: View::of(&whole).shrunk((width, height)).picture().pixels,
        transparent: None,
        orientation: Orientation::UPRIGHT,
    }
}

/// The regions of strokes on a photo, `size` being that of the working photo; `None` if no part has a stroke.
pub(crate) fn regions(
    session: &Session,
    photo: &Photo,
    strokes: &Strokes,
    parts: &[Encoded],
    size: (u32, u32),
) -> Result<Option<Labels>, Error> {
    let mut marks = strokes.marks(parts, size, (photo.width, photo.height));
    if marks.colours.is_empty() {
        return Ok(None);
    }
    if !marks.marks.contains(&0) {
        border_is_background(&mut marks.marks, photo.width as usize);
    }
    Ok(Some(session.regions(photo, &marks)?.0))
}

/// A photo shows a figure with some room around it: until the background has a stroke of its own, the photo's upper, left and right
/// borders are background, where no other stroke is.
fn border_is_background(marks: &mut [u8], width: usize) {
    let last = width - 1;
    for (at, mark) in marks.iter_mut().enumerate() {
        let (x, y) = (at % width, at / width);
        if *mark == UNMARKED && (y == 0 || x == 0 || x == last) {
            *mark = 0;
        }
    }
}

/// The mask as a file.
pub(crate) fn mask_file(labels: &Labels, width: u32) -> Bytes {
    Bytes::new(mask_png(labels, width))
}

/// Reads a mask that a painter made over the photo as it was dropped, and brings it to the working size. Returns its file and
/// the colours in it.
pub(crate) fn loaded_mask(
    name: &str,
    bytes: &[u8],
    limits: &DecodeLimits,
    original: (u32, u32),
    working: (u32, u32),
) -> Result<Warned<(Bytes, Vec<Encoded>)>, Diagnostic> {
    let header = peek(name, bytes, limits)?;
    let size = header.orientation.turned_size(header.width, header.height);
    let from = if size == working { working } else { original };
    let (marks, warnings) = rough_mask(name, bytes, limits, from)?.into_parts();
    let reduced = nearest(&marks, from, working);
    let palette: Vec<[u8; 3]> = std::iter::once([0; 3])
        .chain(marks.colours.iter().map(|colour| colour.0))
        .collect();
    let pixels: Vec<[u8; 3]> = reduced
        .iter()
        .map(|mark| palette[usize::from(*mark)])
        .collect();
    let file = Bytes::new(picture_png(&pixels, working.0));
    Ok(Warned::new((file, marks.colours), warnings))
}

/// Labels at another size: each pixel takes the label in its middle, because labels have no mean.
fn nearest(marks: &Marks, from: (u32, u32), to: (u32, u32)) -> Vec<u8> {
    let middle = |at: u32, from: u32, to: u32| {
        usize::try_from((2 * u64::from(at) + 1) * u64::from(from) / (2 * u64::from(to)))
            .expect("within the picture")
    };
    let columns: Vec<usize> = (0..to.0).map(|x| middle(x, from.0, to.0)).collect();
    (0..to.1)
        .flat_map(|y| {
            let row = &marks.marks[middle(y, from.1, to.1) * from.0 as usize..];
            columns.iter().map(move |x| row[*x])
        })
        .collect()
}

/// How strongly a part's colour covers the photo in the overlay, 0…255.
const COVER: u8 = 115;

/// The regions as a translucent picture: the parts' colours, and nothing on the background.
pub(crate) fn overlay(labels: &Labels, width: u32) -> Pixels {
    let palette = labels.palette();
    let height = labels.labels.len() / width as usize;
    Pixels {
        width,
        height: u32::try_from(height).expect("a picture's side"),
        rgba: labels
            .labels
            .iter()
            .flat_map(|label| match label {
                0 => [0; 4],
                part => {
                    let [red, green, blue] = palette[usize::from(*part)].0;
                    [red, green, blue, COVER]
                }
            })
            .collect(),
    }
}

/// The labels of a mask's file, whose size is `size`.
pub(crate) fn labels_of(
    name: &str,
    bytes: &[u8],
    limits: &DecodeLimits,
    size: (u32, u32),
) -> Result<Labels, Diagnostic> {
    let marks = rough_mask(name, bytes, limits, size)?.value;
    Ok(Labels {
        colours: marks.colours,
        labels: marks.marks,
        islands: Vec::new(),
    })
}

/// Reads a mask that has to have a size.
fn rough_mask(
    name: &str,
    bytes: &[u8],
    limits: &DecodeLimits,
    (width, height): (u32, u32),
) -> Result<Warned<Marks>, Diagnostic> {
    let frame = PhotoFrame {
        width,
        height,
        photo: "the photo",
        orientation: Orientation::UPRIGHT,
    };
    read_marks(name, bytes, limits, &frame, Marked::RoughMask)
}
