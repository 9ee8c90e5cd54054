//! One team's figure under one scheme: its picture at the working scale, its regions there, and their mean colours.
//!
//! In: a job and one of its schemes. Out: views in linear light, and per region the mean of a view's light. The planes are
//! averaged to the working scale first, so no full photo is computed.

use image::RgbImage;
use velatura_pipeline::optics::colour::Linear;
use velatura_pipeline::optics::paint::Basis;
use velatura_pipeline::shaders::view::arc_minute_sigma_px;
use velatura_pipeline::{Error, Job, Run, SheetPicture, View};

use super::scale::Stance;

/// Pixels per standard deviation of the blur that means are taken from. Against every pixel of the frame, ΔE on the demo
/// moves by less than 0.03.
const PIXELS_PER_DEVIATION: f64 = 4.0;

/// A job and one of its schemes.
#[derive(Debug, Clone, Copy)]
pub struct Side<'a> {
    /// The figure, its paints and schemes.
    pub job: &'a Job,
    /// Index of the scheme.
    pub scheme: usize,
}

/// One team, rendered.
pub(crate) struct Team {
    pub(crate) stance: Stance,
    /// Pixels of `frame` per mm of the figure.
    pub(crate) px_per_mm: f64,
    /// The figure at the working scale.
    pub(crate) frame: View,
    /// 0 for no region, else the region's index + 1, as large as `frame`.
    region: Vec<u8>,
    /// The regions that have a pixel there.
    pub(crate) parts: Vec<Part>,
}

/// One region of a team.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Part {
    /// Its name.
    pub(crate) name: String,
    /// Its share of the figure's pixels, 0…1.
    pub(crate) share: f64,
    /// How far its colour is to be trusted.
    pub(crate) basis: Basis,
    /// Whether it has a coat of paint.
    pub(crate) painted: bool,
    code: u8,
}

/// What a view shows of the regions.
pub(crate) struct Seen {
    /// Mean light of each part, in the order of `parts`.
    pub(crate) means: Vec<Linear>,
    /// The colours of all regions' pixels with their numbers of pixels; near colours are one.
    pub(crate) colours: Vec<(Linear, f64)>,
}

/// Steps per channel in which the colours of a view are collected, even in the cube root of light, which is about even to the eye.
const STEPS: usize = 32;

impl Team {
    /// Renders a scheme of the run's figure at `px_per_mm`.
    ///
    /// # Errors
    /// As [`Run::plan`] and [`Run::render`].
    pub(crate) fn rendered(
        run: &Run<'_>,
        scheme: usize,
        stance: Stance,
        px_per_mm: f64,
    ) -> Result<Self, Error> {
        let scheme = run.job().schemes[scheme].clone();
        let planned = run.plan(std::slice::from_ref(&scheme))?;
        let (width, height) = stance.size_px(px_per_mm);
        let small = run.job().underpainting.reduced(stance.crop, width, height);
        let ([pixels], sums) = run.without_failing(|| {
            let mut codes = [Vec::new()];
            let sums = run.render_planes(&small, &planned, &mut codes)?;
            Ok((codes, sums))
        })?;
        let frame = View::of(&SheetPicture {
            width,
            height,
            pixels,
        });
        let figure = small
            .subject
            .region
            .iter()
            .filter(|code| **code != 0)
            .count();
        let parts = scheme
            .regions
            .iter()
            .enumerate()
            .filter(|(index, _)| sums[0].pixels(*index) > 0)
            .map(|(index, stack)| Part {
                name: stack.region.clone(),
                #[allow(clippy::cast_precision_loss, reason = "pixels of a small picture")]
                share: sums[0].pixels(index) as f64 / figure as f64,
                basis: stack.trust.basis,
                painted: !stack.coats.is_empty(),
                code: u8::try_from(index + 1).expect("a figure has at most 250 regions"),
            })
            .collect();
        Ok(Self {
            stance,
            px_per_mm,
            frame,
            region: small.subject.region,
            parts,
        })
    }

    /// The figure at another scale, no larger than the working scale.
    pub(crate) fn shrunk(&self, px_per_mm: f64) -> View {
        self.frame.shrunk(self.fitting(px_per_mm))
    }

    /// The figure from a distance, at another scale.
    pub(crate) fn seen_from(&self, distance_mm: f64, px_per_mm: f64) -> View {
        let size = self.fitting(px_per_mm);
        self.frame
            .seen_from(distance_mm, 1.0 / self.px_per_mm, size)
    }

    /// What is seen close up.
    pub(crate) fn seen(&self) -> Seen {
        self.seen_in(&self.frame)
    }

    /// What is seen from a distance.
    pub(crate) fn seen_blurred(&self, distance_mm: f64) -> Seen {
        let pixel_mm = 1.0 / self.px_per_mm;
        // A blurred view has no detail finer than its blur, so fewer pixels are enough.
        let step = arc_minute_sigma_px(distance_mm, pixel_mm) / PIXELS_PER_DEVIATION;
        let size = self.stance.size_px(self.px_per_mm / step.max(1.0));
        let size = (size.0.min(self.frame.width), size.1.min(self.frame.height));
        self.seen_in(&self.frame.seen_from(distance_mm, pixel_mm, size))
    }

    /// What a view of the whole frame shows, whatever its size: each pixel of the frame uses the view's pixel that contains it.
    fn seen_in(&self, view: &View) -> Seen {
        let colours: Vec<[f32; 3]> = view.colours().collect();
        let (wide, high) = (self.frame.width as usize, self.frame.height as usize);
        let (across, down) = (view.width as usize, view.height as usize);
        // Which pixels of the view show which regions, and how often: a view has fewer pixels than the frame.
        let mut sums = [Sum::default(); 256];
        let mut bins = vec![Sum::default(); STEPS * STEPS * STEPS];
        for (at, code) in self.region.iter().enumerate() {
            let lies_in = |at: usize, of: usize, seen: usize| (2 * at + 1) * seen / (2 * of);
            let (x, y) = (
                lies_in(at % wide, wide, across),
                lies_in(at / wide, high, down),
            );
            let colour = colours[y * across + x];
            sums[usize::from(*code)].add(colour);
            if *code != 0 {
                bins[bin(colour)].add(colour);
            }
        }
        Seen {
            means: self
                .parts
                .iter()
                .map(|part| sums[usize::from(part.code)].mean())
                .collect(),
            colours: bins
                .iter()
                .filter(|bin| bin.pixels > 0.0)
                .map(|bin| (bin.mean(), bin.pixels))
                .collect(),
        }
    }

    fn fitting(&self, px_per_mm: f64) -> (u32, u32) {
        let (width, height) = self.stance.size_px(px_per_mm);
        (width.min(self.frame.width), height.min(self.frame.height))
    }
}

/// The light of some pixels.
#[derive(Debug, Clone, Copy, Default)]
struct Sum {
    light: [f64; 3],
    pixels: f64,
}

impl Sum {
    fn add(&mut self, colour: [f32; 3]) {
        for (sum, channel) in self.light.iter_mut().zip(colour) {
            *sum += f64::from(channel);
        }
        self.pixels += 1.0;
    }

    fn mean(&self) -> Linear {
        Linear(self.light.map(|sum| sum / self.pixels))
    }
}

/// The place of a colour in [`Seen::colours`].
fn bin(colour: [f32; 3]) -> usize {
    colour.into_iter().fold(0, |before, channel| {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss,
            reason = "between 0 and the number of steps"
        )]
        let step = (libm::cbrtf(channel.clamp(0.0, 1.0)) * STEPS as f32) as usize;
        before * STEPS + step.min(STEPS - 1)
    })
}

/// A view as a picture for a page.
pub(crate) fn picture(view: &View) -> RgbImage {
    let picture = view.picture();
    RgbImage::from_raw(
        picture.width,
        picture.height,
        picture.pixels.into_flattened(),
    )
    .expect("a view has as many pixels as its sides say")
}
