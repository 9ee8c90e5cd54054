//! `pair.html`: the pair's page for a browser, every picture inside it.
//!
//! In: the report and its pictures. Out: one self-contained page. Not here: tables, lists and the page's style
//! (`html.rs` of `velatura-report`), the words (`words.rs`).

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use image::RgbImage;
use maud::{Markup, html};
use velatura_pipeline::Error;

use super::pictures::{Pictures, Standing};
use super::report::{PairReport, TeamReport, ViewReport};
use super::words;
use velatura_report::html::{Column, chip, document, joined, list, table};
use velatura_sheet::write_picture;

/// The page.
///
/// # Errors
/// A picture that cannot be encoded.
pub(crate) fn page(report: &PairReport, pictures: &Pictures) -> Result<String, Error> {
    let title = words::title(report);
    let body = html! {
        h1 { (title) }
        p.lead { (words::verdict_sentence(report)) }
        (close_up(report, pictures)?)
        (other_eyes(report, pictures)?)
        (from_the_table(report, pictures)?)
        section {
            h2 { "In numbers" }
            @for view in &report.views {
                (figures_table(view, report))
            }
        }
        section {
            h2 { "Regions, close up" }
            @for team in &report.teams {
                (regions_table(team))
            }
        }
        section {
            h2 { "How this was made" }
            (list(words::notes(report)))
        }
        (warnings(report))
    };
    Ok(document(&title, "", &body))
}

fn close_up(report: &PairReport, pictures: &Pictures) -> Result<Markup, Error> {
    let widths = pictures.close_up.each_ref().map(|one| one.picture.width());
    let widest = f64::from(widths[0].max(widths[1]).max(1));
    Ok(html! {
        section {
            h2 { "Close up, at one scale" }
            div.row.ground {
                @for (team, standing) in report.teams.iter().zip(&pictures.close_up) {
                    @let alt = format!("{} painted as {}, close up", team.figure, team.scheme);
                    // On a narrow screen both shrink by the same factor.
                    @let width = standing.picture.width();
                    @let share = 100.0 * f64::from(width) / widest;
                    figure style={ "width:min(" (width) "px," (format!("{share:.2}")) "%)" } {
                        (img(&standing.picture, &alt)?)
                        figcaption {
                            strong { (team.scheme) }
                            @for line in words::team_lines(team) {
                                br;
                                (line)
                            }
                            br;
                            (chip(team.dominant.srgb)) " " (words::dominant(team))
                        }
                    }
                }
            }
        }
    })
}

fn other_eyes(report: &PairReport, pictures: &Pictures) -> Result<Markup, Error> {
    Ok(html! {
        section {
            h2 { "With other colour vision" }
            div.row.ground {
                @for (sight, pair) in &pictures.eyes {
                    @let whose = words::eye_title(*sight, report);
                    @let eye = report.views[0].eyes.iter().find(|eye| eye.sight == *sight);
                    figure {
                        @for (team, Standing { picture, .. }) in report.teams.iter().zip(pair) {
                            (img(picture, &format!("{} as seen with: {whose}", team.scheme))?)
                        }
                        figcaption {
                            strong { (whose) }
                            br;
                            (eye.map_or(String::new(), words::eye_line))
                        }
                    }
                }
            }
        }
    })
}

fn from_the_table(report: &PairReport, pictures: &Pictures) -> Result<Markup, Error> {
    let views = report
        .views
        .iter()
        .filter(|view| view.distance_mm.is_some());
    Ok(html! {
        section {
            h2 { "From across the table" }
            @for (view, pair) in views.zip(&pictures.table) {
                (strip(view, pair, report)?)
            }
        }
    })
}

/// Both teams in rows, as one view shows them.
fn strip(view: &ViewReport, pair: &[RgbImage; 2], report: &PairReport) -> Result<Markup, Error> {
    let shown = [0, 1].map(|index: usize| in_row(&pair[index], report.teams[index].count));
    let [title, line] = words::strip_labels(view, report, shown);
    Ok(html! {
        h3 { (title) }
        p { (line) }
        div.strip.ground role="region" tabindex="0" aria-label=(title) {
            @for ((team, picture), shown) in report.teams.iter().zip(pair).zip(shown) {
                @let view = words::view_title(view);
                @let alt = format!("{shown} figures of {}, {view}", team.scheme);
                div { (img(&row_of(picture, shown), &alt)?) }
            }
        }
    })
}

/// Figures in a row at most: the row can be scrolled, and a page stays small.
const MOST_IN_ROW: u32 = 40;
/// Pixels of a row at most, if it has more than one figure.
const MOST_ROW_PX: u32 = 12_000_000;

/// How many figures of a team one row shows.
fn in_row(picture: &RgbImage, count: u32) -> u32 {
    let fitting = MOST_ROW_PX / (picture.width() * picture.height()).max(1);
    count.min(MOST_IN_ROW).min(fitting.max(1))
}

/// The same picture repeated in a row.
fn row_of(picture: &RgbImage, count: u32) -> RgbImage {
    let wide = picture.width();
    RgbImage::from_fn(wide * count, picture.height(), |x, y| {
        *picture.get_pixel(x % wide, y)
    })
}

fn figures_table(view: &ViewReport, report: &PairReport) -> Markup {
    let columns = [
        Column::Text("vision"),
        Column::Text("dominant colours"),
        Column::Number("distance"),
        Column::Number("of hue and chroma"),
        Column::Number("of lightness"),
        Column::Number("ΔE of dominant"),
        Column::Number("ΔL*"),
        Column::Number("contrast"),
        Column::Text("verdict"),
        Column::Text("closest regions, ΔE"),
    ];
    let rows: Vec<Vec<Markup>> = view
        .eyes
        .iter()
        .map(|eye| {
            let [distance, lightness, michelson] = words::numbers(eye);
            let near = eye.nearest.iter().map(|near| {
                let pair = format!("{} / {} {:.1}", near.first, near.second, near.delta_e.0);
                html! { (pair) }
            });
            vec![
                html! { (words::eye_title(eye.sight, report)) },
                joined(eye.dominant_srgb.map(chip), &html! { " " }),
                html! { (distance) },
                html! { (format!("{:.1}", eye.distance_hue_and_chroma.0)) },
                html! { (format!("{:.1}", eye.distance_lightness.0)) },
                html! { (format!("{:.1}", eye.delta_e.0)) },
                html! { (lightness) },
                html! { (michelson) },
                html! { (eye.grade) },
                joined(near, &html! { br; }),
            ]
        })
        .collect();
    table(&words::view_title(view), &columns, &rows)
}

fn regions_table(team: &TeamReport) -> Markup {
    let columns = [
        Column::Text("region"),
        Column::Number("share"),
        Column::Text("mean colour"),
        Column::Number("L*"),
        Column::Number("luminance"),
        Column::Text("basis"),
    ];
    let rows: Vec<Vec<Markup>> = team
        .regions
        .iter()
        .map(|part| {
            vec![
                html! { (part.name) },
                html! { (format!("{:.1} %", part.share.0 * 100.0)) },
                chip(part.mean_srgb),
                html! { (format!("{:.1}", part.mean_lab.0[0])) },
                html! { (format!("{:.3}", part.luminance.0)) },
                html! { (part.basis) },
            ]
        })
        .collect();
    table(&team.scheme, &columns, &rows)
}

fn warnings(report: &PairReport) -> Markup {
    let points = report
        .warnings
        .iter()
        .map(|warning| format!("{}: {}", warning.file, warning.found));
    html! {
        @if !report.warnings.is_empty() {
            section {
                h2 { "What could be better" }
                (list(points))
            }
        }
    }
}

/// A picture inside the page, at its own size where there is room.
fn img(picture: &RgbImage, alt: &str) -> Result<Markup, Error> {
    let (width, height) = picture.dimensions();
    let png = write_picture(Vec::new(), picture).map_err(|error| error.at("pair.html"))?;
    let data = STANDARD.encode(png);
    Ok(html! {
        img src={ "data:image/png;base64," (data) } alt=(alt) width=(width) height=(height);
    })
}
