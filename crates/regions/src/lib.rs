//! Regions from strokes: a few rough strokes per part, and black ones on the background, become a whole mask. A rough mask made by
//! hand can be fitted to the edges in the photo instead ([`refined`]).
//!
//! In: a photo and [`Marks`]. Out: [`Labels`], a label per pixel. Strokes are always obeyed, every pixel is decided, and the same
//! input gives the same bytes with any number of threads. Not here: files (the command), what a region is painted with.
//!
//! 1. The photo is averaged to a *grid* of at most 416 cells along its longer side (`grid.rs`). Each cell gets a *strength*: edges
//!    of tone and colour at three sizes, and dark creases at two, relative to their surroundings (`edges.rs`).
//! 2. *Figure or background* (`figure.rs`) combines three votes: what both look like nearby (`nearby.rs`), which colours their
//!    strokes have in the whole picture (`colours.rs`), and how much more a walk costs from the background's strokes or the edge of
//!    the picture than from the figure's strokes (`travel.rs`). The votes are smoothed where there is no edge (`smooth.rs`), and
//!    a second round uses what is certain by then.
//! 3. *Parts* (`parts.rs`): walks from each part's strokes inside the figure, and small areas joined over their weakest borders
//!    (`basins.rs`, `join.rs`). The parts of a grey figure differ only in the hollows between them.
//! 4. *Islands* without a stroke are given away if they are small, or if they look like figure but connect to none of it; the others are
//!    reported (`islands.rs`).
//! 5. At *full size* the beliefs are interpolated between cells, and borders move to the edges in the photo by at most a cell, and at
//!    least two pixels (`full_size.rs`, `snap.rs`).
//!
//! `docs/regions.md` has the measurements: how well this works, on which pictures, and what was tried.

mod basins;
mod cells;
mod colours;
mod edges;
mod figure;
mod filters;
mod full_size;
mod grid;
mod islands;
mod join;
mod markup;
mod nearby;
mod overlay;
mod parts;
mod smooth;
mod snap;
mod strokes;
mod travel;
mod written;

pub use islands::{Fate, Island};
pub use markup::read_strokes;
pub use overlay::overlay;
pub use strokes::{Marked, Marks, read_marks};
pub use written::mask_png;

use grid::Grid;
use rayon::prelude::*;
use snap::{Labelled, snapped};
use strokes::UNMARKED;
use velatura_optics::colour::Encoded;

use velatura_photo::Photo;

/// The most pixels that [`refined`] moves a border.
pub const MOST_REFINE_PX: u8 = 60;

/// A region for every pixel.
#[derive(Debug, Clone)]
pub struct Labels {
    /// The regions' colours, as the strokes have them.
    pub colours: Vec<Encoded>,
    /// 0 for background, else a colour's index + 1; row-major, of the photo's size.
    pub labels: Vec<u8>,
    /// Islands without a stroke, the largest first.
    pub islands: Vec<Island>,
}

impl Labels {
    /// Pixels per label, the background's first.
    #[must_use]
    pub fn pixels(&self) -> Vec<usize> {
        let mut counts = vec![0; self.colours.len() + 1];
        for label in &self.labels {
            counts[usize::from(*label)] += 1;
        }
        counts
    }

    /// The mask's colours: black, then the regions'.
    #[must_use]
    pub fn palette(&self) -> Vec<Encoded> {
        [Encoded([0; 3])]
            .into_iter()
            .chain(self.colours.iter().copied())
            .collect()
    }
}

/// The most memory per pixel of the photo that [`regions`] or [`refined`] hold at one time on top of photo and marks, what they return
/// included. Ask for it with [`velatura_document::room_for`].
pub const REGIONS_BYTES_PER_PIXEL: u64 = 9;

/// The regions of a photo from strokes on it. Without a stroke on the background the whole picture is figure.
///
/// # Panics
/// If the marks are not of the photo's size.
#[must_use]
pub fn regions(photo: &Photo, strokes: &Marks) -> Labels {
    let (width, height) = (photo.width as usize, photo.height as usize);
    assert_eq!(
        strokes.marks.len(),
        photo.photo.len(),
        "marks are read for this photo"
    );
    let grid = Grid::of(&photo.photo, width, height);
    let marks = cell_marks(&grid, &strokes.marks, strokes.colours.len());
    let mut belief = cells::belief(&grid, &marks, strokes.colours.len());
    let mut cells: Vec<u8> = (0..grid.len())
        .map(|at| match marks[at] {
            UNMARKED => belief.label(at),
            mark => mark,
        })
        .collect();
    let islands = islands::settle(&grid, &mut cells, &marks);
    belief.agree_with(&cells);
    let labels = full_size::labels(&grid, &belief, &cells, &photo.photo, &strokes.marks);
    Labels {
        colours: strokes.colours.clone(),
        labels,
        islands,
    }
}

/// A rough mask with its borders moved to the photo's edges, by at most `reach_px` (1…[`MOST_REFINE_PX`]) pixels, a diagonal step
/// counting as one.
///
/// # Panics
/// If the mask is not of the photo's size, or leaves a pixel open.
#[must_use]
pub fn refined(photo: &Photo, mask: &Marks, reach_px: u8) -> Labels {
    assert_eq!(
        mask.marks.len(),
        photo.photo.len(),
        "the mask is read for this photo"
    );
    assert!(
        !mask.marks.contains(&UNMARKED),
        "a rough mask decides every pixel"
    );
    let open = vec![UNMARKED; mask.marks.len()];
    let picture = Labelled {
        photo: &photo.photo,
        width: photo.width as usize,
        fixed: &open,
    };
    Labels {
        colours: mask.colours.clone(),
        labels: snapped(
            picture,
            mask.marks.clone(),
            reach_px.clamp(1, MOST_REFINE_PX),
        ),
        islands: Vec::new(),
    }
}

/// The mark that most pixels of each cell have, if any has one; of equals the lower. A region whose strokes lost every cell gets the
/// one where it has most pixels, so that a dot counts however large the photo is.
fn cell_marks(grid: &Grid, marks: &[u8], regions: usize) -> Vec<u8> {
    let counts_of = |cell: usize| {
        let (columns, rows) = grid.pixels_of(cell);
        let mut counts: Vec<(u8, usize)> = Vec::new();
        for y in rows {
            for mark in &marks[y * grid.photo_width..][columns.clone()] {
                if *mark != UNMARKED {
                    match counts.iter_mut().find(|(known, _)| known == mark) {
                        Some((_, count)) => *count += 1,
                        None => counts.push((*mark, 1)),
                    }
                }
            }
        }
        counts
    };
    let counts: Vec<Vec<(u8, usize)>> = (0..grid.len())
        .into_par_iter()
        .with_min_len(256)
        .map(counts_of)
        .collect();
    let most = |counts: &[(u8, usize)]| {
        counts
            .iter()
            .max_by_key(|(mark, count)| (*count, std::cmp::Reverse(*mark)))
            .map_or(UNMARKED, |(mark, _)| *mark)
    };
    let mut cells: Vec<u8> = counts.iter().map(|counts| most(counts)).collect();
    for label in 0..=regions {
        let label = u8::try_from(label).expect("at most 250 regions");
        if cells.contains(&label) {
            continue;
        }
        let best = counts
            .iter()
            .enumerate()
            .filter_map(|(cell, counts)| {
                let (_, count) = counts.iter().find(|(mark, _)| *mark == label)?;
                Some((*count, std::cmp::Reverse(cell)))
            })
            .max();
        if let Some((_, std::cmp::Reverse(cell))) = best {
            cells[cell] = label;
        }
    }
    cells
}
