//! `index.html`: what a render made, for a painter to read at the desk.
//!
//! In: the job and the report of its render. Out: one page without scripts that shows the files next to it by relative
//! links and says how far to trust each colour. Not here: HTML's own rules (`html.rs`).

use velatura_document::Diagnostic;
use velatura_pipeline::figure::Origin;
use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::optics::colour::luminance;
use velatura_pipeline::optics::mixture::Mix;
use velatura_pipeline::scheme::{RegionStack, Scheme, named_parts};
use velatura_pipeline::{Job, SHEET_FILE};

use crate::cautions::CAUTIONS;
use crate::html::{Column, chip, document, escaped, list, table};
use crate::report::{REPORT_FILE, RegionReport, Report, SchemeReport, SpillReport};
use crate::words::{place_word, trust_phrase, undercoat_phrase};

/// The page's name in the output folder.
pub const PAGE_FILE: &str = "index.html";

/// The page of a render; `schemes` are those of the report, in its order.
pub fn index_page(job: &Job, schemes: &[&Scheme], report: &Report) -> String {
    let mut body = head(job, report);
    for (number, (scheme, reported)) in schemes.iter().zip(&report.schemes).enumerate() {
        body += &scheme_section(number + 1, scheme, reported, job);
    }
    body += &texts(report);
    body += &left_out(report);
    body += &warnings(job);
    let cautions: Vec<String> = CAUTIONS.iter().map(|text| escaped(text)).collect();
    body += &format!(
        "<section id=\"care\">\n<h2>With care</h2>\n{}</section>\n",
        list(&cautions)
    );
    document(&format!("{}: schemes", job.figure.name), &body)
}

fn head(job: &Job, report: &Report) -> String {
    let name = escaped(&job.figure.name);
    let count = match report.schemes.len() {
        1 => "One scheme".to_owned(),
        count => format!("{count} schemes"),
    };
    let undercoat = &report.undercoat;
    let points = [
        (
            "bare dark primer",
            chip(undercoat.black.value),
            undercoat.black.from,
        ),
        (
            "brightest undercoat",
            chip(undercoat.white.value),
            undercoat.white.from,
        ),
        (
            "share of the tones caused by light and shade",
            format!("{:.2}", undercoat.light_share.value.0),
            undercoat.light_share.from,
        ),
    ];
    let rows: Vec<Vec<String>> = points
        .into_iter()
        .map(|(what, value, from)| vec![what.to_owned(), value, source_phrase(from).to_owned()])
        .collect();
    let columns = [
        Column::Text("in full light"),
        Column::Text("value"),
        Column::Text("from"),
    ];
    let contents: Vec<String> = report
        .schemes
        .iter()
        .enumerate()
        .map(|(index, scheme)| {
            format!(
                "<a href=\"#scheme-{}\">{}</a>",
                index + 1,
                escaped(&scheme.name)
            )
        })
        .collect();
    format!(
        "<h1>{name}</h1>\n<p class=\"lead\">{count}, in the colours that the paint dries to.</p>\n\
         <p><a href=\"{SHEET_FILE}\"><img src=\"{SHEET_FILE}\" alt=\"All schemes on {name}, side by side\"/></a></p>\n\
         <p>All numbers of this page and more, for programs: <a href=\"{REPORT_FILE}\">{REPORT_FILE}</a>.</p>\n\
         <nav aria-label=\"Schemes\">\n{}</nav>\n{}",
        list(&contents),
        table("How the photo was read", &columns, &rows)
    )
}

fn source_phrase(from: Origin) -> &'static str {
    match from {
        Origin::Given => "set in the figure file",
        Origin::Estimated => "estimated from the photo",
        Origin::Measured => "measured from the light photo",
    }
}

fn scheme_section(number: usize, scheme: &Scheme, reported: &SchemeReport, job: &Job) -> String {
    let name = escaped(&scheme.name);
    let undercoat = undercoat_phrase(scheme.undercoat, job.figure.undercoat.kind.value);
    let mut finish = reported.finish.clone();
    for name in &reported.finishes {
        finish += &format!(", {name}");
    }
    let facts = [scheme.team.as_str(), finish.as_str(), undercoat];
    let facts: Vec<String> = facts
        .into_iter()
        .filter(|fact| !fact.trim().is_empty())
        .map(escaped)
        .collect();
    let picture = reported.preview.as_ref().map_or(String::new(), |path| {
        let path = escaped(path);
        let alt = format!("{} painted as {name}", escaped(&job.figure.name));
        format!(
            "<p><a href=\"{path}\"><img src=\"{path}\" alt=\"{alt}\" loading=\"lazy\" width=\"480\"/></a></p>\n"
        )
    });
    let order: Vec<usize> = reported
        .order
        .iter()
        .filter_map(|name| {
            scheme
                .regions
                .iter()
                .position(|stack| stack.region == *name)
        })
        .collect();
    format!(
        "<section id=\"scheme-{number}\">\n<h2>{name}</h2>\n<p class=\"quiet\">{}</p>\n{picture}{}{}{}</section>\n",
        facts.join(" · "),
        coats_table(scheme, &order, &job.paints),
        regions_table(&scheme.regions, &reported.regions, job),
        spills_phrase(&reported.spills),
    )
}

/// Coats in painting order: region after region from light to dark, in each the lowest first.
fn coats_table(scheme: &Scheme, order: &[usize], paints: &PaintBox) -> String {
    let columns = [
        Column::Number("coat"),
        Column::Text("region"),
        Column::Text("mix, parts by volume"),
        Column::Number("film"),
        Column::Text("where"),
        Column::Number("pooling"),
    ];
    let coats = order
        .iter()
        .map(|region| &scheme.regions[*region])
        .flat_map(|stack| {
            stack
                .coats
                .iter()
                .zip(&stack.mixes)
                .map(move |(coat, mix)| (stack, coat, mix))
        });
    let rows: Vec<Vec<String>> = coats
        .enumerate()
        .map(|(index, (stack, coat, mix))| {
            vec![
                (index + 1).to_string(),
                escaped(&stack.region),
                mix_phrase(mix, paints),
                coat.film.to_string(),
                place_word(coat.place).to_owned(),
                coat.pooling.to_string(),
            ]
        })
        .collect();
    table(
        "Coats in painting order, light regions first; film 1 is as thick as the drawdown",
        &columns,
        &rows,
    )
}

/// The worst slips of the brush, in a sentence.
fn spills_phrase(spills: &[SpillReport]) -> String {
    let worst: Vec<String> = spills
        .iter()
        .take(3)
        .map(|spill| {
            let (from, onto) = (escaped(&spill.from), escaped(&spill.onto));
            format!("{from} onto {onto} (ΔE {:.0})", spill.delta_e.0)
        })
        .collect();
    if worst.is_empty() {
        return String::new();
    }
    format!(
        "<p>Paint carefully here. A slip shows worst where paint runs from {}.</p>\n",
        worst.join(", from ")
    )
}

fn mix_phrase(mix: &Mix, paints: &PaintBox) -> String {
    let parts: Vec<String> = named_parts(mix, paints)
        .map(|(name, parts)| format!("{parts} {}", escaped(name)))
        .collect();
    parts.join(" + ")
}

fn regions_table(stacks: &[RegionStack], reported: &[RegionReport], job: &Job) -> String {
    let columns = [
        Column::Text("region"),
        Column::Text("dried on mid grey"),
        Column::Text("mean on the figure"),
        Column::Number("luminance on mid grey"),
        Column::Number("luminance on the figure"),
        Column::Text("basis"),
        Column::Number("usual error, ΔE"),
        Column::Text("how reliable it is"),
    ];
    let rows: Vec<Vec<String>> = stacks
        .iter()
        .zip(reported)
        .map(|(stack, reported)| {
            let dried = stack.chip(&job.paints);
            let seen = reported.pixels > 0;
            let or_dash = |shown: Option<String>| shown.unwrap_or_else(|| "–".to_owned());
            vec![
                escaped(&stack.region),
                or_dash(dried.map(|colour| chip(colour.encoded()))),
                or_dash(seen.then(|| chip(reported.mean_srgb))),
                or_dash(dried.map(|colour| format!("{:.3}", luminance(colour)))),
                or_dash(seen.then(|| format!("{:.3}", reported.luminance.0))),
                stack.trust.basis.to_string(),
                format!("{:.1}", stack.trust.delta_e),
                trust_phrase(stack.trust.basis).to_owned(),
            ]
        })
        .collect();
    table("Colours", &columns, &rows)
}

fn warnings(job: &Job) -> String {
    section("warnings", "What could be better", job.warnings.iter())
}

/// What stages wrote next to the sheet.
fn texts(report: &Report) -> String {
    if report.texts.is_empty() {
        return String::new();
    }
    let link = |path: &String| format!("<a href=\"{0}\">{0}</a>", escaped(path));
    let links: Vec<String> = report.texts.iter().map(link).collect();
    format!(
        "<section id=\"texts\">\n<h2>Further files</h2>\n{}</section>\n",
        list(&links)
    )
}

/// What was left out of the pictures, at the top.
fn left_out(report: &Report) -> String {
    let problems = report
        .left_out
        .iter()
        .flat_map(|left_out| &left_out.problems);
    section("left-out", "Left out", problems)
}

fn section<'a>(id: &str, heading: &str, problems: impl Iterator<Item = &'a Diagnostic>) -> String {
    let points: Vec<String> = problems.map(point).collect();
    if points.is_empty() {
        return String::new();
    }
    format!(
        "<section id=\"{id}\">\n<h2>{heading}</h2>\n{}</section>\n",
        list(&points)
    )
}

fn point(problem: &Diagnostic) -> String {
    let place = match &problem.place {
        Some(place) => format!("{}:{}:{}: ", problem.file, place.line, place.column),
        None if problem.file.is_empty() => String::new(),
        None => format!("{}: ", problem.file),
    };
    let help = problem.help.as_ref().map(ToString::to_string);
    let parts = [
        ("in", &problem.within),
        ("expected", &problem.expected),
        ("help", &help),
    ];
    let parts = parts.into_iter().filter_map(|(label, part)| {
        let part = escaped(part.as_ref()?);
        Some(format!("<br/><span class=\"quiet\">{label}:</span> {part}"))
    });
    escaped(&format!("{place}{}", problem.found)) + &parts.collect::<String>()
}
