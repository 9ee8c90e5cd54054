//! The run: every scheme over the planes, one row band after the other, straight into the sinks that encode it.
//!
//! All schemes of a band are computed while its planes are in cache. A band's height follows from the memory budget, the
//! picture and the device, never from the number of threads, so the bytes are the same whatever runs it. Schemes that a
//! device cannot take, and every row band from the one that a device failed at, are the processor's.

use std::ops::Range;

use rayon::prelude::*;
use velatura_figure::Underpainting;
use velatura_shaders::apply::{TableView, twin::apply};
use velatura_shaders::pack::twin::pack;
use velatura_shaders::{Pixel, Planes, finish};

use crate::backend::Backend;
use crate::cancel::Cancel;
use crate::gpu::{DeviceScheme, Gpu, Stream, TABLE_BUDGET_BYTES};
use crate::means::{RegionSums, code_units};
use crate::parameters::Parameters;
use crate::plan::PlannedScheme;
use crate::registry::{Entry, Registry, failure};
use crate::stage::{Finish, FrameBand};
use velatura_document::Error;

/// Memory that a run may take beside the planes: 512 MiB.
pub const DEFAULT_BUDGET_BYTES: usize = 512 << 20;

/// Tallest row band; taller ones gain nothing and leave the cache.
const TALLEST_BAND: usize = 128;
/// Rows worked at once within a band: their frame (16 bytes a pixel) stays in the second-level cache.
const ROWS_AT_ONCE: usize = 8;

/// Takes the finished rows of one scheme, top to bottom.
pub trait RowSink: Send {
    /// The next rows, whole, 8-bit sRGB.
    ///
    /// # Errors
    /// What keeps it from taking them (a full disk).
    fn rows(&mut self, rows: &[[u8; 3]]) -> Result<(), Error>;
}

/// Keeps the rows.
impl RowSink for Vec<[u8; 3]> {
    fn rows(&mut self, rows: &[[u8; 3]]) -> Result<(), Error> {
        self.extend_from_slice(rows);
        Ok(())
    }
}

/// How a run is to go.
#[derive(Debug, Clone)]
pub struct RunOptions {
    /// Memory beside the planes, in bytes.
    pub budget_bytes: usize,
    /// Stops it between two bands.
    pub cancel: Cancel,
    /// What does the work.
    pub backend: Backend,
}

impl Default for RunOptions {
    fn default() -> Self {
        Self {
            budget_bytes: DEFAULT_BUDGET_BYTES,
            cancel: Cancel::default(),
            backend: Backend::cpu(),
        }
    }
}

/// Renders every scheme over the whole picture.
///
/// `sinks` has one entry per scheme. `progress` is told the share done, 0…1, after every band. Gives the sums of every
/// region, per scheme.
///
/// # Errors
/// The first error of a sink, [`Error::Cancelled`], or [`Error::Stage`] where a finish failed: what the sinks took is then of no use, and
/// [`without_failing`](crate::without_failing) starts again.
///
/// # Panics
/// If there are not as many sinks as schemes.
pub fn run<S: RowSink>(
    registry: &Registry,
    underpainting: &Underpainting,
    schemes: &[PlannedScheme],
    sinks: &mut [S],
    options: &RunOptions,
    progress: &(dyn Fn(f64) + Sync),
) -> Result<Vec<RegionSums>, Error> {
    assert_eq!(schemes.len(), sinks.len(), "one sink per scheme");
    let (width, height) = (underpainting.width as usize, underpainting.height as usize);
    let workers: Vec<Worker<'_>> = schemes
        .iter()
        .map(|scheme| Worker::new(registry, underpainting, scheme))
        .collect();
    let mut sums = vec![RegionSums::new(underpainting.regions.len()); schemes.len()];
    let mut row_band = row_band(width, schemes.len(), options.budget_bytes);
    let on_device = DeviceShare::new(&workers, width, &options.backend);
    if let Some(share) = &on_device {
        row_band = row_band.min(share.tallest_row_band);
    }
    let mut stream = on_device
        .as_ref()
        .map(|share| Stream::new(share.gpu, underpainting, &share.schemes, row_band));

    let row_bands: Vec<Range<usize>> = (0..height)
        .step_by(row_band)
        .map(|top| top..(top + row_band).min(height))
        .collect();
    for (index, rows) in row_bands.iter().enumerate() {
        if options.cancel.is_stopped() {
            return Err(Error::Cancelled);
        }
        let from_device = stream
            .as_mut()
            .and_then(|stream| stream.row_band(index, &row_bands));
        if from_device.is_some() {
            options.backend.device_worked();
        } else if stream.take().is_some() {
            options.backend.note_failure(rows.start);
        }
        let place = |scheme: usize| on_device.as_ref()?.places[scheme];
        workers
            .par_iter()
            .zip(sinks.par_iter_mut())
            .zip(sums.par_iter_mut())
            .enumerate()
            .try_for_each(|(scheme, ((worker, sink), sums))| {
                match from_device.as_ref().zip(place(scheme)) {
                    Some((device, place)) => {
                        let codes = device.rows(place);
                        sums.merge(&worker.sums(rows.start, codes));
                        sink.rows(codes)
                    }
                    None => {
                        let (codes, band_sums) = worker.band(rows.start, rows.end)?;
                        sums.merge(&band_sums);
                        sink.rows(&codes)
                    }
                }
            })?;
        #[allow(clippy::cast_precision_loss, reason = "picture heights are small")]
        progress(rows.end as f64 / height as f64);
    }
    Ok(sums)
}

/// What a device takes of a run.
struct DeviceShare<'a> {
    gpu: &'a Gpu,
    schemes: Vec<DeviceScheme<'a>>,
    /// Where each scheme of the run stands among those; `None` for the processor's.
    places: Vec<Option<usize>>,
    tallest_row_band: usize,
}

impl<'a> DeviceShare<'a> {
    /// `None` without a device, or where it can take nothing.
    fn new(workers: &[Worker<'a>], width: usize, backend: &'a Backend) -> Option<Self> {
        let gpu = backend.device()?;
        let mut left_bytes = TABLE_BUDGET_BYTES.min(gpu.binding_bytes());
        let mut schemes: Vec<DeviceScheme<'_>> = Vec::new();
        let mut places = Vec::new();
        for worker in workers {
            let taken = worker.for_device().and_then(|scheme| {
                let bytes = scheme.table_bytes();
                let left = left_bytes.checked_sub(bytes);
                left.map(|left| (scheme, left))
                    .ok_or_else(|| format!("its tables need {} MiB", bytes >> 20))
            });
            match taken {
                Ok((scheme, left)) => {
                    left_bytes = left;
                    places.push(Some(schemes.len()));
                    schemes.push(scheme);
                }
                Err(why) => {
                    backend.note(format!(
                        "scheme \"{}\": ran on the processor: {why}",
                        worker.scheme.scheme.name
                    ));
                    places.push(None);
                }
            }
        }
        if schemes.is_empty() {
            return None;
        }
        let tallest_row_band = Stream::tallest_row_band(gpu, width, schemes.len());
        if tallest_row_band == 0 {
            backend.note(format!("{}: not even one row fits into memory", gpu.name()));
            return None;
        }
        Some(Self {
            gpu,
            schemes,
            places,
            tallest_row_band,
        })
    }
}

/// Rows of a band such that the codes of all schemes, and as much again for their encoders, stay within the budget.
fn row_band(width: usize, schemes: usize, budget_bytes: usize) -> usize {
    let row_bytes = width * schemes.max(1) * 3 * 2;
    (budget_bytes / row_bytes.max(1)).clamp(1, TALLEST_BAND)
}

/// A finish with what it needs for one scheme.
struct FinishInUse<'a> {
    entry: &'a Entry,
    stage: &'a dyn Finish,
    parameters: &'a Parameters,
}

/// One scheme, ready to be applied to any rows.
struct Worker<'a> {
    underpainting: &'a Underpainting,
    scheme: &'a PlannedScheme,
    views: Vec<Option<TableView<'a>>>,
    finishes: Vec<FinishInUse<'a>>,
    /// Rows needed above and below for finishes that look around.
    reach: usize,
    units: [u32; 256],
}

impl<'a> Worker<'a> {
    fn new(
        registry: &'a Registry,
        underpainting: &'a Underpainting,
        scheme: &'a PlannedScheme,
    ) -> Self {
        let whole = underpainting.height.max(underpainting.width);
        let mut reach = 0;
        let mut finishes = Vec::new();
        for (entry, stage) in registry.finishes() {
            let Some(parameters) = scheme.stages.get(&entry.info.name) else {
                continue;
            };
            if stage.applies(&scheme.scheme) {
                reach += entry.info.reach_px.unwrap_or(whole) as usize;
                finishes.push(FinishInUse {
                    entry,
                    stage,
                    parameters,
                });
            }
        }
        Self {
            underpainting,
            scheme,
            views: scheme.views(),
            finishes,
            reach,
            units: code_units(),
        }
    }

    /// This scheme as a device takes it.
    ///
    /// # Errors
    /// Why it cannot, in a few words.
    fn for_device(&self) -> Result<DeviceScheme<'a>, String> {
        let finish = match self.finishes.as_slice() {
            [] => finish::Params::MATTE,
            [one] => one
                .stage
                .kernel(&self.scheme.scheme, one.parameters)
                .ok_or_else(|| format!("the finish \"{}\" runs only there", one.entry.info.name))?,
            _ => return Err("it has more than one finish".to_owned()),
        };
        Ok(DeviceScheme {
            tables: self.views.clone(),
            finish,
        })
    }

    /// The sums by region of whole rows from `top` on.
    fn sums(&self, top: usize, codes: &[[u8; 3]]) -> RegionSums {
        let width = self.underpainting.width as usize;
        let regions = self.underpainting.regions.len();
        let region = &self.underpainting.region[top * width..][..codes.len()];
        let piece = ROWS_AT_ONCE * width;
        codes
            .par_chunks(piece)
            .zip(region.par_chunks(piece))
            .map(|(codes, region)| {
                let mut sums = RegionSums::new(regions);
                sums.add(codes, region, &self.units);
                sums
            })
            .reduce(|| RegionSums::new(regions), RegionSums::merged)
    }

    /// The codes of rows `top..bottom` and their sums by region.
    ///
    /// # Errors
    /// A finish that failed.
    fn band(&self, top: usize, bottom: usize) -> Result<(Vec<[u8; 3]>, RegionSums), Error> {
        let width = self.underpainting.width as usize;
        let regions = self.underpainting.regions.len();
        let mut codes = vec![[0; 3]; (bottom - top) * width];
        // Finishes that look around cost their reach twice per piece: larger pieces then.
        let rows_at_once = ROWS_AT_ONCE.max(4 * self.reach);
        let sums = codes
            .par_chunks_mut(rows_at_once * width)
            .enumerate()
            .map(|(piece, codes)| {
                let first = top + piece * rows_at_once;
                self.rows(first, first + codes.len() / width, codes)?;
                let mut sums = RegionSums::new(regions);
                let at = first * width;
                sums.add(
                    codes,
                    &self.underpainting.region[at..at + codes.len()],
                    &self.units,
                );
                Ok::<_, Error>(sums)
            })
            .try_reduce(
                || RegionSums::new(regions),
                |one, other| Ok(one.merged(other)),
            )?;
        Ok((codes, sums))
    }

    fn rows(&self, first: usize, end: usize, codes: &mut [[u8; 3]]) -> Result<(), Error> {
        let width = self.underpainting.width as usize;
        let above = first.min(self.reach);
        let upto = (end + self.reach).min(self.underpainting.height as usize);
        let wide = (first - above) * width..upto * width;
        let whole = planes(self.underpainting);
        let planes = whole.slice(wide);
        let mut frame: Vec<Pixel> = vec![[0.0; 4]; planes.len()];
        apply(&planes, &self.views, &mut frame);
        for finish in &self.finishes {
            let mut band = FrameBand {
                width,
                first_row: first - above,
                picture_rows: self.underpainting.height as usize,
                px_per_mm: self.underpainting.px_per_mm,
                planes,
                pixels: &mut frame,
            };
            finish
                .stage
                .finish(&self.scheme.scheme, &mut band, finish.parameters)
                .map_err(|problem| failure(finish.entry, problem))?;
        }
        let photo = &self.underpainting.photo[first * width..end * width];
        pack(
            &frame[above * width..above * width + codes.len()],
            photo,
            codes,
        );
        Ok(())
    }
}

/// The planes of a whole underpainting as the kernels read them.
#[must_use]
pub fn planes(underpainting: &Underpainting) -> Planes<'_> {
    Planes {
        substrate: &underpainting.substrate,
        relief: &underpainting.relief,
        light: &underpainting.light,
        region: &underpainting.region,
        light_unit: underpainting.light_unit,
    }
}
