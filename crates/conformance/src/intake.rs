//! Checks of an intake. In: the stage. Out: checks, on the small job's pictures, whole and cut off.

use velatura_figure::{FigureFile, Plate};
use velatura_photo::{DecodeLimits, Photo};

use super::calls::{answer, answers, guarded, repeated};
use super::report::{Check, Report};
use super::small::small_file;
use super::small_parts::figure;
use velatura_pipeline::Parameters;
use velatura_pipeline::stage::{Intake, StageInfo};

/// Number of lengths at which each file is cut off.
const CUTS: usize = 40;
/// Bytes of a PNG's last chunk (PNG specification, 11.2.5): it has no picture data, so a decoder may ignore it.
const LAST_CHUNK: usize = 12;

pub(super) fn check(
    report: &mut Report,
    info: &StageInfo,
    stage: &dyn Intake,
    parameters: &Parameters,
) {
    let figure = figure();
    let ours = |path| small_file(path).expect("the small job has both");
    let (photo, mask) = (ours("photo.png"), ours("mask.png"));
    let limits = DecodeLimits::default();
    let read = |photo: &[u8], mask: &[u8]| {
        let given = answers(|| stage.plate(&figure, photo, mask, &limits, parameters));
        given.map(|plate| plate.value)
    };
    let further = |bytes: &[u8]| {
        let given = answer(|| stage.photo("photo.png", bytes, &limits));
        given.map(|photo| photo.value)
    };
    let both = || Ok((read(&photo, &mask)?, further(&photo)?));
    let Some((plate, single)) = repeated(report, info, both, same) else {
        return;
    };
    report.made(Check::Sizes, sizes(&plate, &single));
    report.made(Check::Decided, decided(&plate, &figure));
    let refused = |what: &str, length: usize, given: Result<bool, String>| match given {
        Ok(true) => Ok(()),
        Ok(false) => Err(format!("it accepted a {what} cut off after {length} bytes")),
        Err(words) => Err(format!(
            "with a {what} cut off after {length} bytes {words}"
        )),
    };
    for length in cuts(photo.len()) {
        let given = guarded(|| {
            let given = stage.plate(&figure, &photo[..length], &mask, &limits, parameters);
            given.is_err()
        });
        report.made(Check::CutShort, refused("photo", length, given));
        let given = guarded(|| stage.photo("photo.png", &photo[..length], &limits).is_err());
        report.made(Check::CutShort, refused("further photo", length, given));
    }
    for length in cuts(mask.len()) {
        let given = guarded(|| {
            let given = stage.plate(&figure, &photo, &mask[..length], &limits, parameters);
            given.is_err()
        });
        report.made(Check::CutShort, refused("mask", length, given));
    }
}

fn cuts(length: usize) -> impl Iterator<Item = usize> {
    let picture = length.saturating_sub(LAST_CHUNK);
    (0..picture).step_by((picture / CUTS).max(1))
}

fn same(one: &(Plate, Photo), other: &(Plate, Photo)) -> bool {
    let key = |(plate, photo): &(Plate, Photo)| {
        (
            (
                plate.subject.width,
                plate.subject.height,
                photo.width,
                photo.height,
            ),
            plate.subject.lamp.map(f64::to_bits),
        )
    };
    key(one) == key(other)
        && one.0.subject.photo == other.0.subject.photo
        && one.0.luminance == other.0.luminance
        && one.0.subject.region == other.0.subject.region
        && one.0.subject.regions == other.0.subject.regions
        && one.1.photo == other.1.photo
        && one.1.luminance == other.1.luminance
}

fn sizes(plate: &Plate, single: &Photo) -> Result<(), String> {
    let wanted = plate.subject.width as usize * plate.subject.height as usize;
    let planes = [
        ("photo", plate.subject.photo.len()),
        ("luminance", plate.luminance.len()),
        ("region", plate.subject.region.len()),
    ];
    if let Some((name, pixels)) = planes.into_iter().find(|(_, pixels)| *pixels != wanted) {
        return Err(format!(
            "its plane `{name}` has {pixels} pixels; {} × {} are {wanted}",
            plate.subject.width, plate.subject.height
        ));
    }
    if (single.width, single.height) != (plate.subject.width, plate.subject.height) {
        return Err(format!(
            "the same photo is {} × {} pixels alone and {} × {} with its mask",
            single.width, single.height, plate.subject.width, plate.subject.height
        ));
    }
    Ok(())
}

fn decided(plate: &Plate, figure: &FigureFile) -> Result<(), String> {
    if plate.subject.regions != figure.region_names() {
        return Err(
            "its regions differ from those of the figure file, or their order does".to_owned(),
        );
    }
    match plate
        .subject
        .region
        .iter()
        .find(|region| usize::from(**region) > plate.subject.regions.len())
    {
        None => Ok(()),
        Some(region) => Err(format!(
            "a pixel belongs to region {region}, but there are only {}",
            plate.subject.regions.len()
        )),
    }
}
