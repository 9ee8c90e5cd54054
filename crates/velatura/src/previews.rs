//! Previews: every scheme at the photo's size, one file each.
//!
//! PNG is written row by row, so that no whole picture has to be in memory. The other formats need whole pictures: a few schemes
//! are rendered at a time, as many as the memory budget holds.

use rayon::prelude::*;
use velatura_document::reserved;
use velatura_output::{FileSet, NewFile};
use velatura_pipeline::{Error, Job, PlannedScheme, RegionSums, RowSink, Run};
use velatura_sheet::{PreviewFormat, PreviewWriter, preview_names};

use crate::options::RenderOptions;

/// The previews' paths in the output folder, relative and with "/".
pub(crate) fn preview_paths(job: &Job, selected: &[usize], format: PreviewFormat) -> Vec<String> {
    // Named among all schemes of the file, so that a preview keeps its name when only some are rendered.
    let names: Vec<&str> = job
        .schemes
        .iter()
        .map(|scheme| scheme.name.as_str())
        .collect();
    let files = preview_names(&names, format);
    selected
        .iter()
        .map(|index| format!("previews/{}", files[*index]))
        .collect()
}

/// Renders the schemes into their files and returns the sums of every region, per scheme.
pub(crate) fn write_previews(
    run: &Run<'_>,
    planned: &[PlannedScheme],
    paths: &[String],
    format: PreviewFormat,
    files: &dyn FileSet,
    options: &RenderOptions,
) -> Result<Vec<RegionSums>, Error> {
    match format {
        PreviewFormat::Png => row_by_row(run, planned, paths, files, options),
        PreviewFormat::Webp | PreviewFormat::Jpeg => {
            whole_pictures(run, planned, paths, format, files, options)
        }
    }
}

/// A preview and its path, for messages.
struct PreviewSink {
    writer: PreviewWriter<Box<dyn NewFile>>,
    shown: String,
}

impl RowSink for PreviewSink {
    fn rows(&mut self, rows: &[[u8; 3]]) -> Result<(), Error> {
        let written = self.writer.write_rows(rows);
        written.map_err(|error| error.at(&self.shown))
    }
}

fn row_by_row(
    run: &Run<'_>,
    planned: &[PlannedScheme],
    paths: &[String],
    files: &dyn FileSet,
    options: &RenderOptions,
) -> Result<Vec<RegionSums>, Error> {
    let subject = &run.job().underpainting.subject;
    let mut sinks = paths
        .iter()
        .map(|path| {
            let file = files.begin(path)?;
            let shown = file.shown().to_owned();
            let writer = PreviewWriter::new(file, subject.width, subject.height);
            let writer = writer.map_err(|error| error.at(&shown))?;
            Ok(PreviewSink { writer, shown })
        })
        .collect::<Result<Vec<_>, Error>>()?;
    let progress = |done| options.report_progress(done);
    let sums = run.render(planned, &mut sinks, &progress)?;
    for PreviewSink { writer, shown } in sinks {
        writer
            .finish()
            .map_err(|error| error.at(&shown))?
            .finish()?;
    }
    Ok(sums)
}

fn whole_pictures(
    run: &Run<'_>,
    planned: &[PlannedScheme],
    paths: &[String],
    format: PreviewFormat,
    files: &dyn FileSet,
    options: &RenderOptions,
) -> Result<Vec<RegionSums>, Error> {
    let subject = &run.job().underpainting.subject;
    let (width, height) = (subject.width, subject.height);
    let pixels = width as usize * height as usize;
    let budget = run.job().session().budget_bytes();
    let at_once = (budget / (3 * pixels).max(1)).clamp(1, rayon::current_num_threads());
    #[allow(clippy::cast_precision_loss, reason = "a file has few schemes")]
    let share = |done: f64, schemes: usize| done * schemes as f64 / planned.len().max(1) as f64;
    let mut all_sums = Vec::new();
    for (planned, paths) in planned.chunks(at_once).zip(paths.chunks(at_once)) {
        let mut pictures = paths
            .iter()
            .map(|path| Ok(reserved::<[u8; 3]>(pixels, path)?))
            .collect::<Result<Vec<_>, Error>>()?;
        let before = share(1.0, all_sums.len());
        let progress = |done| options.report_progress(before + share(done, planned.len()));
        let sums = run.render(planned, &mut pictures, &progress)?;
        all_sums.extend(sums);
        pictures
            .par_iter()
            .zip(paths)
            .try_for_each(|(pixels, path)| {
                if run.is_cancelled() {
                    return Err(Error::Cancelled);
                }
                let file = format.encoded(pixels, width, height);
                files.write(path, &file.map_err(|error| error.at(path))?)
            })?;
    }
    Ok(all_sums)
}
