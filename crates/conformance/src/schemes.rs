//! Checks of scheme sources and scheme transforms. In: the stage. Out: checks, on the small job's figure, paints and schemes.

use velatura_document::SourceText;
use velatura_optics::calibrate::PaintBox;
use velatura_scheme::{Proposed, Scheme, read_schemes_file, resolve, schemes_text};

use super::calls::{answer, answers, guarded, repeated};
use super::report::{Check, Report};
use super::small_parts::{figure, paints, schemes, text};
use velatura_pipeline::Parameters;
use velatura_pipeline::stage::{SchemeRequest, SchemeSource, SchemeTransform, StageInfo};

pub(super) fn check_source(
    report: &mut Report,
    info: &StageInfo,
    stage: &dyn SchemeSource,
    parameters: &Parameters,
) {
    let (regions, paints, source) = (figure().region_names(), paints(), text("schemes.toml"));
    let request = request(&regions, &paints, Some(&source));
    let give = || answers(|| stage.schemes(&request, parameters)).map(|schemes| schemes.value);
    let same = |one: &Vec<Scheme>, other: &Vec<Scheme>| {
        one.len() == other.len() && one.iter().zip(other).all(|(a, b)| is_same(a, b))
    };
    let Some(given) = repeated(report, info, give, same) else {
        return;
    };
    if given.is_empty() {
        let words = "it returned no scheme for the small job, so nothing more can be checked";
        report.made(Check::Works, Err(words.to_owned()));
        return;
    }
    // A file with a name that is no name would be refused for it again.
    if report.made(Check::SchemeNames, names(&given)) {
        for scheme in &given {
            as_text(report, scheme, &regions, &paints);
        }
    }
}

pub(super) fn check_transform(
    report: &mut Report,
    info: &StageInfo,
    stage: &dyn SchemeTransform,
    parameters: &Parameters,
) {
    let figure = figure();
    let (regions, paints) = (figure.region_names(), paints());
    let request = request(&regions, &paints, None);
    let change = |scheme: &Scheme| answer(|| stage.transform(scheme, &request, parameters));
    let schemes = schemes(&figure, &paints);
    for scheme in &schemes {
        let Some(given) = repeated(report, info, || change(scheme), is_same) else {
            return;
        };
        let kept = if given.name == scheme.name {
            Ok(())
        } else {
            Err(format!("\"{}\" became \"{}\"", scheme.name, given.name))
        };
        report.made(Check::SchemeNames, kept);
        as_text(report, &given, &regions, &paints);
    }
    let mut bare = schemes[0].clone();
    for stack in &mut bare.regions {
        stack.coats.clear();
        stack.mixes.clear();
    }
    report.made(Check::NoCoats, change(&bare).map(|_| ()));
}

fn request<'a>(
    regions: &'a [String],
    paints: &'a PaintBox,
    source: Option<&'a SourceText>,
) -> SchemeRequest<'a> {
    SchemeRequest {
        source,
        regions,
        figure_name: "figure.toml",
        paints,
        paints_name: "paints.toml",
    }
}

fn names(schemes: &[Scheme]) -> Result<(), String> {
    for (index, scheme) in schemes.iter().enumerate() {
        let name = &scheme.name;
        if name.trim().is_empty() || name.contains(char::is_control) {
            return Err(format!("scheme {} is called {name:?}", index + 1));
        }
        if schemes[..index].iter().any(|other| other.name == *name) {
            return Err(format!("two schemes are called \"{name}\""));
        }
    }
    Ok(())
}

/// Regions and mixes first: a scheme that lacks them cannot be written.
fn as_text(report: &mut Report, scheme: &Scheme, regions: &[String], paints: &PaintBox) {
    if report.made(Check::SchemeRegions, fits(scheme, regions, paints)) {
        report.made(
            Check::WrittenAndRead,
            written_and_read(scheme, regions, paints),
        );
    }
}

fn fits(scheme: &Scheme, regions: &[String], paints: &PaintBox) -> Result<(), String> {
    let has: Vec<&str> = scheme.regions.iter().map(|stack| &*stack.region).collect();
    if has != regions {
        return Err(format!(
            "\"{}\" has the regions {}; the figure has {}",
            scheme.name,
            has.join(", "),
            regions.join(", ")
        ));
    }
    for stack in &scheme.regions {
        if stack.coats.len() != stack.mixes.len() {
            return Err(format!(
                "region \"{}\" of \"{}\" has {} coats and {} mixes",
                stack.region,
                scheme.name,
                stack.coats.len(),
                stack.mixes.len()
            ));
        }
        let places = stack.mixes.iter().flat_map(|mix| &mix.paints);
        if let Some((index, _)) = places
            .into_iter()
            .find(|(index, _)| *index >= paints.paints.len())
        {
            return Err(format!(
                "region \"{}\" of \"{}\" has paint number {index}; there are {}, from 0",
                stack.region,
                scheme.name,
                paints.paints.len()
            ));
        }
    }
    Ok(())
}

fn written_and_read(scheme: &Scheme, regions: &[String], paints: &PaintBox) -> Result<(), String> {
    let proposed = Proposed {
        scheme: scheme.clone(),
        remarks: Vec::new(),
        order: Vec::new(),
    };
    let text = guarded(|| schemes_text(&[proposed], paints, &[]))?;
    let name = &scheme.name;
    let source = SourceText::from_bytes("schemes.toml", text.into_bytes())
        .map_err(|problem| format!("\"{name}\" cannot be written: {}", problem.found))?;
    let read = read_schemes_file(&source)
        .and_then(|file| resolve(&file.value, regions, "figure.toml", paints, "paints.toml"));
    let read = read.map_err(|problems| {
        let found: Vec<&str> = problems.iter().map(|one| &*one.found).collect();
        format!("\"{name}\" cannot be read again: {}", found.join("; "))
    })?;
    match read.as_slice() {
        [one] if is_same(one, scheme) => Ok(()),
        [one] => Err(format!(
            "\"{name}\" differs after writing and reading it again: {}",
            difference(one, scheme)
        )),
        _ => Err(format!("\"{name}\" became {} schemes", read.len())),
    }
}

/// Everything except the tables of stages, which a scheme stage passes on.
fn is_same(one: &Scheme, other: &Scheme) -> bool {
    difference(one, other).is_empty()
}

/// Where two schemes differ; empty if they do not.
fn difference(one: &Scheme, other: &Scheme) -> String {
    if (&one.name, &one.team) != (&other.name, &other.team) {
        return "its name or team".to_owned();
    }
    if (one.undercoat, one.finish) != (other.undercoat, other.finish) {
        return "its undercoat or varnish".to_owned();
    }
    let stacks = one.regions.iter().zip(&other.regions);
    for (a, b) in stacks {
        if a.region != b.region || a.mixes != b.mixes || a.coats != b.coats {
            return format!(
                "region \"{}\" (take the optics of a mix from `paints.mixed(&mix)`)",
                a.region
            );
        }
    }
    if one.regions.len() == other.regions.len() {
        String::new()
    } else {
        "how many regions it has".to_owned()
    }
}
