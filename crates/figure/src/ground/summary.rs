//! A summary of each region without pixels: how large it is, how bright and how hollow its underpainting is, and which
//! regions touch.
//!
//! In: an underpainting. Out: per region a hundred or so pairs of substrate and relief with the share of pixels that have
//! them, and for every two regions how long their common border is. Schemes are compared and composed from this.

use rayon::prelude::*;

use velatura_optics::relief::EDGES_FROM;

use super::{PLANE_MAX, Underpainting, as_code};

/// Steps of substrate and of relief that pixels are gathered in. Within a step the mean is kept, so that only the
/// curvature over 1/24 of the range is lost: below 0.001 in linear light on the demo figures.
const SUBSTRATE_STEPS: usize = 24;
/// Steps of relief below edges, then of edges, over which the film of a thin line changes from all to nothing.
const RELIEF_STEPS: [usize; 2] = [12, 10];

/// Parts meet although a line of background may run between them in the mask: pixels this share of the longer side
/// apart still count as neighbours (8 pixels in a photo of 4,000).
const GAP: f64 = 0.002;

/// Pixels that one thread gathers at once.
const AT_ONCE: usize = 1 << 18;

/// A figure without its pixels.
#[derive(Debug, Clone, PartialEq)]
pub struct FigureSummary {
    /// One per region, in the figure file's order.
    pub regions: Vec<RegionSummary>,
    /// Length of the border between two regions in pixels, regions × regions, symmetric, 0 on the diagonal.
    pub borders: Vec<Vec<u64>>,
}

/// One region.
#[derive(Debug, Clone, PartialEq)]
pub struct RegionSummary {
    /// Its name.
    pub name: String,
    /// Its share of all pixels that have a region, 0…1.
    pub area: f64,
    /// Its greys, with weights that sum to 1; empty if it has no pixel.
    pub greys: Vec<Grey>,
}

/// A part of a region's surface with nearly the same substrate and relief.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grey {
    /// Reflectance of the underpainting there, 0…1: as photographed, or of a simulated undercoat.
    pub substrate: f64,
    /// Number of the relief plane, 0 deep recess … 1 ridge of an edge.
    pub relief: f64,
    /// Its share of the region.
    pub weight: f64,
}

impl Underpainting {
    /// The figure without its pixels.
    #[must_use]
    pub fn summary(&self) -> FigureSummary {
        let cells = SUBSTRATE_STEPS * relief_rows();
        let count = cells * self.subject.regions.len();
        let gathered = self
            .subject
            .region
            .par_chunks(AT_ONCE)
            .zip(self.substrate.par_chunks(AT_ONCE))
            .zip(self.relief.par_chunks(AT_ONCE))
            .map(|((region, substrate), relief)| gathered(region, substrate, relief, count))
            .reduce(
                || vec![Cell::default(); count],
                |mut all, some| {
                    all.iter_mut()
                        .zip(some)
                        .for_each(|(all, some)| all.merge(some));
                    all
                },
            );
        let coated: u64 = gathered.iter().map(|cell| cell.pixels).sum();
        let regions = self
            .subject
            .regions
            .iter()
            .zip(gathered.chunks(cells))
            .map(|(name, cells)| summarised(name, cells, coated))
            .collect();
        FigureSummary {
            regions,
            borders: self.borders(),
        }
    }

    /// Counts pairs of pixels side by side and one above the other, a gap's width apart, that are in different regions.
    fn borders(&self) -> Vec<Vec<u64>> {
        let (width, height) = (self.subject.width as usize, self.subject.height as usize);
        #[allow(
            clippy::cast_precision_loss,
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a small share of a side"
        )]
        let gap = ((width.max(height) as f64 * GAP) as usize).max(1);
        let mut borders = vec![vec![0_u64; self.subject.regions.len()]; self.subject.regions.len()];
        let mut meet = |a: u8, b: u8| {
            if a != b && a != 0 && b != 0 {
                let (a, b) = (usize::from(a) - 1, usize::from(b) - 1);
                borders[a][b] += 1;
                borders[b][a] += 1;
            }
        };
        for (y, row) in self.subject.region.chunks(width.max(1)).enumerate() {
            row.iter()
                .zip(row.iter().skip(gap))
                .for_each(|(a, b)| meet(*a, *b));
            if y + gap < height {
                let below = &self.subject.region[(y + gap) * width..(y + gap + 1) * width];
                row.iter().zip(below).for_each(|(a, b)| meet(*a, *b));
            }
        }
        // A pair a gap's width apart sees the same border that many times over.
        for length in borders.iter_mut().flatten() {
            *length = length.div_ceil(gap as u64);
        }
        borders
    }
}

/// Cells of every region after the other, within a region by relief, then by substrate.
fn gathered(region: &[u8], substrate: &[u16], relief: &[u16], count: usize) -> Vec<Cell> {
    let mut cells = vec![Cell::default(); count];
    for ((region, substrate), relief) in region.iter().zip(substrate).zip(relief) {
        if let Some(index) = usize::from(*region).checked_sub(1) {
            let row = index * relief_rows() + relief_step(*relief);
            cells[row * SUBSTRATE_STEPS + step(*substrate, SUBSTRATE_STEPS)]
                .add(*substrate, *relief);
        }
    }
    cells
}

#[derive(Debug, Clone, Copy, Default)]
struct Cell {
    pixels: u64,
    substrate: u64,
    relief: u64,
}

impl Cell {
    fn add(&mut self, substrate: u16, relief: u16) {
        self.pixels += 1;
        self.substrate += u64::from(substrate);
        self.relief += u64::from(relief);
    }

    fn merge(&mut self, other: Self) {
        self.pixels += other.pixels;
        self.substrate += other.substrate;
        self.relief += other.relief;
    }
}

const fn relief_rows() -> usize {
    RELIEF_STEPS[0] + RELIEF_STEPS[1]
}

/// The row of a relief: plain ones first, then edges.
fn relief_step(code: u16) -> usize {
    let [plain, edges] = RELIEF_STEPS;
    let from = as_code(EDGES_FROM * PLANE_MAX);
    match code.checked_sub(from) {
        None | Some(0) => usize::from(code) * plain / (usize::from(from) + 1),
        Some(above) => plain + usize::from(above) * edges / (usize::from(u16::MAX - from) + 1),
    }
}

fn step(code: u16, steps: usize) -> usize {
    usize::from(code) * steps / (usize::from(u16::MAX) + 1)
}

#[allow(clippy::cast_precision_loss, reason = "counts of pixels")]
fn summarised(name: &str, cells: &[Cell], coated: u64) -> RegionSummary {
    let pixels: u64 = cells.iter().map(|cell| cell.pixels).sum();
    let mean = |sum: u64, pixels: u64| sum as f64 / pixels as f64 / PLANE_MAX;
    RegionSummary {
        name: name.to_owned(),
        area: if coated > 0 {
            pixels as f64 / coated as f64
        } else {
            0.0
        },
        greys: cells
            .chunks(SUBSTRATE_STEPS)
            .flat_map(|row| {
                // One relief for a whole row: films then need to be computed once for all of it.
                let (in_row, relief) = row.iter().fold((0, 0), |(pixels, relief), cell| {
                    (pixels + cell.pixels, relief + cell.relief)
                });
                row.iter()
                    .filter(|cell| cell.pixels > 0)
                    .map(move |cell| Grey {
                        substrate: mean(cell.substrate, cell.pixels),
                        relief: mean(relief, in_row),
                        weight: cell.pixels as f64 / pixels as f64,
                    })
            })
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure_keys::UndercoatKind;
    use crate::ground::{Origin, Sourced, UndercoatPoints};
    use crate::plate::Subject;

    /// Three parts in a row with one line of background between the first two.
    fn strip() -> Underpainting {
        let row: [u8; 9] = [1, 1, 1, 0, 2, 2, 2, 3, 3];
        let region: Vec<u8> = row.iter().copied().cycle().take(9 * 4).collect();
        let known = |value| Sourced {
            value,
            from: Origin::Given,
        };
        Underpainting {
            substrate: region
                .iter()
                .map(|region| u16::from(*region) * 16_000)
                .collect(),
            light: vec![65535; 36],
            light_unit: 1.0 / 65535.0,
            relief: (0..36)
                .map(|at| if at % 9 == 0 { 0 } else { 65535 })
                .collect(),
            px_per_mm: 0.1,
            subject: Subject {
                width: 9,
                height: 4,
                photo: vec![[0; 3]; 36],
                region,
                regions: ["left", "middle", "right"].map(str::to_owned).to_vec(),
                lamp: [1.0; 3],
            },
            points: UndercoatPoints {
                kind: UndercoatKind::BlackToWhite,
                black: known(0.01),
                white: known(0.8),
                light_share: known(0.2),
            },
        }
    }

    #[test]
    fn areas_and_weights_sum_to_one_and_means_are_the_pixels_own() {
        let summary = strip().summary();
        let areas: f64 = summary.regions.iter().map(|region| region.area).sum();
        assert!((areas - 1.0).abs() < 1e-12);
        assert!((summary.regions[2].area - 0.25).abs() < 1e-12);
        for (index, region) in summary.regions.iter().enumerate() {
            let weights: f64 = region.greys.iter().map(|grey| grey.weight).sum();
            assert!((weights - 1.0).abs() < 1e-12, "{}", region.name);
            #[allow(clippy::cast_precision_loss, reason = "three regions")]
            let substrate = (index + 1) as f64 * 16_000.0 / 65535.0;
            for grey in &region.greys {
                assert!(
                    (grey.substrate - substrate).abs() < 1e-12,
                    "{}",
                    region.name
                );
            }
        }
        // One column of three is hollow.
        let hollow = summary.regions[0]
            .greys
            .iter()
            .find(|grey| grey.relief < 0.5)
            .unwrap();
        assert!((hollow.weight - 1.0 / 3.0).abs() < 1e-12);
    }

    #[test]
    fn only_parts_that_touch_have_a_border() {
        let borders = strip().summary().borders;
        assert_eq!(borders[1][2], 4, "as many pixels as rows");
        assert_eq!(borders[1][2], borders[2][1]);
        // A gap of one pixel in a picture of nine is not a small share of it: not neighbours.
        assert_eq!((borders[0][1], borders[0][2]), (0, 0));
    }
}
