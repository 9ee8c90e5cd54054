//! `index.html`: what a render made, for a painter to read at the desk.
//!
//! In: the job, the report of its render, a small picture of each scheme. Out: one page that can be sent alone: the pictures are in
//! it, and relative links lead to the larger ones next to it. Not here: tables, lists and the page's style (`html.rs`), comparing
//! schemes (`viewer.rs`).

use std::collections::BTreeSet;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use image::RgbImage;
use image::codecs::jpeg::JpegEncoder;
use image::imageops::thumbnail;
use maud::{Markup, html};
use velatura_document::Diagnostic;
use velatura_pipeline::figure::Origin;
use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::optics::coat::{Coat, Where};
use velatura_pipeline::optics::colour::luminance;
use velatura_pipeline::optics::mixture::Mix;
use velatura_pipeline::scheme::{MEDIUM, RegionStack, Scheme, brush_coats, named_parts};
use velatura_pipeline::{Job, SHEET_FILE, SheetPicture};

use crate::cautions::CAUTIONS;
use crate::html::{Column, chip, document_with_script, list, table};
use crate::report::{REPORT_FILE, RegionReport, Report, SchemeReport, SpillReport};
use crate::viewer::{SCRIPT, STYLE, viewer};
use crate::words::{place_phrase, trust_phrase, undercoat_phrase};

/// A page of ten schemes stays below 2 MB, and no block of the compression shows at arm's length (judged on the demo figures).
const JPEG_QUALITY: u8 = 88;

/// From the eyes to a figure on the other side of a table (common practice, no source).
const TABLE_MM: f64 = 1000.0;

/// Twice the width that the page gives it.
const SMALL_WIDTH_PX: u32 = 352;

/// Pictures next to their tables on a wide screen; in print one scheme per page, its picture as high as a third of it.
const PRINT_STYLE: &str = "
.sides { display: grid; grid-template-columns: minmax(0, 1fr); gap: 0 1.5rem; align-items: start; }
@media (min-width: 60rem) { .sides { grid-template-columns: minmax(0, 26rem) minmax(0, 1fr); } }
/* On a phone all schemes are a strip to swipe. */
@media (max-width: 40rem) {
  .all { flex-wrap: nowrap; overflow-x: auto; gap: 0.75rem; }
  .all .scheme { flex: 0 0 8.5rem; }
}
@media print {
  .scheme-page { break-before: page; }
  .sides { display: block; }
  .sides img { max-height: 10cm; width: auto; }
  .scheme { width: 3cm; }
}
";

/// The page's name in the output folder.
pub const PAGE_FILE: &str = "index.html";

/// The page of a render; `schemes` are those of the report, in its order, each with its picture. `size` is that of the pictures,
/// width × height in pixels.
pub fn index_page(
    job: &Job,
    schemes: &[(&Scheme, &PagePicture)],
    size: (u32, u32),
    report: &Report,
) -> String {
    let sections = schemes.iter().zip(&report.schemes);
    let body = html! {
        (head(job, report, schemes))
        (viewer(far_px(job)))
        (how_it_was_read(job, report, &photo(job, size)))
        @for (number, ((scheme, picture), reported)) in (1..).zip(sections) {
            (scheme_section(number, scheme, reported, picture, job))
        }
        (texts(report))
        (problems("left-out", "Left out", report.left_out.iter().flat_map(|one| &one.problems)))
        (problems("warnings", "What could be better", job.warnings.iter()))
        section #care {
            h2 { "With care" }
            (list(CAUTIONS))
        }
    };
    let style = format!("{STYLE}{PRINT_STYLE}");
    document_with_script(
        &format!("{}: schemes", job.figure.name),
        &style,
        SCRIPT,
        &html! { main { (body) } },
    )
}

/// A scheme's picture as data inside the page.
#[derive(Debug, Clone)]
pub struct PagePicture {
    /// Among all others.
    small: String,
    /// Next to its table.
    large: String,
}

impl PagePicture {
    /// Compresses a picture.
    #[must_use]
    pub fn new(picture: &SheetPicture) -> Self {
        let picture = as_image(picture);
        Self {
            small: jpeg_data(&small(&picture)),
            large: jpeg_data(&picture),
        }
    }
}

fn head(job: &Job, report: &Report, schemes: &[(&Scheme, &PagePicture)]) -> Markup {
    let name = &job.figure.name;
    let count = match report.schemes.len() {
        1 => "One scheme".to_owned(),
        count => format!("{count} schemes"),
    };
    html! {
        h1 { (name) }
        p.lead { (count) ", in the colours that the paint dries to." }
        nav.row.ground.all aria-label="Schemes" {
            @for (number, (scheme, picture)) in (1..).zip(schemes) {
                a.scheme href={ "#scheme-" (number) } {
                    img src=(picture.small) alt={ (name) " painted as " (scheme.name) };
                    (scheme.name)
                }
            }
        }
    }
}

fn how_it_was_read(job: &Job, report: &Report, photo: &RgbImage) -> Markup {
    html! {
        section {
            h2 { "The photo" }
            div.sides {
                p { img src=(jpeg_data(photo)) data-view="the photo" alt={ (job.figure.name) " before painting" }; }
                (undercoat_table(report))
            }
            p data-files="" {
                "Next to this page: the contact sheet "
                a href=(SHEET_FILE) { (SHEET_FILE) }
                ", and all numbers for programs, "
                a href=(REPORT_FILE) { (REPORT_FILE) }
                "."
            }
        }
    }
}

/// The photo as the schemes are shown.
fn photo(job: &Job, (width, height): (u32, u32)) -> RgbImage {
    let planes = &job.underpainting;
    let crop = planes.crop_box();
    let subject = planes.reduced(crop, width, height).subject;
    let samples = subject.photo.as_flattened().to_vec();
    RgbImage::from_raw(width, height, samples).expect("a picture has as many pixels as asked for")
}

/// How wide the pictures look to someone who stands [`TABLE_MM`] from the figure, in pixels of CSS; `None` without a figure.
///
/// A pixel of CSS is 1/96 inch seen from 28 inches (W3C, CSS Values and Units Level 4, 6.2).
fn far_px(job: &Job) -> Option<f64> {
    let figure = job.underpainting.subject.figure_box()?;
    let crop = job.underpainting.crop_box();
    let px_per_mm = f64::from(figure.height) / job.figure.height_mm;
    let wide_mm = f64::from(crop.width) / px_per_mm;
    Some(wide_mm * 28.0 * 96.0 / TABLE_MM)
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

fn as_image(picture: &SheetPicture) -> RgbImage {
    let samples = picture.pixels.as_flattened().to_vec();
    RgbImage::from_raw(picture.width, picture.height, samples)
        .expect("a picture has as many pixels as its sides say")
}

/// The picture among all others, wide enough for a screen with two pixels per point.
fn small(picture: &RgbImage) -> RgbImage {
    let (width, height) = picture.dimensions();
    let narrow = width.min(SMALL_WIDTH_PX);
    let low = u64::from(height) * u64::from(narrow) / u64::from(width.max(1));
    thumbnail(picture, narrow, u32::try_from(low).unwrap_or(1).max(1))
}

/// A picture as JPEG inside a page.
fn jpeg_data(picture: &RgbImage) -> String {
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, JPEG_QUALITY)
        .encode_image(picture)
        .expect("memory takes all, and the picture is as large as it says");
    format!("data:image/jpeg;base64,{}", STANDARD.encode(jpeg))
}

fn source_phrase(from: Origin) -> &'static str {
    match from {
        Origin::Given => "set in the figure file",
        Origin::Estimated => "estimated from the photo",
        Origin::Measured => "measured from the light photo",
    }
}

fn scheme_section(
    number: usize,
    scheme: &Scheme,
    reported: &SchemeReport,
    picture: &PagePicture,
    job: &Job,
) -> Markup {
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
        section.scheme-page id={ "scheme-" (number) } data-scheme=(scheme.name) data-paints=(paints_of(scheme, &job.paints)) {
            h2 { (scheme.name) }
            p.quiet { (facts.join(" · ")) }
            div.sides {
                p { img src=(picture.large) data-view=(scheme.name) alt={ (job.figure.name) " painted as " (scheme.name) }; }
                div {
                    (coats_table(scheme, reported, &order, &job.paints))
                    (spills_phrase(&reported.spills))
                    @if let Some(path) = &reported.preview {
                        p data-files="" { "At full size, next to this page: " a href=(path) { (path) } }
                    }
                }
            }
            details {
                summary { "Colours as numbers" }
                (regions_table(&scheme.regions, &reported.regions, job))
            }
        }
    }
}

/// The names of the paints in a scheme, as JSON for the page's script.
fn paints_of(scheme: &Scheme, paints: &PaintBox) -> String {
    let mixes = scheme.regions.iter().flat_map(|stack| &stack.mixes);
    let names: BTreeSet<&str> = mixes
        .flat_map(|mix| named_parts(mix, paints))
        .map(|(name, _)| name)
        .filter(|name| *name != MEDIUM)
        .collect();
    serde_json::json!(names).to_string()
}

/// Coats in painting order: region after region from light to dark, in each the lowest first.
fn coats_table(
    scheme: &Scheme,
    reported: &SchemeReport,
    order: &[usize],
    paints: &PaintBox,
) -> Markup {
    let columns = [
        Column::Text("part"),
        Column::Text("mix, parts by volume"),
        Column::Text("how"),
        Column::Text("on the figure, and flat"),
        Column::Text("how sure"),
    ];
    let mut rows: Vec<Vec<Markup>> = Vec::new();
    for (stack, seen) in order
        .iter()
        .map(|region| (&scheme.regions[*region], &reported.regions[*region]))
    {
        let last = stack.coats.len().saturating_sub(1);
        for (at, (coat, mix)) in stack.coats.iter().zip(&stack.mixes).enumerate() {
            let number = rows.len() + 1;
            // All coats of a part together give its colour.
            let colours = (at == last).then(|| two_chips(seen));
            rows.push(vec![
                html! { (number) ". " (stack.region) },
                html! { (mix_phrase(mix, paints)) },
                html! { (coat_phrase(coat)) (glint_phrase(mix, paints)) },
                html! { @match colours { Some(colours) => (colours), None => "–" } },
                html! { @if at == last { (sure_phrase(stack.trust.delta_e)) } @else { "–" } },
            ]);
        }
    }
    table(
        "Coats in painting order, light parts first. Film 1 is as thick as the drawdown. Colours: what the eye sees on this figure, and next to it the paint alone, flat on mid grey.",
        &columns,
        &rows,
    )
}

/// What the eye sees on the figure, and the paint alone.
fn two_chips(region: &RegionReport) -> Markup {
    html! {
        @if region.pixels > 0 { (chip(region.mean_srgb)) " " }
        @if let Some(dried) = region.dried_srgb { (chip(dried)) }
    }
}

/// How a coat is laid.
fn coat_phrase(coat: &Coat) -> String {
    let mut words = vec![format!("{} (film {})", brush_coats(coat.film), coat.film)];
    if coat.place != Where::All {
        words.push(format!("only {}", place_phrase(coat)));
    }
    if coat.pooling > 0.0 {
        words.push(format!("runs into the recesses ({})", coat.pooling));
    }
    words.join(", ")
}

/// What the picture of a coat lacks if metal glints in it.
fn glint_phrase(mix: &Mix, paints: &PaintBox) -> &'static str {
    let mut parts = mix.paints.iter();
    match parts.any(|(place, _)| paints.paints[*place].metallic) {
        true => ", metallic: its glint is not shown",
        false => "",
    }
}

/// How far to trust a colour, in words. Borders between them: common practice, no source.
fn sure_phrase(delta_e: f64) -> String {
    let word = match delta_e {
        e if e <= 1.0 => "exact",
        e if e <= 3.0 => "close",
        e if e <= 7.0 => "a good guess",
        _ => "a rough guess",
    };
    format!("{word} (ΔE {delta_e:.1})")
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
