//! Checks of a stage that makes regions. In: the stage. Out: checks, on the small job's photo and strokes, and on odd sizes.

use velatura_photo::Photo;
use velatura_regions::{Labels, Marks};

use super::calls::{answer, repeated};
use super::report::{Check, Report};
use super::small::{small_photo, small_strokes};
use super::small_parts::{ODD_SIZES, odd_photo};
use velatura_pipeline::Parameters;
use velatura_pipeline::stage::{Regions, StageInfo};

/// Mark of a pixel that no stroke touches.
const UNMARKED: u8 = u8::MAX;

pub(super) fn check(
    report: &mut Report,
    info: &StageInfo,
    stage: &dyn Regions,
    parameters: &Parameters,
) {
    let (photo, strokes) = (small_photo(), small_strokes());
    let make =
        |photo: &Photo, strokes: &Marks| answer(|| stage.regions(photo, strokes, parameters));
    let same = |one: &Labels, other: &Labels| {
        one.labels == other.labels && one.colours == other.colours && one.islands == other.islands
    };
    let Some(given) = repeated(report, info, || make(&photo, &strokes), same) else {
        return;
    };
    report.made(Check::Decided, decided(&given, &strokes));
    if report.made(Check::Sizes, sizes(&given, &photo)) {
        report.made(Check::StrokesObeyed, obeyed(&given, &strokes, &photo));
    }
    for size in ODD_SIZES {
        let odd = odd_photo(size);
        let mut marks = vec![UNMARKED; odd.photo.len()];
        marks[0] = 1;
        let strokes = Marks {
            marks,
            ..strokes.clone()
        };
        let outcome = make(&odd, &strokes).and_then(|given| sizes(&given, &odd));
        report.made(
            Check::OddSizes,
            outcome.map_err(|words| format!("at {} × {} pixels {words}", size.0, size.1)),
        );
    }
}

fn sizes(given: &Labels, photo: &Photo) -> Result<(), String> {
    if given.labels.len() == photo.photo.len() {
        return Ok(());
    }
    Err(format!(
        "it returned {} pixels; the photo has {} × {}",
        given.labels.len(),
        photo.width,
        photo.height
    ))
}

fn decided(given: &Labels, strokes: &Marks) -> Result<(), String> {
    if given.colours != strokes.colours {
        return Err("its colours differ from those of the strokes, or their order does".to_owned());
    }
    let known = |label: &u8| usize::from(*label) <= given.colours.len();
    match given.labels.iter().position(|label| !known(label)) {
        None => Ok(()),
        Some(at) => Err(format!(
            "pixel number {at} has the label {}; there are {} regions",
            given.labels[at],
            given.colours.len()
        )),
    }
}

fn obeyed(given: &Labels, strokes: &Marks, photo: &Photo) -> Result<(), String> {
    let lost = |(label, mark): (&u8, &u8)| *mark != UNMARKED && label != mark;
    match given.labels.iter().zip(&strokes.marks).position(lost) {
        None => Ok(()),
        Some(at) => Err(format!(
            "the stroke at pixel {}, {} marks {}, but the pixel became {}",
            at % photo.width as usize,
            at / photo.width as usize,
            strokes.marks[at],
            given.labels[at]
        )),
    }
}
