//! A run over a job: every scheme over the planes, one row band after the other, straight into the sinks that encode it.
//!
//! All schemes of a band are computed while its planes are in cache. A band's height follows from the memory budget, the
//! picture and the device, never from the number of threads, so the bytes are the same on any backend. The processor does the
//! schemes that a device cannot do, and all row bands from the one at which a device failed.

use std::ops::Range;

use rayon::prelude::*;
use velatura_document::Error;
use velatura_figure::Underpainting;

use crate::backend::BackendUsed;
use crate::cancel::Cancel;
use crate::gpu::{DeviceScheme, Gpu, Stream, TABLE_BUDGET_BYTES};
use crate::job::Job;
use crate::means::RegionSums;
use crate::planned::{PlannedFinish, PlannedScheme};
use crate::run_log::{LeftOut, RunLog};
use crate::worker::Worker;

/// Tallest row band; taller ones gain nothing and leave the cache.
const TALLEST_BAND: usize = 128;

/// Accepts the finished rows of one scheme, top to bottom.
pub trait RowSink: Send {
    /// The next rows, whole, 8-bit sRGB.
    ///
    /// # Errors
    /// Why it cannot accept them (a full disk).
    fn rows(&mut self, rows: &[[u8; 3]]) -> Result<(), Error>;
}

/// Keeps the rows.
impl RowSink for Vec<[u8; 3]> {
    fn rows(&mut self, rows: &[[u8; 3]]) -> Result<(), Error> {
        self.extend_from_slice(rows);
        Ok(())
    }
}

/// One run over a job, with its own log: a stage that fails in it is left out of this run only.
#[derive(Debug)]
pub struct Run<'a> {
    job: &'a Job,
    log: RunLog,
    cancel: Cancel,
    device: Option<&'a Gpu>,
}

impl<'a> Run<'a> {
    /// Begins a run on the processor. `cancel` stops it between two row bands.
    #[must_use]
    pub fn new(job: &'a Job, cancel: &Cancel) -> Self {
        Self {
            job,
            log: job.log().clone(),
            cancel: cancel.clone(),
            device: None,
        }
    }

    /// Begins a run on the session's backend, for this many schemes at the photo's size.
    ///
    /// # Errors
    /// [`Error::Machine`] if a device is required and there is none.
    pub fn on_backend(job: &'a Job, cancel: &Cancel, schemes: usize) -> Result<Self, Error> {
        let mut run = Self::new(job, cancel);
        let planes = &job.underpainting;
        let work =
            u64::from(planes.subject.width) * u64::from(planes.subject.height) * schemes as u64;
        run.device = job.session().backend().device(work, &run.log)?;
        Ok(run)
    }

    /// The job.
    #[must_use]
    pub fn job(&self) -> &'a Job {
        self.job
    }

    /// What was left out of this run, in the order of failures.
    #[must_use]
    pub fn left_out(&self) -> Vec<LeftOut> {
        self.log.left_out()
    }

    /// The backend that did the work.
    #[must_use]
    pub fn backend_used(&self) -> BackendUsed {
        self.job.session().backend().used(&self.log)
    }

    /// Whether a stop was requested.
    #[must_use]
    pub fn is_cancelled(&self) -> bool {
        self.cancel.is_stopped()
    }

    /// Repeats `work` without each stage that fails in it.
    ///
    /// # Errors
    /// Whatever else stops the work.
    pub fn without_failing<T>(&self, work: impl FnMut() -> Result<T, Error>) -> Result<T, Error> {
        self.log.without_failing(work)
    }

    pub(crate) fn log(&self) -> &RunLog {
        &self.log
    }

    /// The finishes of a planned scheme that have not failed.
    pub(crate) fn finishes<'p>(
        &'p self,
        planned: &'p PlannedScheme,
    ) -> impl Iterator<Item = &'p PlannedFinish> {
        planned
            .finishes
            .iter()
            .filter(|finish| !self.log.has_left_out(&finish.entry.info.name))
    }

    /// Renders every scheme over the whole picture.
    ///
    /// `sinks` has one entry per scheme. `progress` gets the share done, 0…1, after every band. Returns the sums of every
    /// region, per scheme.
    ///
    /// # Errors
    /// The first error of a sink, [`Error::Cancelled`], or [`Error::Stage`] if a finish failed: the rows in the sinks are then
    /// useless, and [`Run::without_failing`] starts again.
    ///
    /// # Panics
    /// If the numbers of sinks and schemes differ.
    pub fn render<S: RowSink>(
        &self,
        schemes: &[PlannedScheme],
        sinks: &mut [S],
        progress: &(dyn Fn(f64) + Sync),
    ) -> Result<Vec<RegionSums>, Error> {
        self.rows(
            &self.job.underpainting,
            schemes,
            sinks,
            self.device,
            progress,
        )
    }

    /// As [`Run::render`], over other planes of the same figure and on the processor.
    ///
    /// # Errors
    /// As [`Run::render`].
    ///
    /// # Panics
    /// As [`Run::render`].
    pub fn render_planes<S: RowSink>(
        &self,
        planes: &Underpainting,
        schemes: &[PlannedScheme],
        sinks: &mut [S],
    ) -> Result<Vec<RegionSums>, Error> {
        self.rows(planes, schemes, sinks, None, &|_| ())
    }

    fn rows<S: RowSink>(
        &self,
        underpainting: &Underpainting,
        schemes: &[PlannedScheme],
        sinks: &mut [S],
        device: Option<&Gpu>,
        progress: &(dyn Fn(f64) + Sync),
    ) -> Result<Vec<RegionSums>, Error> {
        assert_eq!(schemes.len(), sinks.len(), "one sink per scheme");
        let (width, height) = (
            underpainting.subject.width as usize,
            underpainting.subject.height as usize,
        );
        let workers: Vec<Worker<'_>> = schemes
            .iter()
            .map(|scheme| Worker::new(self.finishes(scheme).collect(), underpainting, scheme))
            .collect();
        let mut sums = vec![RegionSums::new(underpainting.subject.regions.len()); schemes.len()];
        let mut row_band = row_band(width, schemes.len(), self.job.session().budget_bytes());
        let on_device = device.and_then(|gpu| DeviceShare::new(&workers, width, gpu, &self.log));
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
            if self.cancel.is_stopped() {
                return Err(Error::Cancelled);
            }
            let from_device = stream
                .as_mut()
                .and_then(|stream| stream.row_band(index, &row_bands));
            if from_device.is_some() {
                self.log.device_worked();
            } else if stream.take().is_some() {
                self.note_failure(device, rows.start);
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

    /// Keeps a line about the device's failure.
    fn note_failure(&self, device: Option<&Gpu>, row: usize) {
        if let Some((name, why)) = device.and_then(|gpu| Some((gpu.name(), gpu.fault()?))) {
            self.log.note_backend(format!(
                "{name}: {why}; the processor took over at row {row}"
            ));
        }
    }
}

/// The part of a run that a device does.
struct DeviceShare<'a> {
    gpu: &'a Gpu,
    schemes: Vec<DeviceScheme<'a>>,
    /// The index of each scheme of the run on the device; `None` on the processor.
    places: Vec<Option<usize>>,
    tallest_row_band: usize,
}

impl<'a> DeviceShare<'a> {
    /// `None` if the device has failed or can do nothing.
    fn new(workers: &[Worker<'a>], width: usize, gpu: &'a Gpu, log: &RunLog) -> Option<Self> {
        if gpu.fault().is_some() {
            return None;
        }
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
                    log.note_backend(format!(
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
            log.note_backend(format!("{}: not even one row fits into memory", gpu.name()));
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

/// Rows of a band, so that the codes of all schemes, and the same amount for their encoders, stay within the budget.
fn row_band(width: usize, schemes: usize, budget_bytes: usize) -> usize {
    let row_bytes = width * schemes.max(1) * 3 * 2;
    (budget_bytes / row_bytes.max(1)).clamp(1, TALLEST_BAND)
}
