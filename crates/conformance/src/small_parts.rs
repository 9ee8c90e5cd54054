//! The data for the checks: the small job as the built-ins read it, its frames, and pictures of odd sizes. In: nothing. Out:
//! plain data.

use velatura_document::SourceText;
use velatura_figure::{FigureFile, Plate, Subject, Underpainting, read_figure_file};
use velatura_optics::calibrate::{PaintBox, calibrate};
use velatura_optics::colour::{Encoded, luminance};
use velatura_optics::paints_file::read_paints_file;
use velatura_photo::{Orientation, Photo};
use velatura_scheme::{Scheme, read_schemes_file, resolve};
use velatura_shaders::apply::twin::apply;
use velatura_shaders::{Pixel, Planes};

use super::small::{small_file, small_job};
use velatura_pipeline::Job;
use velatura_pipeline::PlannedScheme;
use velatura_pipeline::planes;
use velatura_pipeline::{Cancel, Run, Session};

const OURS: &str = "the kit's own job is right";

/// Sides of odd pictures, width × height.
pub(super) const ODD_SIZES: [(usize, usize); 4] = [(1, 1), (1, 9), (9, 1), (3, 2)];

fn built_in_session() -> Session {
    Session::builder().built_in_stages().build().expect(OURS)
}

/// The job, read by the built-in stages.
pub(super) fn job() -> Job {
    small_job(&built_in_session()).expect(OURS)
}

/// The job with its tables, by the built-in coat model.
pub(super) fn planned(job: &Job) -> Vec<PlannedScheme> {
    Run::new(job, &Cancel::default())
        .plan(&job.schemes)
        .expect(OURS)
}

pub(super) fn text(path: &str) -> SourceText {
    SourceText::from_bytes(path, small_file(path).expect(OURS)).expect(OURS)
}

pub(super) fn figure() -> FigureFile {
    read_figure_file(&text("figure.toml")).expect(OURS).value
}

pub(super) fn paints() -> PaintBox {
    let file = read_paints_file(&text("paints.toml")).expect(OURS).value;
    calibrate(&file).value
}

pub(super) fn schemes(figure: &FigureFile, paints: &PaintBox) -> Vec<Scheme> {
    let file = read_schemes_file(&text("schemes.toml")).expect(OURS).value;
    resolve(
        &file,
        &figure.region_names(),
        "figure.toml",
        paints,
        "paints.toml",
    )
    .expect(OURS)
}

/// The frame of a scheme before any finish.
pub(super) fn frame(job: &Job, planned: &PlannedScheme) -> Vec<Pixel> {
    let planes = planes(&job.underpainting);
    let mut frame = vec![[0.0; 4]; planes.len()];
    apply(&planes, &planned.views(), &mut frame);
    frame
}

/// The planes and the frame of a picture, to be cut and passed to a finish.
#[derive(Debug, Clone)]
pub(super) struct Picture {
    pub(super) width: usize,
    pub(super) rows: usize,
    pub(super) px_per_mm: f64,
    pub(super) substrate: Vec<u16>,
    pub(super) relief: Vec<u16>,
    pub(super) light: Vec<u16>,
    pub(super) region: Vec<u8>,
    pub(super) light_unit: f32,
    pub(super) frame: Vec<Pixel>,
}

impl Picture {
    pub(super) fn of(underpainting: &Underpainting, frame: Vec<Pixel>) -> Self {
        Self {
            width: underpainting.subject.width as usize,
            rows: underpainting.subject.height as usize,
            px_per_mm: underpainting.px_per_mm,
            substrate: underpainting.substrate.clone(),
            relief: underpainting.relief.clone(),
            light: underpainting.light.clone(),
            region: underpainting.subject.region.clone(),
            light_unit: underpainting.light_unit,
            frame,
        }
    }

    pub(super) fn planes(&self) -> Planes<'_> {
        Planes {
            substrate: &self.substrate,
            relief: &self.relief,
            light: &self.light,
            region: &self.region,
            light_unit: self.light_unit,
        }
    }

    /// Another size, filled from the middle of this one, where coats are.
    pub(super) fn of_size(&self, (width, rows): (usize, usize)) -> Self {
        let from: Vec<usize> = (0..rows)
            .flat_map(|y| (0..width).map(move |x| (x, y)))
            .map(|(x, y)| (self.rows / 2 + y) * self.width + self.width / 2 - width / 2 + x)
            .collect();
        fn taken<T: Copy>(plane: &[T], from: &[usize]) -> Vec<T> {
            from.iter().map(|at| plane[*at]).collect()
        }
        Self {
            width,
            rows,
            substrate: taken(&self.substrate, &from),
            relief: taken(&self.relief, &from),
            light: taken(&self.light, &from),
            region: taken(&self.region, &from),
            frame: taken(&self.frame, &from),
            ..self.clone()
        }
    }

    /// The same with its planes at the ends of their ranges, in every combination, and colours from black to white.
    pub(super) fn extreme(&self) -> Self {
        let end = |at: usize, bit: usize| if at >> bit & 1 == 1 { u16::MAX } else { 0 };
        let all = 0..self.frame.len();
        Self {
            substrate: all.clone().map(|at| end(at, 0)).collect(),
            relief: all.clone().map(|at| end(at, 1)).collect(),
            light: all.clone().map(|at| end(at, 2)).collect(),
            frame: all
                .map(|at| {
                    let tone = if at >> 3 & 1 == 1 { 1.0 } else { 0.0 };
                    // Without light, the photo is black.
                    let seen = if end(at, 2) == 0 { 0.0 } else { tone };
                    [seen, seen, seen, self.frame[at][3]]
                })
                .collect(),
            ..self.clone()
        }
    }
}

/// A plate of any size, all of it figure, its tones rising from pixel to pixel.
pub(super) fn plate((width, height): (usize, usize)) -> Plate {
    let photo = odd_photo((width, height));
    Plate {
        subject: Subject {
            width: photo.width,
            height: photo.height,
            region: vec![1; photo.photo.len()],
            regions: figure().region_names(),
            lamp: [1.0; 3],
            photo: photo.photo,
        },
        luminance: photo.luminance,
    }
}

/// A photo of any size, its tones rising from pixel to pixel.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a handful of pixels, and luminance of 0…1"
)]
pub(super) fn odd_photo((width, height): (usize, usize)) -> Photo {
    let tones = (0..width * height).map(|at| 60 + (at * 17 % 150) as u8);
    let photo: Vec<[u8; 3]> = tones.map(|tone| [tone; 3]).collect();
    let y = |pixel: &[u8; 3]| (luminance(Encoded(*pixel).linear()) * 65535.0).round() as u16;
    Photo {
        width: width as u32,
        height: height as u32,
        luminance: photo.iter().map(y).collect(),
        photo,
        transparent: None,
        orientation: Orientation::from_exif(1),
    }
}
