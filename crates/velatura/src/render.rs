//! Renders a whole job: previews, contact sheet, report and page.

use rayon::prelude::*;
use velatura_output::{FileSet, NewFile, Outputs};
use velatura_pipeline::optics::colour::Linear;
use velatura_pipeline::scheme::{Scheme, VARNISHES, word_for};
use velatura_pipeline::{
    Error, Job, Parameters, PlannedScheme, RegionSums, RowSink, Run, SHEET_FILE, SheetChip,
    SheetRequest, SheetScheme, Timings,
};
use velatura_report::words::undercoat_phrase;
use velatura_report::{PAGE_FILE, REPORT_FILE, Report, SchemeReport, index_page, to_json};
use velatura_sheet::{PreviewWriter, preview_names};

use crate::options::{Extent, RenderOptions};
use crate::scheme_report::{scheme_report, undercoat_report};

/// The files that [`render`] will write, relative and with "/".
///
/// # Errors
/// [`Error::Call`] for a scheme that the job does not have; parameters that a sheet text does not allow.
pub fn planned_files(job: &Job, options: &RenderOptions) -> Result<Vec<String>, Error> {
    let mut files = match options.extent {
        Extent::Everything => {
            let mut files = preview_paths(job, &options.schemes(job)?);
            files.push(PAGE_FILE.to_owned());
            files
        }
        Extent::SheetOnly => Vec::new(),
    };
    files.extend(job.planned_sheet_texts()?);
    files.extend([SHEET_FILE.to_owned(), REPORT_FILE.to_owned()]);
    Ok(files)
}

/// Renders a job into `outputs`: all files appear, or none. A stage that fails is left out, as [`Report::left_out`] says, and the
/// pictures are made again without it.
///
/// # Errors
/// [`Error::Call`] for a scheme that the job does not have or an output that is also an input, [`Error::Machine`] for a failing
/// disk or device, [`Error::Cancelled`].
pub fn render(job: &Job, options: &RenderOptions, outputs: &dyn Outputs) -> Result<Report, Error> {
    let selected = options.schemes(job)?;
    let schemes: Vec<Scheme> = selected
        .iter()
        .map(|index| job.schemes[*index].clone())
        .collect();
    let at_full_size = match options.extent {
        Extent::Everything => schemes.len(),
        // The sheet alone is far smaller than the photo, and never worth a device.
        Extent::SheetOnly => 0,
    };
    let run = Run::on_backend(job, &options.cancel, at_full_size)?;
    let files = outputs.open(&planned_files(job, options)?, &job.inputs())?;
    let mut timings = Timings::start(job.session().clock());
    let planned = run.plan(&schemes)?;
    timings.lap("tables");

    let (sheet, parameters) = job.sheet()?;
    let mut request = sheet_request(job, &schemes, options, parameters);
    let size = sheet.picture_size(&request);
    // Previews and sheet must agree: a stage that fails in one of them is left out of both.
    let (previews, (pictures, small_sums)) = run.without_failing(|| {
        files.start_over();
        let previews = match options.extent {
            Extent::Everything => {
                let paths = preview_paths(job, &selected);
                let sums = write_previews(&run, &planned, &paths, &*files, options)?;
                timings.lap("previews");
                Some((paths, sums))
            }
            Extent::SheetOnly => None,
        };
        Ok((previews, run.sheet_pictures(&planned, size)?))
    })?;
    // Known only now: a finish that failed is not in the picture.
    for ((cell, planned), sums) in request.schemes.iter_mut().zip(&planned).zip(&small_sums) {
        for name in run.added_finishes(planned) {
            cell.finish += &format!(", {name}");
        }
        show_as_seen(&mut cell.chips, &planned.scheme, sums);
    }
    for file in sheet.files(&request, &pictures)? {
        files.write(&file.path, &file.bytes)?;
    }
    timings.lap("sheet");

    let ground = job.ground();
    let (paths, sums) = previews.map_or((None, small_sums), |(paths, sums)| (Some(paths), sums));
    let scheme_reports: Vec<SchemeReport> = planned
        .par_iter()
        .zip(&sums)
        .enumerate()
        .map(|(index, (planned, sums))| {
            scheme_report(
                &planned.scheme,
                run.added_finishes(planned),
                &ground,
                sums,
                &chips(&planned.scheme, job),
                paths.as_ref().map(|paths| paths[index].clone()),
            )
        })
        .collect();
    let mut report = Report {
        figure: job.figure.name.clone(),
        backend: run.backend_used(),
        undercoat: undercoat_report(&job.underpainting.points),
        schemes: scheme_reports,
        warnings: job.warnings.clone(),
        left_out: run.left_out(),
        texts: Vec::new(),
        timings_ms: job
            .timings
            .iter()
            .chain(timings.steps())
            .map(|(step, time)| ((*step).to_owned(), time.as_secs_f64() * 1e3))
            .collect(),
    };
    for file in run.sheet_texts(&to_json(&report)?)? {
        files.write(&file.path, &file.bytes)?;
        report.texts.push(file.path);
    }
    report.left_out = run.left_out();
    if options.extent == Extent::Everything {
        let schemes: Vec<&Scheme> = planned.iter().map(|planned| &planned.scheme).collect();
        let page = index_page(job, &schemes, &pictures, &report);
        files.write(PAGE_FILE, page.as_bytes())?;
    }
    files.write(REPORT_FILE, to_json(&report)?.as_bytes())?;
    if run.is_cancelled() {
        return Err(Error::Cancelled);
    }
    files.commit()?;
    options.report_progress(1.0);
    Ok(report)
}

/// Each region's paint alone.
fn chips(scheme: &Scheme, job: &Job) -> Vec<Option<Linear>> {
    let regions = scheme.regions.iter();
    regions.map(|stack| stack.chip(&job.paints)).collect()
}

/// Gives chips the colours of the picture, which are known only after it is made.
fn show_as_seen(chips: &mut [SheetChip], scheme: &Scheme, sums: &RegionSums) {
    for (index, stack) in scheme.regions.iter().enumerate() {
        let chip = chips.iter_mut().find(|chip| chip.region == stack.region);
        if let (Some(chip), Some(mean)) = (chip, sums.mean(index)) {
            chip.seen = mean.encoded();
        }
    }
}

fn preview_paths(job: &Job, selected: &[usize]) -> Vec<String> {
    // Named among all schemes of the file, so that a preview keeps its name when only some are rendered.
    let names: Vec<&str> = job
        .schemes
        .iter()
        .map(|scheme| scheme.name.as_str())
        .collect();
    let files = preview_names(&names);
    selected
        .iter()
        .map(|index| format!("previews/{}", files[*index]))
        .collect()
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

fn write_previews(
    run: &Run<'_>,
    planned: &[PlannedScheme],
    paths: &[String],
    files: &dyn FileSet,
    options: &RenderOptions,
) -> Result<Vec<RegionSums>, Error> {
    let planes = &run.job().underpainting;
    let mut sinks = paths
        .iter()
        .map(|path| {
            let file = files.begin(path)?;
            let shown = file.shown().to_owned();
            let writer = PreviewWriter::new(file, planes.subject.width, planes.subject.height);
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

fn sheet_request(
    job: &Job,
    schemes: &[Scheme],
    options: &RenderOptions,
    parameters: Parameters,
) -> SheetRequest {
    let crop = job.underpainting.crop_box();
    SheetRequest {
        heading: job.figure.name.clone(),
        sub_heading: match schemes.len() {
            1 => "1 scheme, colours as the paint dries".to_owned(),
            count => format!("{count} schemes, colours as the paint dries"),
        },
        crop: (crop.width, crop.height),
        columns: options.columns,
        long_edge: options.long_edge,
        parameters,
        schemes: schemes
            .iter()
            .map(|scheme| SheetScheme {
                name: scheme.name.clone(),
                team: scheme.team.clone(),
                undercoat: undercoat_phrase(scheme.undercoat, job.figure.undercoat.kind.value)
                    .to_owned(),
                finish: word_for(&VARNISHES, &scheme.finish).to_owned(),
                chips: scheme
                    .regions
                    .iter()
                    .filter_map(|stack| {
                        let dried = stack.chip(&job.paints)?.encoded();
                        Some(SheetChip {
                            region: stack.region.clone(),
                            seen: dried,
                            dried,
                        })
                    })
                    .collect(),
            })
            .collect(),
    }
}
