//! Renders a whole job: previews, contact sheet, report and page.

use rayon::prelude::*;
use velatura_document::counted;
use velatura_output::Outputs;
use velatura_pipeline::scheme::{Scheme, VARNISHES, word_for};
use velatura_pipeline::{
    Error, Job, Parameters, RegionSums, Run, SHEET_FILE, SheetChip, SheetPicture, SheetRequest,
    SheetScheme, Timings,
};
use velatura_report::words::undercoat_phrase;
use velatura_report::{
    PAGE_FILE, PagePicture, REPORT_FILE, Report, SchemeReport, index_page, to_json,
};
use velatura_sheet::PreviewFormat;

use crate::kept::Drawn;
use crate::old_previews::old_previews;
use crate::options::{Extent, RenderOptions};
use crate::previews::{preview_paths, write_previews};
use crate::scheme_report::{scheme_report, undercoat_report};

/// The files that [`render`] will write, relative and with "/".
///
/// # Errors
/// [`Error::Call`] for a scheme that the job does not have; parameters that a sheet text does not allow.
pub fn planned_files(job: &Job, options: &RenderOptions) -> Result<Vec<String>, Error> {
    let schemes = options.schemes(job)?;
    let mut files = match options.preview_format() {
        Some(format) => preview_paths(job, &schemes, format),
        None => Vec::new(),
    };
    if options.extent == Extent::Everything {
        files.push(PAGE_FILE.to_owned());
    }
    files.extend(job.planned_sheet_texts()?);
    files.extend([SHEET_FILE.to_owned(), REPORT_FILE.to_owned()]);
    Ok(files)
}

/// Renders a job into `outputs`: all files appear, or none. Previews that an earlier report there lists and that no scheme of the job
/// has any more go. A stage that fails is left out, as [`Report::left_out`] says, and the
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
    let previews = options.preview_format();
    // The sheet alone is far smaller than the photo, and never worth a device.
    let at_full_size = previews.map_or(0, |_| schemes.len());
    if let Some(format) = previews {
        let subject = &job.underpainting.subject;
        format.check_size(subject.width, subject.height)?;
    }
    let run = Run::on_backend(job, &options.cancel, at_full_size)?;
    let files = outputs.open(&planned_files(job, options)?, &job.inputs())?;
    let mut timings = Timings::start(job.session().clock());

    let (sheet, parameters) = job.sheet()?;
    let mut request = sheet_request(job, &schemes, options, parameters);
    let size = sheet.picture_size(&request);
    let paths = previews.map(|format| preview_paths(job, &selected, format));
    let mut drawn = options.kept(job, &schemes, paths.as_deref(), size);
    let is_new = |drawn: &Option<Drawn>| drawn.is_none();
    let new: Vec<usize> = (0..drawn.len()).filter(|at| is_new(&drawn[*at])).collect();
    let new_schemes: Vec<Scheme> = new.iter().map(|at| schemes[*at].clone()).collect();
    let planes = options.sheet_planes(&run, size)?;
    let planned = run.plan(&new_schemes)?;
    timings.lap("tables");
    let new_paths: Option<Vec<String>> = paths
        .as_ref()
        .map(|paths| new.iter().map(|at| paths[*at].clone()).collect());
    // Previews and sheet must agree: a stage that fails in one of them is left out of both.
    let (full_sums, (pictures, small_sums)) = run.without_failing(|| {
        files.start_over();
        let full_sums = match (previews, &new_paths) {
            (Some(format), Some(paths)) => {
                let sums = write_previews(&run, &planned, paths, format, &*files, options)?;
                timings.lap("previews");
                Some(sums)
            }
            _ => None,
        };
        Ok((full_sums, run.sheet_pictures_of(&planes, &planned, size)?))
    })?;
    let sums = full_sums.unwrap_or_else(|| small_sums.clone());
    let numbers = sums.into_iter().zip(small_sums);
    let made = planned.into_iter().zip(pictures).zip(numbers);
    for (at, ((planned, picture), (sums, sheet_sums))) in new.iter().zip(made) {
        drawn[*at] = Some(Drawn {
            planned,
            picture,
            on_page: None,
            sums,
            sheet_sums,
            path: paths.as_ref().map(|paths| paths[*at].clone()),
        });
    }
    let mut drawn: Vec<Drawn> = drawn.into_iter().flatten().collect();
    // Known only now: a finish that failed is not in the picture.
    for (cell, drawn) in request.schemes.iter_mut().zip(&drawn) {
        for name in run.added_finishes(&drawn.planned) {
            cell.finish += &format!(", {name}");
        }
        show_as_seen(&mut cell.chips, &drawn.planned.scheme, &drawn.sheet_sums);
    }
    let pictures: Vec<SheetPicture> = drawn.iter().map(|one| one.picture.clone()).collect();
    for file in sheet.files(&request, &pictures)? {
        files.write(&file.path, &file.bytes)?;
    }
    timings.lap("sheet");

    let ground = job.ground();
    let scheme_reports: Vec<SchemeReport> = drawn
        .par_iter()
        .map(|one| {
            scheme_report(
                &one.planned.scheme,
                run.added_finishes(&one.planned),
                &ground,
                &one.sums,
                &job.paints,
                one.path.clone(),
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
        // Compressing takes longer than everything else on the page.
        drawn.par_iter_mut().for_each(|one| {
            one.on_page
                .get_or_insert_with(|| PagePicture::new(&one.picture));
        });
        let shown: Vec<(&Scheme, &PagePicture)> = drawn
            .iter()
            .filter_map(|one| Some((&one.planned.scheme, one.on_page.as_ref()?)))
            .collect();
        let page = index_page(job, &shown, size, &report);
        files.write(PAGE_FILE, page.as_bytes())?;
    }
    if let Some(earlier) = files.earlier(REPORT_FILE) {
        // Of all schemes: with only some of them rendered, the previews of the others stay. Without previews, those of any format do.
        let all: Vec<usize> = (0..job.schemes.len()).collect();
        let formats = previews.map_or(PreviewFormat::ALL.to_vec(), |format| vec![format]);
        let current: Vec<String> = formats
            .into_iter()
            .flat_map(|format| preview_paths(job, &all, format))
            .collect();
        for path in old_previews(&earlier, &current) {
            files.retire(&path);
        }
    }
    files.write(REPORT_FILE, to_json(&report)?.as_bytes())?;
    if run.is_cancelled() {
        return Err(Error::Cancelled);
    }
    files.commit()?;
    options.keep_drawn(job, drawn, size, &planes);
    options.report_progress(1.0);
    Ok(report)
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

fn sub_heading(job: &Job, schemes: &[Scheme]) -> String {
    let count = counted(schemes.len(), "scheme");
    let mut used = schemes.iter();
    let glint = match used.any(|scheme| !scheme.metallic_paints(&job.paints).is_empty()) {
        true => "; metallic paint without its glint",
        false => "",
    };
    format!("{count}, colours as the paint dries{glint}")
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
        sub_heading: sub_heading(job, schemes),
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
