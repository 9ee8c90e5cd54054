//! Checks of a ground. In: the stage. Out: checks, on the small job's plate and on plates of odd sizes.

use velatura_figure::{Plate, Underpainting};
use velatura_photo::DecodeLimits;

use super::calls::{answer, repeated};
use super::limits::LARGEST_LIGHT_UNIT;
use super::report::{Check, Report};
use super::small::small_file;
use super::small_parts::{ODD_SIZES, figure, plate};
use velatura_pipeline::Parameters;
use velatura_pipeline::stage::{Ground, StageInfo};

/// Full scale of the planes.
const PLANE_MAX: f64 = 65535.0;

pub(super) fn check(
    report: &mut Report,
    info: &StageInfo,
    stage: &dyn Ground,
    parameters: &Parameters,
) {
    let figure = figure();
    let ours = |path| small_file(path).expect("the small job has both");
    let (photo, mask) = (ours("photo.png"), ours("mask.png"));
    let limits = DecodeLimits::default();
    let read = velatura_figure::plate(&figure, &photo, &mask, &limits);
    let whole = read.expect("pictures of our own").value;
    let split = |plate: Plate| {
        let given = answer(|| stage.underpainting(plate, &figure, None, parameters));
        given.map(|underpainting| underpainting.value)
    };
    let Some(given) = repeated(report, info, || split(whole.clone()), same) else {
        return;
    };
    report.made(Check::PhotoUntouched, untouched(&whole, &given));
    report.made(Check::Numbers, numbers(&given));
    if report.made(Check::Sizes, sizes(&given)) {
        report.made(Check::SomeSubstrate, some_substrate(&given));
        report.note(tone(&whole, &given));
    }
    for size in ODD_SIZES {
        let outcome = split(plate(size)).map(|_| ());
        report.made(
            Check::OddSizes,
            outcome.map_err(|words| format!("at {} × {} pixels {words}", size.0, size.1)),
        );
    }
}

fn same(one: &Underpainting, other: &Underpainting) -> bool {
    one.substrate == other.substrate
        && one.light == other.light
        && one.relief == other.relief
        && one.light_unit.to_bits() == other.light_unit.to_bits()
        && one.px_per_mm.to_bits() == other.px_per_mm.to_bits()
        && one.points == other.points
}

fn untouched(plate: &Plate, given: &Underpainting) -> Result<(), String> {
    let parts = [
        (
            "its size",
            (plate.subject.width, plate.subject.height)
                == (given.subject.width, given.subject.height),
        ),
        ("the photo", plate.subject.photo == given.subject.photo),
        (
            "the plane of regions",
            plate.subject.region == given.subject.region,
        ),
        (
            "the names of the regions",
            plate.subject.regions == given.subject.regions,
        ),
    ];
    match parts.into_iter().find(|(_, same)| !same) {
        None => Ok(()),
        Some((what, _)) => Err(format!("{what} differs from the plate")),
    }
}

fn sizes(given: &Underpainting) -> Result<(), String> {
    let wanted = given.subject.width as usize * given.subject.height as usize;
    let planes = [
        ("substrate", given.substrate.len()),
        ("light", given.light.len()),
        ("relief", given.relief.len()),
        ("region", given.subject.region.len()),
    ];
    match planes.into_iter().find(|(_, pixels)| *pixels != wanted) {
        None => Ok(()),
        Some((name, pixels)) => Err(format!(
            "its plane `{name}` has {pixels} pixels; {} × {} are {wanted}",
            given.subject.width, given.subject.height
        )),
    }
}

fn numbers(given: &Underpainting) -> Result<(), String> {
    if !(given.light_unit > 0.0 && given.light_unit <= LARGEST_LIGHT_UNIT) {
        return Err(format!(
            "its light unit is {}; it is more than 0, at most {LARGEST_LIGHT_UNIT}",
            given.light_unit
        ));
    }
    let points = given.points;
    let numbers = [
        ("pixels per millimetre", given.px_per_mm, 0.0..=f64::MAX),
        ("black point", points.black.value, 0.0..=1.0),
        ("white point", points.white.value, 0.0..=1.0),
        ("share of light", points.light_share.value, 0.0..=1.0),
        ("lamp", given.subject.lamp.iter().sum(), 0.0..=f64::MAX),
    ];
    match numbers
        .iter()
        .find(|(_, number, range)| !range.contains(number))
    {
        None => Ok(()),
        Some((what, number, _)) => Err(format!("its {what} is {number}")),
    }
}

fn some_substrate(given: &Underpainting) -> Result<(), String> {
    let places = given.substrate.iter().zip(&given.subject.region);
    match places
        .into_iter()
        .position(|(substrate, region)| *substrate == 0 && *region != 0)
    {
        None => Ok(()),
        Some(at) => Err(format!(
            "its substrate is 0 at pixel {}, {}; 1 is the least on a figure",
            at % given.subject.width as usize,
            at / given.subject.width as usize
        )),
    }
}

/// How far substrate times light is from the photo's tone: a coat of pure medium shows that much of a difference.
fn tone(plate: &Plate, given: &Underpainting) -> String {
    let planes = given.substrate.iter().zip(&given.light);
    let worst = planes
        .zip(&plate.luminance)
        .zip(&given.subject.region)
        .filter(|(_, region)| **region != 0)
        .map(|(((substrate, light), tone), _)| {
            let product = f64::from(*substrate) * f64::from(*light) * f64::from(given.light_unit);
            (product - f64::from(*tone)).abs() / PLANE_MAX
        })
        .fold(0.0, f64::max);
    format!("substrate times light is off the photo's tone by up to {worst:.5} of linear light")
}
