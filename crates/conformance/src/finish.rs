//! Checks of a finish. In: the stage. Out: checks, on every scheme of the small job that it applies to.

use velatura_shaders::Pixel;
use velatura_shaders::finish::twin;
use velatura_shaders::pack::twin::pack;

use super::calls::{guarded, repeated};
use super::finish_bands::{Called, first_difference};
use super::limits::{KERNEL_CODES, LARGEST_NUMBER, LEAST_NUMBER};
use super::report::{Check, Report};
use super::small_parts::{ODD_SIZES, Picture, frame, job, planned};
use velatura_pipeline::Parameters;
use velatura_pipeline::stage::{Finish, StageInfo};

/// Rows of the bands that are compared with the whole picture.
const BAND_ROWS: [usize; 3] = [1, 7, 64];

pub(super) fn check(
    report: &mut Report,
    info: &StageInfo,
    stage: &dyn Finish,
    parameters: &Parameters,
) {
    let job = job();
    let mut applied = false;
    for planned in planned(&job) {
        match guarded(|| stage.applies(&planned.scheme)) {
            Ok(true) => {}
            Ok(false) => continue,
            Err(words) => {
                report.made(Check::Works, Err(words));
                return;
            }
        }
        applied = true;
        let called = Called {
            stage,
            scheme: &planned.scheme,
            parameters,
        };
        let picture = Picture::of(&job.underpainting, frame(&job, &planned));
        on_scheme(
            report,
            info,
            called,
            &picture,
            &job.underpainting.subject.photo,
        );
    }
    if !applied {
        let words = "it applies to none of the schemes of the small job, matte, satin or gloss";
        report.made(Check::Works, Err(words.to_owned()));
    }
}

fn on_scheme(
    report: &mut Report,
    info: &StageInfo,
    called: Called<'_>,
    picture: &Picture,
    photo: &[[u8; 3]],
) {
    let same = |one: &Vec<Pixel>, other: &Vec<Pixel>| first_difference(one, other, 1).is_none();
    let Some(whole) = repeated(report, info, || called.whole(picture), same) else {
        return;
    };
    report.made(Check::Numbers, in_range(&whole, picture.width));
    report.made(Check::BareStaysBare, bare_stays_bare(picture, &whole));
    // A finish that differs on every call also differs between bands, which has been reported already.
    if report.kept(Check::SameAgain) {
        for band_rows in BAND_ROWS {
            report.made(
                Check::Banding,
                banding(called, picture, &whole, band_rows, info.reach_px),
            );
        }
        report.made(
            Check::KernelAgrees,
            kernel_agrees(called, picture, &whole, photo),
        );
    }
    for size in ODD_SIZES {
        let odd = picture.of_size(size);
        let outcome = called.whole(&odd).map(|_| ());
        report.made(
            Check::OddSizes,
            outcome.map_err(|words| format!("at {} × {} pixels {words}", size.0, size.1)),
        );
    }
    let extreme = picture.extreme();
    let outcome = called
        .whole(&extreme)
        .and_then(|frame| in_range(&frame, picture.width));
    report.made(Check::Extremes, outcome);
}

fn in_range(frame: &[Pixel], width: usize) -> Result<(), String> {
    let fits = |number: &f32| (LEAST_NUMBER..=LARGEST_NUMBER).contains(number);
    match frame.iter().position(|pixel| !pixel.iter().all(fits)) {
        None => Ok(()),
        Some(at) => Err(format!(
            "it returned {:?} at pixel {}, {}; numbers are from {LEAST_NUMBER} to {LARGEST_NUMBER}",
            frame[at],
            at % width,
            at / width
        )),
    }
}

fn bare_stays_bare(picture: &Picture, after: &[Pixel]) -> Result<(), String> {
    let painted =
        |(before, after): (&Pixel, &Pixel)| before[3] <= 0.0 && after[3].to_bits() << 1 != 0;
    match picture.frame.iter().zip(after).position(painted) {
        None => Ok(()),
        Some(at) => Err(format!(
            "it painted where there is no coat, at pixel {}, {}",
            at % picture.width,
            at / picture.width
        )),
    }
}

fn banding(
    called: Called<'_>,
    picture: &Picture,
    whole: &[Pixel],
    band_rows: usize,
    reach_px: Option<u32>,
) -> Result<(), String> {
    let reach = reach_px.map_or(picture.rows, |reach| reach as usize);
    let banded = called.in_bands(picture, band_rows, reach)?;
    match first_difference(whole, &banded, picture.width) {
        None => Ok(()),
        Some((x, y)) => Err(format!(
            "in bands of {band_rows} rows with a reach of {reach}, pixel {x}, {y} differs from the whole picture"
        )),
    }
}

fn kernel_agrees(
    called: Called<'_>,
    picture: &Picture,
    whole: &[Pixel],
    photo: &[[u8; 3]],
) -> Result<(), String> {
    let Some(params) = guarded(|| called.stage.kernel(called.scheme, called.parameters))? else {
        return Ok(());
    };
    let mut of_kernel = picture.frame.clone();
    twin::finish(&params, &picture.planes(), &mut of_kernel);
    let codes = |frame: &[Pixel]| {
        let mut codes = vec![[0; 3]; frame.len()];
        pack(frame, photo, &mut codes);
        codes
    };
    let (own, of_kernel) = (codes(whole), codes(&of_kernel));
    let worst = own
        .as_flattened()
        .iter()
        .zip(of_kernel.as_flattened())
        .map(|(a, b)| a.abs_diff(*b))
        .max()
        .unwrap_or(0);
    if worst <= KERNEL_CODES {
        return Ok(());
    }
    Err(format!(
        "its own work and its kernel differ by {worst} codes; at most {KERNEL_CODES}"
    ))
}
