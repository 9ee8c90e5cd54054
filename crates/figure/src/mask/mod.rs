//! From a mask's colours to a region per pixel.
//!
//! A colour within 2 codes per channel of a region's is that region; any other is background, except where two flat
//! colours were blended along an edge (`blend.rs`). Profiles are ignored: a mask's colours are names, not light.

mod blend;
mod report;

use std::collections::HashMap;

use rayon::prelude::*;
use velatura_document::{Diagnostic, Warned};
use velatura_optics::colour::Encoded;

use velatura_photo::flat::{FlatPicture, MASK_TOLERANCE, PhotoFrame, distance, wrong_size};
use velatura_photo::{DecodeLimits, Orientation, decode};

use crate::figure_file::{FigureFile, named_in};

use blend::Blend;

/// What happens to a pixel whose colour is between two flat colours next to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BlendedEdges {
    /// It goes to the nearer of the two colours.
    NearerColour,
    /// It is background, as any other colour of no region.
    Background,
}

/// Not decided yet; [`velatura_photo::flat::MOST_REGIONS`] keeps the number free.
pub(super) const UNDECIDED: u8 = u8::MAX;

/// What was found in a mask, for the messages about it.
pub(super) struct Findings {
    /// Pixels per label: background first, then the regions.
    pub(super) pixels: Vec<usize>,
    /// Colours of no region, which count as background, with their pixels; most pixels first.
    pub(super) strangers: Vec<(Encoded, usize)>,
    /// Blended pixels, and where the first is after rotation.
    pub(super) blended: usize,
    pub(super) first_blended: Option<(usize, usize)>,
}

/// Reads a mask: one byte per pixel, row-major, 0 for the background, else the region's index + 1. Also gives warnings.
///
/// # Errors
/// A diagnostic if the file cannot be decoded, has another size than the photo, or no region has a pixel in it.
pub fn read_mask(
    name: &str,
    bytes: &[u8],
    figure: &FigureFile,
    limits: &DecodeLimits,
    frame: &PhotoFrame<'_>,
    edges: BlendedEdges,
) -> Result<Warned<Vec<u8>>, Diagnostic> {
    let within = || named_in(figure, &figure.mask.at, "mask");
    let raw = decode(name, bytes, limits).map_err(|problem| problem.within(within()))?;
    let orientation = raw.header.orientation;
    let size = orientation.turned_size(raw.header.width, raw.header.height);
    if size != (frame.width, frame.height) {
        return Err(wrong_size(name, "mask", size, frame).within(within()));
    }
    let view = FlatPicture::new(&raw);
    let (labels, findings) = read_labels(&view, figure, edges, orientation);
    let (width, height) = (raw.header.width, raw.header.height);
    drop(raw);
    if findings.pixels[1..].iter().all(|count| *count == 0) {
        return Err(report::all_empty(name, figure, &findings).within(within()));
    }
    let warnings = report::warnings(name, figure, &findings, edges);
    let labels = orientation.turned(labels, width, height);
    Ok(Warned::new(labels, warnings))
}

fn read_labels(
    view: &FlatPicture<'_>,
    figure: &FigureFile,
    edges: BlendedEdges,
    orientation: Orientation,
) -> (Vec<u8>, Findings) {
    let colours: Vec<Encoded> = figure
        .regions
        .iter()
        .map(|region| region.mask_colour.value)
        .collect();
    let mut labels = vec![0; view.width * view.height];
    let soft: usize = labels
        .par_chunks_mut(view.width)
        .enumerate()
        .map(|(y, row)| label_row(view, y, row, &colours))
        .sum();
    let flat = flat_strangers(view, &mut labels);
    let Blend { count, first, left } =
        blend::settle(view, &mut labels, &colours, edges, orientation);

    let mut strangers: Vec<(Encoded, usize)> = flat
        .into_iter()
        .chain(left)
        .map(|(colour, count)| (Encoded(colour), count))
        .collect();
    strangers.sort_by_key(|(colour, count)| (std::cmp::Reverse(*count), *colour));
    let pixels = count_labels(&labels, colours.len() + 1);
    let findings = Findings {
        pixels,
        strangers,
        blended: count + soft,
        first_blended: first,
    };
    (labels, findings)
}

/// Labels a row and gives the number of pixels with a soft alpha in regions.
fn label_row(view: &FlatPicture<'_>, y: usize, row: &mut [u8], colours: &[Encoded]) -> usize {
    let mut last = (None, 0);
    let mut soft_pixels = 0;
    for (x, label) in row.iter_mut().enumerate() {
        let (colour, soft) = view.pixel(y * view.width + x);
        // Masks are flat: most pixels have the colour of the one before.
        if (colour, last.1) != last || x == 0 {
            last = (
                colour,
                colour.map_or(0, |colour| label_of(Encoded(colour), colours)),
            );
        }
        *label = last.1;
        soft_pixels += usize::from(soft && (1..UNDECIDED).contains(&last.1));
    }
    soft_pixels
}

fn label_of(colour: Encoded, colours: &[Encoded]) -> u8 {
    let near = colours
        .iter()
        .enumerate()
        .map(|(index, region)| (distance(*region, colour), index))
        .min()
        .filter(|(distance, _)| *distance <= MASK_TOLERANCE);
    if let Some((_, index)) = near {
        return u8::try_from(index + 1).expect("at most 250 regions");
    }
    // Black and white are what masks usually have for a background.
    let plain = [Encoded([0; 3]), Encoded([255; 3])];
    if plain
        .iter()
        .any(|plain| distance(*plain, colour) <= MASK_TOLERANCE)
    {
        0
    } else {
        UNDECIDED
    }
}

/// Colours, none a region's, that fill a square of 3 × 3 somewhere: somebody painted them, no edge made them. Their
/// pixels become background; gives the number of pixels of each.
fn flat_strangers(view: &FlatPicture<'_>, labels: &mut [u8]) -> HashMap<[u8; 3], usize> {
    let width = view.width;
    let fills_square = |index: usize, colour: [u8; 3]| {
        let (x, y) = (index % width, index / width);
        let inside = x > 0 && y > 0 && x + 1 < width && y + 1 < view.height;
        inside
            && (y - 1..=y + 1)
                .all(|y| (x - 1..=x + 1).all(|x| view.colour(y * width + x) == Some(colour)))
    };
    let flat: HashMap<[u8; 3], usize> = labels
        .par_chunks(width)
        .enumerate()
        .fold(HashMap::new, |mut flat, (y, row)| {
            for x in (0..row.len()).filter(|x| row[*x] == UNDECIDED) {
                let index = y * width + x;
                let Some(colour) = view.colour(index) else {
                    continue;
                };
                if !flat.contains_key(&colour) && fills_square(index, colour) {
                    flat.insert(colour, 0);
                }
            }
            flat
        })
        .reduce(HashMap::new, |mut a, b| {
            a.extend(b);
            a
        });
    if flat.is_empty() {
        return flat;
    }
    labels
        .par_chunks_mut(width)
        .enumerate()
        .fold(
            || flat.clone(),
            |mut counts, (y, row)| {
                for (x, label) in row
                    .iter_mut()
                    .enumerate()
                    .filter(|(_, label)| **label == UNDECIDED)
                {
                    let count = view
                        .colour(y * width + x)
                        .and_then(|colour| counts.get_mut(&colour));
                    if let Some(count) = count {
                        *count += 1;
                        *label = 0;
                    }
                }
                counts
            },
        )
        .reduce(|| flat.clone(), add)
}

/// The sum of two counts by colour.
pub(super) fn add(
    mut a: HashMap<[u8; 3], usize>,
    b: HashMap<[u8; 3], usize>,
) -> HashMap<[u8; 3], usize> {
    b.into_iter()
        .for_each(|(colour, count)| *a.entry(colour).or_default() += count);
    a
}

fn count_labels(labels: &[u8], kinds: usize) -> Vec<usize> {
    labels
        .par_chunks(1 << 16)
        .fold(
            || vec![0; kinds],
            |mut counts, labels| {
                labels
                    .iter()
                    .for_each(|label| counts[usize::from(*label)] += 1);
                counts
            },
        )
        .reduce(
            || vec![0; kinds],
            |a, b| a.iter().zip(b).map(|(a, b)| a + b).collect(),
        )
}
