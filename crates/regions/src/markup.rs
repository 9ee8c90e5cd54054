//! Strokes painted on a copy of the photo itself, as a phone's markup tool saves them.
//!
//! In: the photo and the bytes of the copy. Out: a mark per pixel. What differs from the photo is a stroke. A lossy file changes
//! every pixel a little and blurs the rim of a stroke, so the colours of the strokes are found where they are flat, and a
//! pixel counts if it is near one of them.

use rayon::prelude::*;
use velatura_document::{Diagnostic, Warned, counted};
use velatura_optics::colour::Encoded;
use velatura_photo::flat::{MOST_REGIONS, PhotoFrame, distance, wrong_size};
use velatura_photo::{DecodeLimits, Photo, decode_photo};

use crate::strokes::{Marked, Marks, UNMARKED, read_marks};

// Invented, and then held against the demo and three photographs, each saved as JPEG at quality 60, 80 and 95
// (`tests/it/markup.rs`). Nothing was fitted to them, and none was left out.
/// Codes by which a stroke differs from the photo below it.
const DIFFERS: u8 = 40;
/// Codes by which a stroke's pixel may differ from its neighbours.
const FLAT: u8 = 14;
/// Codes by which a stroke's pixels may differ from its colour.
const ALIKE: u8 = 28;
/// Pixels of a colour that are strokes and not dirt: at least so many, and this share of the picture.
const FEWEST: (usize, f64) = (16, 2e-5);
/// A copy that differs in more than this share of its pixels is another picture.
const MOST_STROKES: f64 = 0.5;
/// Strokes this dark, or this near to white, mark the background.
const DARK: u8 = 40;

/// Reads strokes: a transparent layer, or a copy of the photo with strokes on it. Also gives warnings.
///
/// # Errors
/// As [`read_marks`]; a copy that differs from the photo nearly everywhere, or nowhere.
///
/// # Panics
/// Never: more colours than a mark can number are an error.
pub fn read_strokes(
    name: &str,
    bytes: &[u8],
    limits: &DecodeLimits,
    photo: &Photo,
    frame: &PhotoFrame<'_>,
) -> Result<Warned<Marks>, Diagnostic> {
    let copy = decode_photo(name, bytes, limits)?.value;
    if copy.transparent.is_some_and(|holes| holes.contains(&true)) {
        return read_marks(name, bytes, limits, frame, Marked::Strokes);
    }
    if (copy.width, copy.height) != (frame.width, frame.height) {
        let size = (copy.width, copy.height);
        return Err(wrong_size(name, "strokes picture", size, frame));
    }
    let changed = changed(&photo.photo, &copy.photo);
    let share = share(changed.iter().filter(|one| **one).count(), changed.len());
    if share > MOST_STROKES {
        let found = format!(
            "this picture has no transparency, and differs from {} in {:.0} % of its pixels",
            frame.photo,
            100.0 * share
        );
        return Err(Diagnostic::error(name, found)
            .expected("strokes on a transparent layer, or on a copy of the photo that is otherwise unchanged")
            .help("paint on the photo as it is, without a filter, a crop or automatic enhancement"));
    }
    let flat = flat(&copy.photo, &changed, frame.width as usize);
    let colours = stroke_colours(&copy.photo, &flat);
    if colours.iter().all(|colour| is_background(*colour)) {
        let found = if colours.is_empty() {
            format!(
                "there is no stroke: this picture is the same as {}",
                frame.photo
            )
        } else {
            "only the background is marked".to_owned()
        };
        return Err(Diagnostic::error(name, found)
            .expected("a stroke in a flat colour on every part, each part in its own colour")
            .help("use an opaque pen, no marker that lets the photo show through; black or white marks the background"));
    }
    let mut regions: Vec<Encoded> = colours
        .iter()
        .copied()
        .filter(|colour| !is_background(*colour))
        .collect();
    if regions.len() > MOST_REGIONS {
        let found = format!("there are {} colours of strokes", regions.len());
        return Err(Diagnostic::error(name, found)
            .expected(format!("at most {MOST_REGIONS}, one for each region"))
            .help("use a few colours that differ clearly"));
    }
    regions.sort_unstable();
    let mark = |colour: [u8; 3]| {
        let near = |known: &&Encoded| distance(**known, Encoded(colour));
        let nearest = colours.iter().min_by_key(near);
        match nearest.filter(|known| near(known) <= ALIKE) {
            None => UNMARKED,
            Some(known) => regions
                .iter()
                .position(|region| region == known)
                .map_or(0, |at| u8::try_from(at + 1).expect("at most 250 regions")),
        }
    };
    let marks: Vec<u8> = copy
        .photo
        .par_iter()
        .zip(&changed)
        .map(|(colour, changed)| if *changed { mark(*colour) } else { UNMARKED })
        .collect();
    let lost = flat
        .iter()
        .zip(&marks)
        .filter(|(flat, mark)| **flat && **mark == UNMARKED)
        .count();
    let mut warnings = Vec::new();
    if share_of_strokes(lost, &marks) > 0.2 {
        let found = format!(
            "{} of strokes are in no common colour",
            counted(lost, "pixel")
        );
        warnings.push(
            Diagnostic::warning(name, found)
                .expected("strokes in a few flat colours")
                .help("they are left out; use an opaque pen, and colours that differ clearly"),
        );
    }
    let marks = Marks {
        colours: regions,
        marks,
    };
    Ok(Warned::new(marks, warnings))
}

/// Which pixels differ from the photo.
fn changed(photo: &[[u8; 3]], copy: &[[u8; 3]]) -> Vec<bool> {
    photo
        .par_iter()
        .zip(copy)
        .map(|(before, now)| distance(Encoded(*before), Encoded(*now)) > DIFFERS)
        .collect()
}

/// Which of them are alike to all their neighbours: not the rim of a stroke.
fn flat(copy: &[[u8; 3]], changed: &[bool], width: usize) -> Vec<bool> {
    let height = copy.len() / width.max(1);
    let alike = |at: usize, x: usize, y: usize| {
        (y.saturating_sub(1)..=(y + 1).min(height - 1)).all(|y| {
            (x.saturating_sub(1)..=(x + 1).min(width - 1))
                .all(|x| distance(Encoded(copy[y * width + x]), Encoded(copy[at])) <= FLAT)
        })
    };
    (0..copy.len())
        .into_par_iter()
        .with_min_len(1 << 12)
        .map(|at| changed[at] && alike(at, at % width, at / width))
        .collect()
}

/// The colours that strokes have, the most common first.
fn stroke_colours(copy: &[[u8; 3]], flat: &[bool]) -> Vec<Encoded> {
    /// Pixels of a cell of the colour cube, and the sum of their codes.
    #[derive(Clone, Copy, Default)]
    struct Cell {
        pixels: usize,
        sums: [usize; 3],
    }
    impl Cell {
        fn mean(&self) -> Encoded {
            let mean = |sum: usize| u8::try_from(sum / self.pixels).expect("a mean of codes");
            Encoded(self.sums.map(mean))
        }
    }
    let mut cells = vec![Cell::default(); 1 << 12];
    for (colour, _) in copy.iter().zip(flat).filter(|(_, flat)| **flat) {
        let [r, g, b] = colour.map(|code| usize::from(code >> 4));
        let cell = &mut cells[r << 8 | g << 4 | b];
        cell.pixels += 1;
        for (sum, code) in cell.sums.iter_mut().zip(colour) {
            *sum += usize::from(*code);
        }
    }
    cells.retain(|cell| cell.pixels > 0);
    cells.sort_by_key(|cell| (std::cmp::Reverse(cell.pixels), cell.mean()));
    // A cell near a more common one belongs to it: both are one stroke on the border of two cells.
    let mut found: Vec<(Encoded, Cell)> = Vec::new();
    for cell in cells {
        let near = found
            .iter_mut()
            .find(|(head, _)| distance(*head, cell.mean()) <= ALIKE);
        match near {
            Some((_, whole)) => {
                whole.pixels += cell.pixels;
                for (sum, more) in whole.sums.iter_mut().zip(cell.sums) {
                    *sum += more;
                }
            }
            None => found.push((cell.mean(), cell)),
        }
    }
    let (fewest, least_share) = FEWEST;
    found
        .into_iter()
        .filter(|(_, whole)| {
            whole.pixels >= fewest && share(whole.pixels, copy.len()) >= least_share
        })
        .map(|(_, whole)| whole.mean())
        .collect()
}

fn is_background(Encoded(codes): Encoded) -> bool {
    codes.iter().all(|code| *code <= DARK) || codes.iter().all(|code| *code >= u8::MAX - DARK / 2)
}

fn share_of_strokes(lost: usize, marks: &[u8]) -> f64 {
    let kept = marks.iter().filter(|mark| **mark != UNMARKED).count();
    share(lost, lost + kept)
}

#[allow(clippy::cast_precision_loss, reason = "fewer pixels than 2^53")]
fn share(part: usize, whole: usize) -> f64 {
    part as f64 / whole.max(1) as f64
}
