//! A whole job into an output folder: previews, contact sheet, report.

use rayon::prelude::*;
use velatura_pipeline::figure::{From as Origin, Sourced as Measured, UndercoatPoints};
use velatura_pipeline::optics::colour::{Encoded, Linear, luminance};
use velatura_pipeline::scheme::{
    FigureGround, Scheme, UNDERCOATS, VARNISHES, painting_order, spills, word_for,
};
use velatura_pipeline::{
    Clock, Error, Job, Parameters, PlannedScheme, RegionSums, Registry, RowSink, RunOptions,
    SHEET_FILE, SheetRequest, SheetScheme, plan, planned_sheet_texts, run, sheet_in_use,
    sheet_pictures, sheet_texts, without_failing,
};

use velatura_output::{OutputFolder, PendingFile};
use velatura_report::words::undercoat_phrase;
use velatura_report::{
    Backend, Hex, Hundredths, LabMean, PAGE_FILE, REPORT_FILE, Ratio, RegionReport, Report,
    SchemeReport, Source, Sourced, SpillReport, Undercoat, index_page, to_json,
};
use velatura_sheet::PreviewWriter;
use velatura_sheet::preview_names;

/// How much of a job is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Extent {
    /// Previews at the photo's size, sheet, report and the page that shows them all.
    Everything,
    /// Sheet and report, computed at the sheet's own scale.
    SheetOnly,
}

/// What is wanted of a render.
#[derive(Debug, Clone)]
pub struct RenderOptions {
    /// Which schemes, as indices into the job's; in this order on the sheet.
    pub schemes: Vec<usize>,
    /// How much.
    pub extent: Extent,
    /// Columns of the sheet, or as many as suit.
    pub columns: Option<u32>,
    /// Longer edge of the sheet in pixels, or as long as suits.
    pub long_edge: Option<u32>,
    /// Memory and cancellation.
    pub run: RunOptions,
}

impl RenderOptions {
    /// Everything of every scheme of a job.
    #[must_use]
    pub fn everything(job: &Job) -> Self {
        Self {
            schemes: (0..job.schemes.len()).collect(),
            extent: Extent::Everything,
            columns: None,
            long_edge: None,
            run: RunOptions::default(),
        }
    }
}

/// The files that [`render`] will write, with paths from the output folder; open the folder with them.
///
/// # Errors
/// Parameters that a sheet text does not allow.
pub fn planned_files(
    registry: &Registry,
    job: &Job,
    options: &RenderOptions,
) -> Result<Vec<String>, Error> {
    let mut files = match options.extent {
        Extent::Everything => {
            let mut files = preview_paths(job, &options.schemes);
            files.push(PAGE_FILE.to_owned());
            files
        }
        Extent::SheetOnly => Vec::new(),
    };
    files.extend(planned_sheet_texts(registry, job)?);
    files.extend([SHEET_FILE.to_owned(), REPORT_FILE.to_owned()]);
    Ok(files)
}

/// Renders a job into `folder`, which is its alone; nothing is in place until the folder is committed. A stage that fails is
/// left out, as [`Report::left_out`] says, and the pictures are made again without it.
///
/// `progress` is told the share done, 0…1.
///
/// # Errors
/// What stopped it: the disk, the caller, or a missing stage.
pub fn render(
    registry: &Registry,
    job: &Job,
    folder: &OutputFolder,
    options: &RenderOptions,
    clock: &Clock<'_>,
    progress: &(dyn Fn(f64) + Sync),
) -> Result<Report, Error> {
    let mut timings: Vec<(String, f64)> = job
        .timings
        .iter()
        .map(|(step, time)| ((*step).to_owned(), time.as_secs_f64() * 1e3))
        .collect();
    let mut started = clock.now();
    let mut lap = |step: &str| {
        let now = clock.now();
        let took = now.saturating_sub(started).as_secs_f64() * 1e3;
        // A step that is done again, since a stage failed in it, took both times.
        match timings.iter_mut().find(|(known, _)| known == step) {
            Some((_, time)) => *time += took,
            None => timings.push((step.to_owned(), took)),
        }
        started = now;
    };

    let schemes: Vec<Scheme> = options
        .schemes
        .iter()
        .map(|index| job.schemes[*index].clone())
        .collect();
    let planned = plan(registry, job, &schemes)?;
    lap("tables");

    let (sheet, parameters) = sheet_in_use(registry, job)?;
    let mut request = sheet_request(job, &schemes, options, parameters);
    let size = sheet.picture_size(&request);
    // Previews and sheet show the same: a stage that fails in one of them is left out of both.
    let (previews, (pictures, small_sums)) = without_failing(registry, || {
        folder.start_over();
        let previews = match options.extent {
            Extent::Everything => {
                let paths = preview_paths(job, &options.schemes);
                let sums =
                    write_previews(registry, job, &planned, &paths, folder, options, progress)?;
                lap("previews");
                Some((paths, sums))
            }
            Extent::SheetOnly => None,
        };
        let pictures = sheet_pictures(registry, &job.underpainting, &planned, size, &options.run)?;
        Ok((previews, pictures))
    })?;
    // Known only now: a finish that failed is not in the picture.
    for (told, planned) in request.schemes.iter_mut().zip(&planned) {
        for name in registry.added_finishes(planned) {
            told.finish += &format!(", {name}");
        }
    }
    for file in sheet.files(&request, &pictures)? {
        folder.write(&file.path, &file.bytes)?;
    }
    lap("sheet");
    progress(1.0);

    let ground = job.ground();
    let (paths, sums) = previews.map_or((None, small_sums), |(paths, sums)| (Some(paths), sums));
    let scheme_reports: Vec<SchemeReport> = planned
        .par_iter()
        .zip(&sums)
        .enumerate()
        .map(|(index, (planned, sums))| {
            scheme_report(
                &planned.scheme,
                registry.added_finishes(planned),
                &ground,
                sums,
                paths.as_ref().map(|paths| paths[index].clone()),
            )
        })
        .collect();
    let mut report = Report {
        figure: job.figure.name.clone(),
        backend: Backend {
            kind: options.run.backend.kind(),
            name: options.run.backend.name(),
            notes: options.run.backend.notes(),
        },
        undercoat: undercoat_report(&job.underpainting.points),
        schemes: scheme_reports,
        warnings: job
            .warnings
            .iter()
            .filter_map(|warning| serde_json::to_value(warning).ok())
            .collect(),
        left_out: registry.left_out(),
        texts: Vec::new(),
        timings_ms: timings,
    };
    for file in sheet_texts(registry, job, &to_json(&report))? {
        folder.write(&file.path, &file.bytes)?;
        report.texts.push(file.path);
    }
    report.left_out = registry.left_out();
    if options.extent == Extent::Everything {
        let schemes: Vec<&Scheme> = planned.iter().map(|planned| &planned.scheme).collect();
        let page = index_page(job, &schemes, &report);
        folder.write(PAGE_FILE, page.as_bytes())?;
    }
    folder.write(REPORT_FILE, to_json(&report).as_bytes())?;
    Ok(report)
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

struct PreviewSink(PreviewWriter<PendingFile>);

impl RowSink for PreviewSink {
    fn rows(&mut self, rows: &[[u8; 3]]) -> Result<(), Error> {
        Ok(self.0.write_rows(rows)?)
    }
}

fn write_previews(
    registry: &Registry,
    job: &Job,
    planned: &[PlannedScheme],
    paths: &[String],
    folder: &OutputFolder,
    options: &RenderOptions,
    progress: &(dyn Fn(f64) + Sync),
) -> Result<Vec<RegionSums>, Error> {
    let (width, height) = (job.underpainting.width, job.underpainting.height);
    let mut sinks = paths
        .iter()
        .map(|path| {
            Ok(PreviewSink(PreviewWriter::new(
                folder.begin(path)?,
                width,
                height,
            )?))
        })
        .collect::<Result<Vec<_>, Error>>()?;
    let sums = run(
        registry,
        &job.underpainting,
        planned,
        &mut sinks,
        &options.run,
        progress,
    )?;
    for (PreviewSink(writer), path) in sinks.into_iter().zip(paths) {
        writer.finish().map_err(|error| error.at(path))?.finish()?;
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
                        Some((stack.region.clone(), stack.chip(&job.paints)?.encoded()))
                    })
                    .collect(),
            })
            .collect(),
    }
}

fn scheme_report(
    scheme: &Scheme,
    finishes: Vec<String>,
    ground: &FigureGround,
    sums: &RegionSums,
    preview: Option<String>,
) -> SchemeReport {
    let name = |region: usize| scheme.regions[region].region.clone();
    let spills = spills(scheme, ground).into_iter().map(|spill| SpillReport {
        from: name(spill.from),
        onto: name(spill.onto),
        delta_e: Hundredths(spill.delta_e),
    });
    let regions = scheme
        .regions
        .iter()
        .enumerate()
        .map(|(index, stack)| {
            let mean = sums.mean(index).unwrap_or_default();
            RegionReport {
                name: stack.region.clone(),
                pixels: sums.pixels(index),
                mean_srgb: Hex(mean.encoded().0),
                mean_lab: LabMean(mean.lab().0),
                luminance: Ratio(luminance(mean)),
                basis: stack.trust.basis.to_string(),
                estimated_error: Hundredths(stack.trust.delta_e),
            }
        })
        .collect();
    SchemeReport {
        name: scheme.name.clone(),
        team: scheme.team.clone(),
        undercoat: word_for(&UNDERCOATS, &scheme.undercoat).to_owned(),
        finish: word_for(&VARNISHES, &scheme.finish).to_owned(),
        finishes,
        preview,
        regions,
        order: painting_order(scheme, ground)
            .into_iter()
            .map(name)
            .collect(),
        spills: spills.collect(),
    }
}

fn undercoat_report(points: &UndercoatPoints) -> Undercoat {
    let source = |from: Origin| match from {
        Origin::Given => Source::Given,
        Origin::Estimated => Source::Estimated,
        Origin::Measured => Source::Measured,
    };
    let grey = |point: &Measured| {
        let Encoded(code) = Linear::grey(point.value).encoded();
        Sourced {
            value: Hex(code),
            from: source(point.from),
        }
    };
    Undercoat {
        black: grey(&points.black),
        white: grey(&points.white),
        light_share: Sourced {
            value: Ratio(points.light_share.value),
            from: source(points.light_share.from),
        },
    }
}
