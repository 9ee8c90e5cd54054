//! Intakes, grounds and makers of regions with one thing wrong.

use velatura_conformance::Check;
use velatura_document::{Diagnostic, Warned};
use velatura_photo::{DecodeLimits, Photo};
use velatura_pipeline::figure::{self, FigureFile, Plate, Subject, Underpainting};
use velatura_pipeline::stage::{AttachPoint, Ground, Intake, Regions};
use velatura_pipeline::{AnyStage, Parameters};
use velatura_regions::{Labels, Marks};

use crate::broken::{Broken, Made, another, info};

type Read = Result<Warned<Plate>, Vec<Diagnostic>>;

impl<F: Fn(Read) -> Read + Send + Sync> Intake for Made<F> {
    fn plate(
        &self,
        file: &FigureFile,
        photo: &[u8],
        mask: &[u8],
        limits: &DecodeLimits,
        _: &Parameters,
    ) -> Read {
        (self.work)(figure::plate(file, photo, mask, limits))
    }

    fn photo(
        &self,
        name: &str,
        bytes: &[u8],
        limits: &DecodeLimits,
    ) -> Result<Warned<Photo>, Diagnostic> {
        velatura_photo::decode_photo(name, bytes, limits)
    }
}

impl<F: Fn(&mut Underpainting) -> Result<(), Diagnostic> + Send + Sync> Ground for Made<F> {
    fn underpainting(
        &self,
        plate: Plate,
        file: &FigureFile,
        light_photo: Option<Photo>,
        _: &Parameters,
    ) -> Result<Warned<Underpainting>, Diagnostic> {
        let mut planes = figure::underpainting(plate, file, light_photo)?;
        (self.work)(&mut planes.value)?;
        Ok(planes)
    }
}

impl<F: Fn(&Photo, &mut Labels) -> Result<(), Diagnostic> + Send + Sync> Regions for Made<F> {
    fn regions(
        &self,
        photo: &Photo,
        strokes: &Marks,
        _: &Parameters,
    ) -> Result<Labels, Diagnostic> {
        let mut labels = velatura_regions::regions(photo, strokes);
        (self.work)(photo, &mut labels)?;
        Ok(labels)
    }
}

fn intake(work: impl Fn(Read) -> Read + Send + Sync + 'static) -> AnyStage {
    let info = info(AttachPoint::Intake);
    AnyStage::Intake(Box::new(Made { info, work }))
}

/// An intake that changes what was read.
fn read(change: impl Fn(&mut Plate) + Send + Sync + 'static) -> AnyStage {
    intake(move |read| {
        read.map(|mut plate| {
            change(&mut plate.value);
            plate
        })
    })
}

fn ground(
    work: impl Fn(&mut Underpainting) -> Result<(), Diagnostic> + Send + Sync + 'static,
) -> AnyStage {
    let info = info(AttachPoint::Ground);
    AnyStage::Ground(Box::new(Made { info, work }))
}

fn split(change: impl Fn(&mut Underpainting) + Send + Sync + 'static) -> AnyStage {
    ground(move |planes| {
        change(planes);
        Ok(())
    })
}

fn regions(
    work: impl Fn(&Photo, &mut Labels) -> Result<(), Diagnostic> + Send + Sync + 'static,
) -> AnyStage {
    let info = info(AttachPoint::Regions);
    AnyStage::Regions(Box::new(Made { info, work }))
}

fn labelled(change: impl Fn(&mut Labels) + Send + Sync + 'static) -> AnyStage {
    regions(move |_, labels| {
        change(labels);
        Ok(())
    })
}

fn too_narrow(width: u32) -> Result<(), Diagnostic> {
    if width < 2 {
        return Err(Diagnostic::error("", "narrower than two pixels"));
    }
    Ok(())
}

pub(crate) fn sound() -> Vec<(&'static str, AnyStage)> {
    vec![
        ("an intake as it is", read(|_| ())),
        ("a ground as it is", split(|_| ())),
        ("regions as they are", labelled(|_| ())),
    ]
}

pub(crate) fn cases() -> Vec<Broken> {
    let blank = intake(|read| {
        Ok(read.unwrap_or_else(|_| {
            let plate = Plate {
                subject: Subject {
                    width: 1,
                    height: 1,
                    photo: vec![[0; 3]],
                    region: vec![0],
                    regions: Vec::new(),
                    lamp: [1.0; 3],
                },
                luminance: vec![0],
            };
            plate.into()
        }))
    });
    vec![
        Broken::new(
            "a pixel too few",
            Check::Sizes,
            read(|plate| {
                plate.luminance.pop();
            }),
        ),
        Broken::new(
            "a ninth region",
            Check::Decided,
            read(|plate| plate.subject.region[30] = 9),
        ),
        Broken::new(
            "nameless regions",
            Check::Decided,
            read(|plate| {
                plate.subject.regions.iter_mut().for_each(String::clear);
            }),
        ),
        Broken::new(
            "another lamp every time",
            Check::SameAgain,
            read(|plate| {
                plate.subject.lamp[0] = f64::from(another());
            }),
        ),
        Broken::new("half a picture", Check::CutShort, blank),
        Broken::new(
            "a panic at half a picture",
            Check::CutShort,
            intake(|read| Ok(read.expect("a whole picture"))),
        ),
        Broken::new("an error", Check::Works, intake(|_| Err(Vec::new()))),
        Broken::new(
            "a plane too short",
            Check::Sizes,
            split(|planes| {
                planes.relief.pop();
            }),
        ),
        Broken::new(
            "no light at all",
            Check::Numbers,
            split(|planes| planes.light_unit = 0.0),
        ),
        Broken::new(
            "a scale that is none",
            Check::Numbers,
            split(|planes| {
                planes.px_per_mm = f64::NAN;
            }),
        ),
        Broken::new(
            "a retouched photo",
            Check::PhotoUntouched,
            split(|planes| {
                planes.subject.photo[0] = [1, 2, 3];
            }),
        ),
        Broken::new(
            "regions moved",
            Check::PhotoUntouched,
            split(|planes| planes.subject.region.reverse()),
        ),
        Broken::new(
            "blacker than black",
            Check::SomeSubstrate,
            split(|planes| {
                planes.substrate.fill(0);
            }),
        ),
        Broken::new(
            "no narrow photos",
            Check::OddSizes,
            ground(|planes| too_narrow(planes.subject.width)),
        ),
        Broken::new(
            "another light every time",
            Check::SameAgain,
            split(|planes| {
                planes.light_unit *= 0.5 + another();
            }),
        ),
        Broken::new(
            "a label too few",
            Check::Sizes,
            regions(|photo, labels| {
                if photo.width == 20 {
                    labels.labels.pop();
                }
                Ok(())
            }),
        ),
        Broken::new(
            "an undecided pixel",
            Check::Decided,
            labelled(|labels| {
                if let Some(last) = labels.labels.last_mut() {
                    *last = 255;
                }
            }),
        ),
        Broken::new(
            "other colours",
            Check::Decided,
            labelled(|labels| labels.colours.reverse()),
        ),
        Broken::new(
            "all background",
            Check::StrokesObeyed,
            labelled(|labels| {
                labels.labels.fill(0);
            }),
        ),
        Broken::new(
            "no narrow strokes",
            Check::OddSizes,
            regions(|photo, _| too_narrow(photo.width)),
        ),
    ]
}
