//! Strokes and rough masks: a picture's flat colours to a mark per pixel.
//!
//! In: the bytes of a picture of the photo's size. Out: its colours except black, and a mark per pixel. Pixels that are more
//! transparent than not are unmarked. A colour that nobody painted (from a smoothed edge or a lossy file) is rare, is next to a
//! more common colour, and is close to it or on the line between two. It counts as the close one or stays unmarked, and is
//! reported. Profiles are ignored: the colours are names, not light.

use std::collections::HashMap;
use std::ops::Range;

use rayon::prelude::*;
use velatura_document::{Diagnostic, Warned, counted};
use velatura_optics::colour::Encoded;
use velatura_photo::flat::{
    FlatPicture, MASK_TOLERANCE, MOST_REGIONS, PhotoFrame, distance, wrong_size,
};
use velatura_photo::{DecodeLimits, decode};

/// A pixel that nobody marked.
pub(super) const UNMARKED: u8 = u8::MAX;
/// A stray colour this near a more common one was meant to be it (invented; regions should be 30 codes apart).
const MEANT: u8 = 24;
/// How many times more common that one must be.
const COMMONER: usize = 4;
/// Distance from the line between two colours, in codes, that smoothing with rounding may cause.
const OFF_THE_LINE: f64 = 12.0;
/// So close to black that it means background, even if no pixel is quite black.
const BLACK_MEANT: u8 = 8;
/// The background's colour.
const BLACK: Encoded = Encoded([0; 3]);

/// The kind of picture, which decides how it is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Marked {
    /// A few strokes; the rest is transparent and has to be found.
    Strokes,
    /// Every pixel; transparent is background.
    RoughMask,
}

/// Marks on a photo, one per pixel, upright.
#[derive(Debug, Clone)]
pub struct Marks {
    /// The regions' colours, in order of their codes; black, the background, is not among them.
    pub colours: Vec<Encoded>,
    /// 0 for background, a colour's index + 1, or 255 for none; row-major, of the photo's size.
    pub marks: Vec<u8>,
}

/// Reads a picture of strokes or a rough mask. Also gives warnings. Uses the size, the name and the orientation of the photo
/// from `fit`.
///
/// # Errors
/// A diagnostic if the file cannot be decoded, has another size than the photo, has no transparency although it should contain
/// strokes, marks no region, or has more than 250 colours.
pub fn read_marks(
    name: &str,
    bytes: &[u8],
    limits: &DecodeLimits,
    fit: &PhotoFrame<'_>,
    marked: Marked,
) -> Result<Warned<Marks>, Diagnostic> {
    let raw = decode(name, bytes, limits)?;
    let header = raw.header.clone();
    let size = header.orientation.turned_size(header.width, header.height);
    if size != (fit.width, fit.height) {
        let what = match marked {
            Marked::Strokes => "strokes picture",
            Marked::RoughMask => "mask",
        };
        return Err(wrong_size(name, what, size, fit));
    }
    if marked == Marked::Strokes && !header.channels.has_alpha() {
        return Err(Diagnostic::error(name, "this picture has no transparency")
            .expected("strokes on a transparent background")
            .help("paint the strokes on a separate layer above the photo, hide the photo, and save as PNG"));
    }
    let view = FlatPicture::new(&raw);
    let counts = counts(&view);
    let palette = Palette::of(&view, &counts);
    if palette.colours.len() > MOST_REGIONS {
        return Err(Diagnostic::error(
            name,
            format!("there are {} flat colours", palette.colours.len()),
        )
        .expected(format!(
            "at most {MOST_REGIONS}, one for each region, and black for the background"
        ))
        .help("use a hard brush, and save as PNG: a lossy format makes new colours"));
    }
    if palette.colours.is_empty() {
        let (found, help) = if counts.is_empty() {
            ("there is no stroke", "paint a stroke on every part")
        } else {
            (
                "only the background is marked",
                "paint a stroke on every part, each part in its own colour; black marks the background",
            )
        };
        return Err(Diagnostic::error(name, found)
            .expected("strokes in at least one colour other than black")
            .help(help));
    }
    let ground = match marked {
        Marked::Strokes => UNMARKED,
        Marked::RoughMask => 0,
    };
    let mut marks = vec![ground; raw.pixel_count()];
    marks
        .par_chunks_mut(view.width)
        .enumerate()
        .for_each(|(y, row)| {
            let mut last = None;
            for (x, mark) in row.iter_mut().enumerate() {
                let Some(colour) = view.colour(y * view.width + x) else {
                    continue;
                };
                // Strokes are flat: most pixels have the colour of the one before.
                let known = match last {
                    Some((known, mark)) if known == colour => mark,
                    _ => palette.mark(colour, marked),
                };
                last = Some((colour, known));
                *mark = known;
            }
        });
    let warnings = palette.warnings(name, marked);
    let marks = header
        .orientation
        .turned(marks, header.width, header.height);
    let marks = Marks {
        colours: palette.colours,
        marks,
    };
    Ok(Warned::new(marks, warnings))
}

/// A colour's pixels, and whether one of them has nothing more common next to it.
#[derive(Debug, Clone, Copy, Default)]
struct Count {
    pixels: usize,
    alone: bool,
}

fn merged<V: Copy>(
    mut a: HashMap<[u8; 3], V>,
    b: HashMap<[u8; 3], V>,
    add: impl Fn(&mut V, V),
) -> HashMap<[u8; 3], V> {
    #[allow(clippy::iter_over_hash_type, reason = "sums do not depend on order")]
    for (colour, count) in b {
        a.entry(colour)
            .and_modify(|sum| add(sum, count))
            .or_insert(count);
    }
    a
}

fn counts(view: &FlatPicture<'_>) -> HashMap<[u8; 3], Count> {
    let rows = 0..view.height;
    let pixels = rows
        .clone()
        .into_par_iter()
        .fold(HashMap::new, |mut counts, y| {
            for_runs(view, y, |colour, run| {
                *counts.entry(colour).or_insert(0_usize) += run.len();
            });
            counts
        })
        .reduce(HashMap::new, |a, b| {
            merged(a, b, |sum, count| *sum += count)
        });
    rows.into_par_iter()
        .fold(HashMap::new, |mut counts, y| {
            for_runs(view, y, |colour, mut run| {
                let count: &mut Count = counts.entry(colour).or_default();
                count.pixels += run.len();
                // In the middle of a painted area the first pixel decides.
                count.alone =
                    count.alone || run.any(|at| !has_commoner_beside(view, &pixels, at, colour));
            });
            counts
        })
        .reduce(HashMap::new, |a, b| {
            merged(a, b, |sum: &mut Count, count| {
                sum.pixels += count.pixels;
                sum.alone |= count.alone;
            })
        })
}

/// Calls `add` with each run of equal colours in a row and the places of its pixels. Strokes are flat, so runs are long.
fn for_runs(view: &FlatPicture<'_>, y: usize, mut add: impl FnMut([u8; 3], Range<usize>)) {
    let (first, end) = (y * view.width, (y + 1) * view.width);
    let mut run: Option<([u8; 3], usize)> = None;
    for at in first..=end {
        let colour = if at < end { view.colour(at) } else { None };
        if let Some((known, from)) = run {
            if colour == Some(known) {
                continue;
            }
            add(known, from..at);
        }
        run = colour.map(|colour| (colour, at));
    }
}

fn has_commoner_beside(
    view: &FlatPicture<'_>,
    pixels: &HashMap<[u8; 3], usize>,
    at: usize,
    colour: [u8; 3],
) -> bool {
    let (x, y) = (at % view.width, at / view.width);
    let mut own = None;
    (y.saturating_sub(1)..=(y + 1).min(view.height - 1)).any(|y| {
        (x.saturating_sub(1)..=(x + 1).min(view.width - 1)).any(|x| {
            view.colour(y * view.width + x).is_some_and(|near| {
                near != colour && {
                    let own = *own.get_or_insert_with(|| pixels.get(&colour).copied().unwrap_or(0));
                    pixels
                        .get(&near)
                        .is_some_and(|other| *other > COMMONER * own)
                }
            })
        })
    })
}

/// Colours that were painted, and what happened to the others.
struct Palette {
    colours: Vec<Encoded>,
    /// Stray colours, each with the painted colour it stands for; none where two were mixed.
    strays: HashMap<[u8; 3], (Encoded, Stray)>,
    near: usize,
    mixed: usize,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Stray {
    Near,
    Mixed,
}

impl Palette {
    fn of(view: &FlatPicture<'_>, counts: &HashMap<[u8; 3], Count>) -> Self {
        let mut ordered: Vec<(Encoded, Count)> = counts
            .iter()
            .map(|(colour, count)| (Encoded(*colour), *count))
            .collect();
        ordered.sort_by_key(|(colour, count)| (std::cmp::Reverse(count.pixels), *colour));
        let total = view.width * view.height;
        let black = counts.get(&BLACK.0).map_or(0, |count| count.pixels);
        let mut painted: Vec<(Encoded, usize)> = vec![(BLACK, black)];
        let mut palette = Self {
            colours: Vec::new(),
            strays: HashMap::new(),
            near: 0,
            mixed: 0,
        };
        for (colour, count) in ordered.into_iter().filter(|(colour, _)| *colour != BLACK) {
            let nearest = painted
                .iter()
                .map(|(other, pixels)| (distance(*other, colour), *other, *pixels))
                .min();
            let meant = nearest.filter(|(far, other, pixels)| {
                *far <= MASK_TOLERANCE
                    || (*far <= MEANT && *pixels > COMMONER * count.pixels)
                    || (*other == BLACK && *far <= BLACK_MEANT)
            });
            if let Some((far, other, _)) = meant {
                palette.near += if far > MASK_TOLERANCE {
                    count.pixels
                } else {
                    0
                };
                palette.strays.insert(colour.0, (other, Stray::Near));
            } else if let Some(nearer) = mixture(colour, count, &painted) {
                palette.mixed += count.pixels;
                palette.strays.insert(colour.0, (nearer, Stray::Mixed));
            } else {
                painted.push((colour, count.pixels));
            }
            debug_assert!(painted.len() <= total + 1, "each colour has a pixel");
        }
        palette.colours = painted[1..].iter().map(|(colour, _)| *colour).collect();
        palette.colours.sort_unstable();
        palette
    }

    fn mark(&self, colour: [u8; 3], marked: Marked) -> u8 {
        let meant = match self.strays.get(&colour) {
            None => Encoded(colour),
            Some((_, Stray::Mixed)) if marked == Marked::Strokes => return UNMARKED,
            Some((meant, _)) => *meant,
        };
        let index = self.colours.iter().position(|known| *known == meant);
        index.map_or(0, |index| {
            u8::try_from(index + 1).expect("at most 250 regions")
        })
    }

    fn warnings(&self, name: &str, marked: Marked) -> Vec<Diagnostic> {
        let mut warnings = Vec::new();
        if self.near > 0 {
            let found = format!(
                "{} in a colour close to that of the strokes around it",
                counted(self.near, "pixel")
            );
            warnings.push(
                Diagnostic::warning(name, found)
                    .expected("flat colours, 30 code values apart or more")
                    .help("each counts as the more common colour; save as PNG: a lossy format makes new colours"),
            );
        }
        if self.mixed > 0 {
            let found = format!("the edges are blended: {}", counted(self.mixed, "pixel"));
            let went = match marked {
                Marked::Strokes => "they count as unmarked",
                Marked::RoughMask => "each counts as the closer of its two colours",
            };
            warnings.push(
                Diagnostic::warning(name, found)
                    .expected("flat colours with hard edges")
                    .help(format!("{went}; to decide them yourself, use a hard brush")),
            );
        }
        warnings
    }
}

/// The nearer end, if a rare colour is between two more common ones (white counts, as a brush may fade to it) and is next to
/// one wherever it occurs.
fn mixture(colour: Encoded, count: Count, painted: &[(Encoded, usize)]) -> Option<Encoded> {
    if count.alone {
        return None;
    }
    let commoner: Vec<Encoded> = painted
        .iter()
        .filter(|(_, pixels)| *pixels > COMMONER * count.pixels)
        .map(|(colour, _)| *colour)
        .collect();
    let ends = commoner.iter().copied().chain([BLACK, Encoded([255; 3])]);
    let codes = |colour: Encoded| colour.0.map(f64::from);
    for (index, end) in ends.enumerate() {
        for other in &commoner[..index.min(commoner.len())] {
            let (p, a, b) = (codes(colour), codes(*other), codes(end));
            let along: f64 = (0..3).map(|i| (p[i] - a[i]) * (b[i] - a[i])).sum();
            let whole: f64 = (0..3).map(|i| (b[i] - a[i]).powi(2)).sum();
            if whole == 0.0 {
                continue;
            }
            let share = (along / whole).clamp(0.0, 1.0);
            let off: f64 = (0..3)
                .map(|i| (a[i] + (b[i] - a[i]) * share - p[i]).powi(2))
                .sum();
            if off.sqrt() <= OFF_THE_LINE {
                let known = |end: Encoded| commoner.contains(&end);
                return Some(if share < 0.5 || !known(end) {
                    *other
                } else {
                    end
                });
            }
        }
    }
    None
}
