//! The words of a pair's page, the same on the picture and in HTML.
//!
//! In: the report. Out: plain text.

use velatura_pipeline::scheme::apart::{ALIKE, APART, MUCH, ONE_COLOUR, SAME_DOMINANT};

use super::figures::Sight;
use super::report::{EyeReport, PairReport, TeamReport, ViewReport};

/// The two schemes.
pub(crate) fn title(report: &PairReport) -> String {
    let [first, second] = report.teams.each_ref().map(|team| team.scheme.as_str());
    format!("{first} and {second} on one table")
}

/// The verdict with its subject.
pub(crate) fn verdict_sentence(report: &PairReport) -> String {
    let [first, second] = report.teams.each_ref().map(|team| team.scheme.as_str());
    format!("“{first}” and “{second}” {}.", report.verdict.line)
}

/// Team and figure, height, number of figures; undercoat and varnish.
pub(crate) fn team_lines(team: &TeamReport) -> [String; 2] {
    let figures = match team.count {
        1 => "1 figure".to_owned(),
        count => format!("{count} figures"),
    };
    let who = [team.team.trim(), team.figure.trim()];
    let who: Vec<&str> = who.into_iter().filter(|part| !part.is_empty()).collect();
    [
        format!("{} · {} mm · {figures}", who.join(" · "), team.height_mm),
        format!("{} · {}", team.finish, team.undercoat),
    ]
}

/// The dominant colour and what it is made of.
pub(crate) fn dominant(team: &TeamReport) -> String {
    let dominant = &team.dominant;
    format!(
        "dominant: {:.0} % of the figure, L* {:.0} ({})",
        dominant.share.0 * 100.0,
        dominant.lab.0[0],
        dominant.regions.join(" + "),
    )
}

/// The kind of colour vision of a picture.
pub(crate) fn eye_title(sight: Sight, report: &PairReport) -> String {
    match sight {
        Sight::Usual => "normal".to_owned(),
        Sight::Grey => "grey: luminance alone".to_owned(),
        Sight::Machado(kind) => format!("{kind}, severity {}", report.severity.0),
        Sight::Vienot(kind) => format!("{kind}, second opinion (1999)"),
    }
}

/// The numbers of one kind of colour vision in a line.
pub(crate) fn eye_line(eye: &EyeReport) -> String {
    let [distance, lightness, _] = numbers(eye);
    format!("{}: distance {distance}, ΔL* {lightness}", eye.grade)
}

/// Distance of all colours, and difference of L\* and Michelson contrast of the dominant colours.
pub(crate) fn numbers(eye: &EyeReport) -> [String; 3] {
    // Rounded before adding the sign: a difference of 0 has no sign.
    let lightness = eye.lightness_difference.0.round();
    let lightness = if lightness.abs() < 0.5 {
        "0".to_owned()
    } else {
        format!("{lightness:+.0}").replace('-', "−")
    };
    [
        format!("{:.1}", eye.distance.0),
        lightness,
        format!("{:.2}", eye.michelson.0),
    ]
}

/// The nearest regions.
pub(crate) fn nearest(eye: &EyeReport) -> String {
    eye.nearest.first().map_or(String::new(), |near| {
        format!("{} / {}  {:.1}", near.first, near.second, near.delta_e.0)
    })
}

/// The viewing distance.
pub(crate) fn view_title(view: &ViewReport) -> String {
    match view.distance_mm {
        Some(distance_mm) => format!("from {} m", distance_mm / 1000.0),
        None => "close up".to_owned(),
    }
}

/// Above a strip of figures: the distance, then which team is where; the strip shows `shown` figures of each team.
pub(crate) fn strip_labels(view: &ViewReport, report: &PairReport, shown: [u32; 2]) -> [String; 2] {
    let blur = view.blur_mm.map_or(0.0, |blur| blur.0);
    let [first, second] = [0, 1].map(|index: usize| {
        let team = &report.teams[index];
        match shown[index] {
            shown if shown < team.count => format!("{} ({shown} of {})", team.scheme, team.count),
            _ => team.scheme.clone(),
        }
    });
    let shrunk = view.true_size_share.map_or(String::new(), |share| {
        format!(", shown at {:.2} of its size", share.0)
    });
    [
        format!(
            "{}, an arc-minute is {blur:.2} mm{shrunk}",
            view_title(view)
        ),
        format!("above: {first}, below: {second}"),
    ]
}

/// How the page was made, and what is invented in it.
pub(crate) fn notes(report: &PairReport) -> Vec<String> {
    let screen = report.scale;
    vec![
        format!(
            "From across the table: each figure as seen from there, blurred by one arc-minute (a Gaussian of that full width at \
             half height) and reduced to its true visual size on a screen of {} pixels per inch viewed from {:.0} mm, \
             without scaling. The height of all regions in the photo counts as the figure's height in mm.",
            screen.screen_ppi, screen.screen_distance_mm.0
        ),
        format!(
            "The distance is the earth mover's distance in CIELAB: how far the colours of one figure have to be moved, on average \
             over its area, to become those of the other. Where a colour is on the figure does not count. Teams stand apart if \
             it is {APART} or more, and look alike if it is below {ALIKE}. The verdict is for normal vision from 1 m. Teams are easily \
             confused at best if their dominant colours are nearly one colour (ΔE under {SAME_DOMINANT}) on {:.0} % of both figures \
             or more. These limits were chosen on constructed pairs with a known answer. They were not measured on people.",
            MUCH * 100.0
        ),
        format!(
            "A dominant colour is the mean light of those regions of nearly one colour (ΔE under {ONE_COLOUR}) that cover most \
             of the figure. ΔE is CIEDE2000. ΔL* is the lightness of the second dominant colour minus the first's, contrast is the \
             Michelson contrast of their luminances (BT.709). The closest regions exclude those under a fifth of the team's \
             largest, and those without paint in both teams."
        ),
        "Protan, deutan and tritan vision follow Machado, Oliveira, Fernandes 2009; the second opinion is Viénot, Brettel, Mollon \
         1999, which does not cover tritan vision. People's vision differs; ask the players."
            .to_owned(),
    ]
}
