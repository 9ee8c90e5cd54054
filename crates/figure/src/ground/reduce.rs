//! An underpainting at another scale: planes averaged over area, never across the border of two regions.

use rayon::prelude::*;
use velatura_optics::colour::{Encoded, Linear};

use super::{Underpainting, as_code};
use crate::plate::{CropBox, Subject};

/// Space left around the figure on the sheet, as a share of its longer side.
const MARGIN: f64 = 0.09;

impl Underpainting {
    /// The figure with some space around it; the whole picture where no pixel has a region.
    #[must_use]
    pub fn crop_box(&self) -> CropBox {
        let Some(figure) = self.subject.figure_box() else {
            return CropBox {
                x: 0,
                y: 0,
                width: self.subject.width,
                height: self.subject.height,
            };
        };
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a share of a side"
        )]
        let margin = (f64::from(figure.width.max(figure.height).saturating_sub(1)) * MARGIN) as u32;
        let (x, y) = (
            figure.x.saturating_sub(margin),
            figure.y.saturating_sub(margin),
        );
        let end_x = (figure.x + figure.width)
            .saturating_add(margin)
            .min(self.subject.width);
        let end_y = (figure.y + figure.height)
            .saturating_add(margin)
            .min(self.subject.height);
        CropBox {
            x,
            y,
            width: end_x - x,
            height: end_y - y,
        }
    }

    /// The crop at `width × height` pixels. Each takes the region that most of its source pixels have (of equals the
    /// first in the figure file) and the means of that region's planes there; the photo is averaged in linear light.
    ///
    /// # Panics
    /// If the crop is not within the picture.
    #[must_use]
    pub fn reduced(&self, crop: CropBox, width: u32, height: u32) -> Self {
        assert!(
            crop.x + crop.width <= self.subject.width
                && crop.y + crop.height <= self.subject.height,
            "the crop lies within"
        );
        let decode: Vec<f64> = (0..=255)
            .map(|code| Encoded([code; 3]).linear().0[0])
            .collect();
        let pixels: Vec<Reduced> = (0..width as usize * height as usize)
            .into_par_iter()
            .with_min_len(256)
            .map(|at| {
                let (x, y) = (at % width as usize, at / width as usize);
                let columns = span(x, width, crop.x, crop.width);
                let rows = span(y, height, crop.y, crop.height);
                self.reduced_pixel(columns, rows, &decode)
            })
            .collect();
        Self {
            subject: Subject {
                width,
                height,
                photo: pixels.par_iter().map(|pixel| pixel.photo).collect(),
                region: pixels.par_iter().map(|pixel| pixel.region).collect(),
                regions: self.subject.regions.clone(),
                lamp: self.subject.lamp,
            },
            substrate: pixels.par_iter().map(|pixel| pixel.substrate).collect(),
            light: pixels.par_iter().map(|pixel| pixel.light).collect(),
            light_unit: self.light_unit,
            relief: pixels.par_iter().map(|pixel| pixel.relief).collect(),
            px_per_mm: self.px_per_mm * f64::from(height) / f64::from(crop.height),
            points: self.points,
        }
    }

    fn reduced_pixel(
        &self,
        columns: std::ops::Range<usize>,
        rows: std::ops::Range<usize>,
        decode: &[f64],
    ) -> Reduced {
        let width = self.subject.width as usize;
        let places = || {
            rows.clone()
                .flat_map(|row| columns.clone().map(move |column| row * width + column))
        };
        let mut photo = [0.0; 3];
        for at in places() {
            for (sum, code) in photo.iter_mut().zip(self.subject.photo[at]) {
                *sum += decode[usize::from(code)];
            }
        }
        let (region, most) = most_frequent(places().map(|at| self.subject.region[at]));
        let (mut substrate, mut light, mut relief) = (0.0, 0.0, 0.0);
        for at in places().filter(|at| self.subject.region[*at] == region) {
            substrate += f64::from(self.substrate[at]);
            light += f64::from(self.light[at]);
            relief += f64::from(self.relief[at]);
        }
        let mean = |sum: f64| as_code((sum / f64::from(most)).round());
        #[allow(clippy::cast_precision_loss, reason = "a source box is small")]
        let count = (columns.len() * rows.len()) as f64;
        Reduced {
            substrate: mean(substrate),
            light: mean(light),
            relief: mean(relief),
            region,
            photo: Linear(photo.map(|sum| sum / count)).encoded().0,
        }
    }
}

struct Reduced {
    substrate: u16,
    light: u16,
    relief: u16,
    region: u8,
    photo: [u8; 3],
}

/// The most frequent of the regions, of equals the first, and how often it is there.
fn most_frequent(regions: impl Iterator<Item = u8> + Clone) -> (u8, u32) {
    let mut all = regions.clone();
    // Within a part, which is nearly everywhere, there is only one.
    let first = all.next().unwrap_or(0);
    if all.all(|region| region == first) {
        let count = regions.count();
        return (first, u32::try_from(count).unwrap_or(u32::MAX));
    }
    let mut counts = [0_u32; 256];
    for region in regions {
        counts[usize::from(region)] += 1;
    }
    let most = counts.iter().max().copied().unwrap_or(0);
    let region = (0..=255_u8).find(|region| counts[usize::from(*region)] == most);
    (region.unwrap_or(0), most)
}

/// The source pixels of target pixel `at` of `count` along one side, at least one of them.
fn span(at: usize, count: u32, start: u32, length: u32) -> std::ops::Range<usize> {
    let (count, start, length) = (count as usize, start as usize, length as usize);
    let from = at * length / count;
    let to = ((at + 1) * length).div_ceil(count).clamp(from + 1, length);
    start + from.min(length - 1)..start + to
}
