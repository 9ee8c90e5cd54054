//! Scheme sources and scheme transforms with one thing wrong.

use velatura_conformance::{Check, small_file};
use velatura_document::{Diagnostic, Warned};
use velatura_pipeline::scheme::Scheme;
use velatura_pipeline::stage::{AttachPoint, SchemeRequest, SchemeSource, SchemeTransform};
use velatura_pipeline::{AnyStage, Parameters};

use crate::broken::{Broken, Made, another, info};

impl<F: Fn(&mut Vec<Scheme>) + Send + Sync> SchemeSource for Made<F> {
    fn schemes(
        &self,
        request: &SchemeRequest<'_>,
        _: &Parameters,
    ) -> Result<Warned<Vec<Scheme>>, Vec<Diagnostic>> {
        let text = small_file("schemes.toml").map_err(|problem| vec![problem])?;
        let text = String::from_utf8(text).expect("a text");
        let mut schemes = request.read("its own", &text)?;
        (self.work)(&mut schemes.value);
        Ok(schemes)
    }
}

impl<F: Fn(&mut Scheme) -> Result<(), Diagnostic> + Send + Sync> SchemeTransform for Made<F> {
    fn transform(
        &self,
        scheme: &Scheme,
        _: &SchemeRequest<'_>,
        _: &Parameters,
    ) -> Result<Scheme, Diagnostic> {
        let mut scheme = scheme.clone();
        (self.work)(&mut scheme)?;
        Ok(scheme)
    }
}

fn source(work: impl Fn(&mut Vec<Scheme>) + Send + Sync + 'static) -> AnyStage {
    let info = info(AttachPoint::SchemeSource);
    AnyStage::SchemeSource(Box::new(Made { info, work }))
}

fn transform(
    work: impl Fn(&mut Scheme) -> Result<(), Diagnostic> + Send + Sync + 'static,
) -> AnyStage {
    let info = info(AttachPoint::SchemeTransform);
    AnyStage::SchemeTransform(Box::new(Made { info, work }))
}

fn changed(change: impl Fn(&mut Scheme) + Send + Sync + 'static) -> AnyStage {
    transform(move |scheme| {
        change(scheme);
        Ok(())
    })
}

fn films(scheme: &mut Scheme, film: impl Fn(f64) -> f64) {
    for coat in scheme.regions.iter_mut().flat_map(|stack| &mut stack.coats) {
        coat.film = film(coat.film);
    }
}

pub(crate) fn sound() -> Vec<(&'static str, AnyStage)> {
    vec![
        ("schemes as they are", source(|_| ())),
        (
            "films half as thick",
            changed(|scheme| films(scheme, |film| film / 2.0)),
        ),
        (
            "no coats left",
            changed(|scheme| {
                for stack in &mut scheme.regions {
                    stack.coats.clear();
                    stack.mixes.clear();
                }
            }),
        ),
    ]
}

pub(crate) fn cases() -> Vec<Broken> {
    let no_bare = transform(|scheme| {
        if scheme.regions.iter().all(|stack| stack.coats.is_empty()) {
            return Err(Diagnostic::error("", "nothing is painted"));
        }
        Ok(())
    });
    vec![
        Broken::new("no scheme", Check::Works, source(Vec::clear)),
        Broken::new(
            "twins",
            Check::SchemeNames,
            source(|schemes| {
                schemes[1].name = schemes[0].name.clone();
            }),
        ),
        Broken::new(
            "a name of nothing",
            Check::SchemeNames,
            source(|schemes| {
                schemes[1].name = "\u{1b}[2J".to_owned();
            }),
        ),
        Broken::new(
            "a region too few",
            Check::SchemeRegions,
            source(|schemes| {
                schemes[0].regions.pop();
            }),
        ),
        Broken::new(
            "a paint that is not there",
            Check::SchemeRegions,
            source(|schemes| {
                schemes[0].regions[0].mixes[0].paints[0].0 = 99;
            }),
        ),
        Broken::new(
            "optics of its own",
            Check::WrittenAndRead,
            source(|schemes| {
                schemes[0].regions[0].coats[0].optics =
                    schemes[0].regions[1].coats[0].optics.clone();
            }),
        ),
        Broken::new(
            "another film every time",
            Check::SameAgain,
            source(|schemes| {
                films(&mut schemes[0], |_| f64::from(0.1 + another()));
            }),
        ),
        Broken::new(
            "a new name",
            Check::SchemeNames,
            changed(|scheme| scheme.name += ", thin"),
        ),
        Broken::new(
            "a coat without a mix",
            Check::SchemeRegions,
            changed(|scheme| {
                scheme
                    .regions
                    .iter_mut()
                    .for_each(|stack| stack.mixes.clear());
            }),
        ),
        Broken::new(
            "a film that cracks",
            Check::WrittenAndRead,
            changed(|scheme| {
                films(scheme, |_| 21.0);
            }),
        ),
        Broken::new(
            "a mix whose optics are the old ones",
            Check::WrittenAndRead,
            changed(|scheme| {
                for mix in scheme.regions.iter_mut().flat_map(|stack| &mut stack.mixes) {
                    mix.medium += 1.0;
                }
            }),
        ),
        Broken::new("nothing for bare figures", Check::NoCoats, no_bare),
    ]
}
