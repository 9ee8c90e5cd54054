//! The same schemes on several figures, on one sheet: a row for each scheme, a column for each figure.
//!
//! In: jobs, one after the other. Out: `together.png`. Only small pictures are kept, so a job can go as soon as it was added.

use image::imageops::{FilterType, replace, resize};
use image::{Rgb, RgbImage};
use velatura_pipeline::{Error, Job, Parameters, Run, SheetPicture, SheetRequest, SheetScheme};
use velatura_sheet::drawing::GROUND;
use velatura_sheet::{SheetOptions, contact_sheet, layout, write_picture};

use crate::options::RenderOptions;

/// The sheet's name in the output folder.
pub const TOGETHER_FILE: &str = "together.png";

/// Height of the first figure's pictures, in pixels: all columns together are about as wide as the largest sheet, and a few
/// figures keep enough for a sheet of the usual size.
const ALL_HEIGHTS_PX: f64 = 8000.0;
const KEPT_HEIGHT_PX: (f64, f64) = (120.0, 1000.0);

/// Pictures of several figures in the same schemes, all at one scale.
#[derive(Debug)]
pub struct Together {
    first_height_px: f64,
    px_per_mm: Option<f64>,
    figures: Vec<String>,
    /// Names of schemes, in the order in which they were first seen.
    schemes: Vec<String>,
    /// Each with the index of its figure and of its scheme.
    pictures: Vec<(usize, usize, RgbImage)>,
}

impl Together {
    /// A sheet for this many figures.
    #[must_use]
    pub fn of(figures: usize) -> Self {
        #[allow(clippy::cast_precision_loss, reason = "nobody has 2^53 figures")]
        let each = ALL_HEIGHTS_PX / figures.max(1) as f64;
        Self {
            first_height_px: each.clamp(KEPT_HEIGHT_PX.0, KEPT_HEIGHT_PX.1),
            px_per_mm: None,
            figures: Vec::new(),
            schemes: Vec::new(),
            pictures: Vec::new(),
        }
    }

    /// Adds a figure in the schemes that `options` select.
    ///
    /// # Errors
    /// As [`render`](crate::render).
    ///
    /// # Panics
    /// Never: a picture has as many pixels as its sides say.
    pub fn add(&mut self, job: &Job, options: &RenderOptions) -> Result<(), Error> {
        let schemes: Vec<_> = options
            .schemes(job)?
            .into_iter()
            .map(|index| job.schemes[index].clone())
            .collect();
        let size = self.size_px(job);
        let run = Run::new(job, &options.cancel);
        let planned = run.plan(&schemes)?;
        let (pictures, _) = run.without_failing(|| run.sheet_pictures(&planned, size))?;
        let figure = self.figures.len();
        self.figures.push(job.figure.name.clone());
        for (scheme, picture) in schemes.iter().zip(pictures) {
            let known = self.schemes.iter().position(|name| *name == scheme.name);
            let at = known.unwrap_or_else(|| {
                self.schemes.push(scheme.name.clone());
                self.schemes.len() - 1
            });
            let samples = picture.pixels.as_flattened().to_vec();
            let picture = RgbImage::from_raw(picture.width, picture.height, samples)
                .expect("a picture has as many pixels as its sides say");
            self.pictures.push((figure, at, picture));
        }
        Ok(())
    }

    /// The size of a figure's pictures: as large in mm as the first one's.
    fn size_px(&mut self, job: &Job) -> (u32, u32) {
        let planes = &job.underpainting;
        let crop = planes.crop_box();
        let mm = |px: u32| f64::from(px) / planes.px_per_mm;
        let first = self.first_height_px / mm(crop.height);
        let px_per_mm = *self.px_per_mm.get_or_insert(first);
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "bounded on both sides"
        )]
        let px = |side: u32| {
            (mm(side) * px_per_mm)
                .round()
                .clamp(1.0, 4.0 * KEPT_HEIGHT_PX.1) as u32
        };
        (px(crop.width), px(crop.height))
    }

    /// The sheet as PNG; `None` if no figure was added. A scheme that a figure does not have leaves its cell empty.
    ///
    /// # Errors
    /// As [`write_picture`].
    pub fn sheet(&self, options: &RenderOptions) -> Result<Option<Vec<u8>>, Error> {
        if self.pictures.is_empty() {
            return Ok(None);
        }
        let sides = |side: fn(&RgbImage) -> u32| {
            let all = self.pictures.iter().map(|(_, _, picture)| side(picture));
            all.max().unwrap_or(1)
        };
        let crop = (sides(RgbImage::width), sides(RgbImage::height));
        let columns = u32::try_from(self.figures.len()).ok();
        let sheet_options = SheetOptions {
            columns,
            long_edge: options.long_edge,
        };
        let count = self.schemes.len() * self.figures.len();
        let layout = layout(count, crop, &sheet_options, 0);
        let (mut schemes, mut pictures) = (Vec::new(), Vec::new());
        for (scheme, name) in self.schemes.iter().enumerate() {
            for (figure, of) in self.figures.iter().enumerate() {
                let found = self
                    .pictures
                    .iter()
                    .find(|(one, other, _)| (*one, *other) == (figure, scheme));
                pictures.push(cell(
                    found.map(|(_, _, picture)| picture),
                    crop,
                    layout.picture_size,
                ));
                schemes.push(SheetScheme {
                    name: name.clone(),
                    team: of.clone(),
                    undercoat: String::new(),
                    finish: match found {
                        Some(_) => String::new(),
                        None => "not in its schemes file".to_owned(),
                    },
                    chips: Vec::new(),
                });
            }
        }
        let request = SheetRequest {
            heading: self.figures.join(", "),
            sub_heading: "The same schemes on every figure, colours as the paint dries".to_owned(),
            crop,
            columns,
            long_edge: options.long_edge,
            parameters: Parameters::default(),
            schemes,
        };
        let sheet = contact_sheet(&request, &pictures, &layout);
        let png = write_picture(Vec::new(), &sheet).map_err(|error| error.at(TOGETHER_FILE))?;
        Ok(Some(png))
    }
}

/// A picture within a cell of `size` pixels, at the scale at which one of `largest` pixels fills it, feet on the lower edge.
fn cell(picture: Option<&RgbImage>, largest: (u32, u32), size: (u32, u32)) -> SheetPicture {
    let mut cell = RgbImage::from_pixel(size.0, size.1, Rgb(GROUND));
    if let Some(picture) = picture {
        let scaled = |side: u32, all: u32, of: u32| {
            let scaled = u64::from(side) * u64::from(of) / u64::from(all.max(1));
            u32::try_from(scaled).unwrap_or(of).clamp(1, of)
        };
        let width = scaled(picture.width(), largest.0, size.0);
        let height = scaled(picture.height(), largest.1, size.1);
        let small = resize(picture, width, height, FilterType::CatmullRom);
        let left = i64::from(size.0 - width) / 2;
        replace(&mut cell, &small, left, i64::from(size.1 - height));
    }
    let (pixels, _) = cell.as_raw().as_chunks::<3>();
    SheetPicture {
        width: size.0,
        height: size.1,
        pixels: pixels.to_vec(),
    }
}
