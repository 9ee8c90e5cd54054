//! `index.html`: what a render made, for a painter to read at the desk.
//!
//! In: the job and the report of its render. Out: one page without scripts that shows the files next to it by relative
//! links and says how far to trust each colour. Not here: tables, lists and the page's style (`html.rs`).

use maud::{Markup, html};
use velatura_document::Diagnostic;
use velatura_pipeline::figure::Origin;
use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::optics::colour::luminance;
use velatura_pipeline::optics::mixture::Mix;
use velatura_pipeline::scheme::{RegionStack, Scheme, named_parts};
use velatura_pipeline::{Job, SHEET_FILE};

use crate::cautions::CAUTIONS;
use crate::html::{Column, chip, document, list, table};
use crate::report::{REPORT_FILE, RegionReport, Report, SchemeReport, SpillReport};
use crate::words::{place_word, trust_phrase, undercoat_phrase};

/// The page's name in the output folder.
pub const PAGE_FILE: &str = "index.html";

/// The page of a render; `schemes` are those of the report, in its order.
pub fn index_page(job: &Job, schemes: &[&Scheme], report: &Report) -> String {
    let body = html! {
        (head(job, report))
        @for (number, (scheme, reported)) in (1..).zip(schemes.iter().zip(&report.schemes)) {
            (scheme_section(number, scheme, reported, job))
        }
        (texts(report))
        (problems("left-out", "Left out", report.left_out.iter().flat_map(|one| &one.problems)))
        (problems("warnings", "What could be better", job.warnings.iter()))
        section #care {
            h2 { "With care" }
            (list(CAUTIONS))
        }
    };
    document(&format!("{}: schemes", job.figure.name), "", &body)
}

fn head(job: &Job, report: &Report) -> Markup {
    let name = &job.figure.name;
    let count = match report.schemes.len() {
        1 => "One scheme".to_owned(),
        count => format!("{count} schemes"),
    };
    let contents = report.schemes.iter().enumerate().map(|(index, scheme)| {
        html! { a href={ "#scheme-" (index + 1) } { (scheme.name) } }
    });
    html! {
        h1 { (name) }
        p.lead { (count) ", in the colours that the paint dries to." }
        p {
            a href=(SHEET_FILE) {
                img src=(SHEET_FILE) alt={ "All schemes on " (name) ", side by side" };
            }
        }
        p {
            "All numbers of this page and more, for programs: "
            a href=(REPORT_FILE) { (REPORT_FILE) }
            "."
        }
        nav aria-label="Schemes" { (list(contents)) }
        (undercoat_table(report))
    }
}

fn undercoat_table(report: &Report) -> Markup {
    let undercoat = &report.undercoat;
    let share = undercoat.light_share.value.0;
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
            html! { (format!("{share:.2}")) },
            undercoat.light_share.from,
        ),
    ];
    let rows = points
        .map(|(what, value, from)| vec![html! { (what) }, value, html! { (source_phrase(from)) }]);
    let columns = [
        Column::Text("in full light"),
        Column::Text("value"),
        Column::Text("from"),
    ];
    table("How the photo was read", &columns, &rows)
}

fn source_phrase(from: Origin) -> &'static str {
    match from {
        Origin::Given => "set in the figure file",
        Origin::Estimated => "estimated from the photo",
        Origin::Measured => "measured from the light photo",
    }
}

fn scheme_section(number: usize, scheme: &Scheme, reported: &SchemeReport, job: &Job) -> Markup {
    let undercoat = undercoat_phrase(scheme.undercoat, job.figure.undercoat.kind.value);
    let mut finish = reported.finish.clone();
    for name in &reported.finishes {
        finish += &format!(", {name}");
    }
    let facts = [scheme.team.as_str(), finish.as_str(), undercoat];
    let facts: Vec<&str> = facts
        .into_iter()
        .filter(|fact| !fact.trim().is_empty())
        .collect();
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
    html! {
        section id={ "scheme-" (number) } {
            h2 { (scheme.name) }
            p.quiet { (facts.join(" · ")) }
            @if let Some(path) = &reported.preview {
                p {
                    a href=(path) {
                        img src=(path) alt={ (job.figure.name) " painted as " (scheme.name) }
                            loading="lazy" width="480";
                    }
                }
            }
            (coats_table(scheme, &order, &job.paints))
            (regions_table(&scheme.regions, &reported.regions, job))
            (spills_phrase(&reported.spills))
        }
    }
}

/// Coats in painting order: region after region from light to dark, in each the lowest first.
fn coats_table(scheme: &Scheme, order: &[usize], paints: &PaintBox) -> Markup {
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
    let rows: Vec<Vec<Markup>> = coats
        .enumerate()
        .map(|(index, (stack, coat, mix))| {
            vec![
                html! { (index + 1) },
                html! { (stack.region) },
                html! { (mix_phrase(mix, paints)) },
                html! { (coat.film) },
                html! { (place_word(coat.place)) },
                html! { (coat.pooling) },
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
fn spills_phrase(spills: &[SpillReport]) -> Markup {
    let worst: Vec<String> = spills
        .iter()
        .take(3)
        .map(|spill| {
            format!(
                "{} onto {} (ΔE {:.0})",
                spill.from, spill.onto, spill.delta_e.0
            )
        })
        .collect();
    html! {
        @if !worst.is_empty() {
            p {
                "Paint carefully here. A slip shows worst where paint runs from "
                (worst.join(", from ")) "."
            }
        }
    }
}

fn mix_phrase(mix: &Mix, paints: &PaintBox) -> String {
    let parts: Vec<String> = named_parts(mix, paints)
        .map(|(name, parts)| format!("{parts} {name}"))
        .collect();
    parts.join(" + ")
}

fn regions_table(stacks: &[RegionStack], reported: &[RegionReport], job: &Job) -> Markup {
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
    let rows: Vec<Vec<Markup>> = stacks
        .iter()
        .zip(reported)
        .map(|(stack, reported)| {
            let dried = stack.chip(&job.paints);
            let seen = reported.pixels > 0;
            let or_dash = |shown: Option<Markup>| shown.unwrap_or_else(|| html! { "–" });
            let number = |luminance: f64| html! { (format!("{luminance:.3}")) };
            vec![
                html! { (stack.region) },
                or_dash(dried.map(|colour| chip(colour.encoded()))),
                or_dash(seen.then(|| chip(reported.mean_srgb))),
                or_dash(dried.map(|colour| number(luminance(colour)))),
                or_dash(seen.then(|| number(reported.luminance.0))),
                html! { (stack.trust.basis) },
                html! { (format!("{:.1}", stack.trust.delta_e)) },
                html! { (trust_phrase(stack.trust.basis)) },
            ]
        })
        .collect();
    table("Colours", &columns, &rows)
}

/// What stages wrote next to the sheet.
fn texts(report: &Report) -> Markup {
    let links = report
        .texts
        .iter()
        .map(|path| html! { a href=(path) { (path) } });
    html! {
        @if !report.texts.is_empty() {
            section #texts {
                h2 { "Further files" }
                (list(links))
            }
        }
    }
}

fn problems<'a>(id: &str, heading: &str, problems: impl Iterator<Item = &'a Diagnostic>) -> Markup {
    let points: Vec<Markup> = problems.map(point).collect();
    html! {
        @if !points.is_empty() {
            section id=(id) {
                h2 { (heading) }
                (list(points))
            }
        }
    }
}

fn point(problem: &Diagnostic) -> Markup {
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
    html! {
        (place) (problem.found)
        @for (label, part) in parts {
            @if let Some(part) = part {
                br;
                span.quiet { (label) ":" }
                " " (part)
            }
        }
    }
}
