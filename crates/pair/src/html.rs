//! `pair.html`: the pair's page for a browser, every picture inside it.
//!
//! In: the report and its pictures. Out: one self-contained page. Not here: HTML escaping and layout (`html.rs` of
//! `velatura-report`), the words (`words.rs`).

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use image::RgbImage;
use velatura_pipeline::Error;

use super::pictures::{Pictures, Standing};
use super::report::{PairReport, TeamReport, ViewReport};
use super::words;
use velatura_report::html::{Column, chip, document, escaped, list, table};
use velatura_sheet::write_picture;

/// The page.
///
/// # Errors
/// A picture that cannot be encoded.
pub(crate) fn page(report: &PairReport, pictures: &Pictures) -> Result<String, Error> {
    let title = words::title(report);
    let mut body = format!(
        "<h1>{}</h1>\n<p class=\"lead\">{}</p>\n",
        escaped(&title),
        escaped(&words::verdict_sentence(report))
    );
    body += &close_up(report, pictures)?;
    body += &other_eyes(report, pictures)?;
    body += &from_the_table(report, pictures)?;
    body += "<section>\n<h2>In numbers</h2>\n";
    for view in &report.views {
        body += &figures_table(view, report);
    }
    body += "</section>\n<section>\n<h2>Regions, close up</h2>\n";
    for team in &report.teams {
        body += &regions_table(team);
    }
    let notes: Vec<String> = words::notes(report)
        .iter()
        .map(|note| escaped(note))
        .collect();
    body += &format!(
        "</section>\n<section>\n<h2>How this was made</h2>\n{}</section>\n",
        list(&notes)
    );
    body += &warnings(report);
    Ok(document(&title, &body))
}

fn close_up(report: &PairReport, pictures: &Pictures) -> Result<String, Error> {
    let mut section =
        "<section>\n<h2>Close up, at one scale</h2>\n<div class=\"row ground\">\n".to_owned();
    for (team, standing) in report.teams.iter().zip(&pictures.close_up) {
        let alt = format!("{} painted as {}, close up", team.figure, team.scheme);
        let lines: Vec<String> = words::team_lines(team)
            .iter()
            .map(|line| escaped(line))
            .collect();
        section += &format!(
            "<figure>{}<figcaption><strong>{}</strong><br/>{}<br/>{} {}</figcaption></figure>\n",
            img(&standing.picture, &alt)?,
            escaped(&team.scheme),
            lines.join("<br/>"),
            chip(team.dominant.srgb),
            escaped(&words::dominant(team)),
        );
    }
    Ok(section + "</div>\n</section>\n")
}

fn other_eyes(report: &PairReport, pictures: &Pictures) -> Result<String, Error> {
    let mut section =
        "<section>\n<h2>With other colour vision</h2>\n<div class=\"row ground\">\n".to_owned();
    for (sight, pair) in &pictures.eyes {
        let whose = words::eye_title(*sight, report);
        let eye = report.views[0].eyes.iter().find(|eye| eye.sight == *sight);
        let line = eye.map_or(String::new(), words::eye_line);
        section += "<figure>";
        for (team, Standing { picture, .. }) in report.teams.iter().zip(pair) {
            section += &img(picture, &format!("{} as seen with: {whose}", team.scheme))?;
        }
        section += &format!(
            "<figcaption><strong>{}</strong><br/>{}</figcaption></figure>\n",
            escaped(&whose),
            escaped(&line)
        );
    }
    Ok(section + "</div>\n</section>\n")
}

fn from_the_table(report: &PairReport, pictures: &Pictures) -> Result<String, Error> {
    let mut section = "<section>\n<h2>From across the table</h2>\n".to_owned();
    let views = report
        .views
        .iter()
        .filter(|view| view.distance_mm.is_some());
    for (view, pair) in views.zip(&pictures.table) {
        let shown = [0, 1].map(|index: usize| in_row(&pair[index], report.teams[index].count));
        let labels = words::strip_labels(view, report, shown);
        section += &format!(
            "<h3>{}</h3>\n<p>{}</p>\n<div class=\"strip ground\" role=\"region\" tabindex=\"0\" aria-label=\"{}\">\n",
            escaped(&labels[0]),
            escaped(&labels[1]),
            escaped(&labels[0])
        );
        for ((team, picture), shown) in report.teams.iter().zip(pair).zip(shown) {
            let alt = format!(
                "{shown} figures of {}, {}",
                team.scheme,
                words::view_title(view)
            );
            section += &format!("<div>{}</div>\n", img(&row_of(picture, shown), &alt)?);
        }
        section += "</div>\n";
    }
    Ok(section + "</section>\n")
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

fn figures_table(view: &ViewReport, report: &PairReport) -> String {
    let columns = [
        Column::Text("vision"),
        Column::Text("dominant colours"),
        Column::Number("ΔE"),
        Column::Number("ΔE at equal L*"),
        Column::Number("ΔL*"),
        Column::Number("contrast"),
        Column::Text("verdict"),
        Column::Text("closest regions, ΔE"),
    ];
    let rows: Vec<Vec<String>> = view
        .eyes
        .iter()
        .map(|eye| {
            let [delta_e, lightness, michelson] = words::numbers(eye);
            let near = eye.nearest.iter().map(|near| {
                let pair = format!("{} / {} {:.1}", near.first, near.second, near.delta_e.0);
                escaped(&pair)
            });
            vec![
                escaped(&words::eye_title(eye.sight, report)),
                eye.dominant_srgb.map(chip).join(" "),
                delta_e,
                format!("{:.1}", eye.hue_and_chroma.0),
                lightness,
                michelson,
                eye.grade.to_string(),
                near.collect::<Vec<_>>().join("<br/>"),
            ]
        })
        .collect();
    table(&words::view_title(view), &columns, &rows)
}

fn regions_table(team: &TeamReport) -> String {
    let columns = [
        Column::Text("region"),
        Column::Number("share"),
        Column::Text("mean colour"),
        Column::Number("L*"),
        Column::Number("luminance"),
        Column::Text("basis"),
    ];
    let rows: Vec<Vec<String>> = team
        .regions
        .iter()
        .map(|part| {
            vec![
                escaped(&part.name),
                format!("{:.1} %", part.share.0 * 100.0),
                chip(part.mean_srgb),
                format!("{:.1}", part.mean_lab.0[0]),
                format!("{:.3}", part.luminance.0),
                escaped(&part.basis),
            ]
        })
        .collect();
    table(&team.scheme, &columns, &rows)
}

fn warnings(report: &PairReport) -> String {
    if report.warnings.is_empty() {
        return String::new();
    }
    let points: Vec<String> = report
        .warnings
        .iter()
        .map(|warning| escaped(&format!("{}: {}", warning.file, warning.found)))
        .collect();
    format!(
        "<section>\n<h2>What could be better</h2>\n{}</section>\n",
        list(&points)
    )
}

/// A picture inside the page, at its own size.
fn img(picture: &RgbImage, alt: &str) -> Result<String, Error> {
    let (width, height) = picture.dimensions();
    let png = write_picture(Vec::new(), picture).map_err(|error| error.at("pair.html"))?;
    let data = STANDARD.encode(png);
    let alt = escaped(alt);
    Ok(format!(
        "<img class=\"true-size\" src=\"data:image/png;base64,{data}\" alt=\"{alt}\" width=\"{width}\" height=\"{height}\"/>"
    ))
}
