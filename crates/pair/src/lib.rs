//! Two teams on one table: both at one scale, close up and across the table, for normal and other colour vision, with numbers.
//!
//! In: two jobs with a scheme of each. Out: `pair.png`, `pair.html`, `report.json`. The pixels are the pipeline's, computed
//! from planes averaged to the page's own scale.

mod drawn;
mod figures;
mod grade;
mod html;
mod pictures;
mod report;
mod scale;
mod team;
mod verdict;
mod words;

use rayon::prelude::*;
use velatura_pipeline::optics::colour::{Linear, luminance};
use velatura_pipeline::shaders::view::arc_minute_sigma_px;
use velatura_pipeline::{Cancel, Error, LeftOut, Run};

pub use grade::{Cue, Grade, NearestPair, Verdict};
pub use report::{
    DominantReport, EyeReport, NearReport, PAIR_FORMAT, PairReport, PartReport, ScaleReport,
    TeamReport, ViewReport, pair_to_json,
};
pub use scale::Screen;
pub use team::Side;

use figures::{Sight, difference, dominant, mixed, nearest, seen};
use pictures::Pictures;
use scale::{DISTANCES_MM, Stance, check_screen, close_up_scale, table_scale, working_scale};
use team::Team;
use velatura_output::Outputs;
use velatura_pipeline::scheme::{VARNISHES, word_for};
use velatura_report::words::undercoat_phrase;
use velatura_report::{Hundredths, LabMean, REPORT_FILE, Ratio};
use velatura_sheet::write_picture;
use verdict::{grade, verdict};

const PICTURE_FILE: &str = "pair.png";
const HTML_FILE: &str = "pair.html";

/// The options of a pair: full severity on the reference screen by default.
#[derive(Debug, Clone)]
#[must_use]
pub struct PairOptions {
    severity: f64,
    screen: Screen,
    cancel: Cancel,
}

impl Default for PairOptions {
    fn default() -> Self {
        Self {
            severity: 1.0,
            screen: Screen::default(),
            cancel: Cancel::default(),
        }
    }
}

impl PairOptions {
    /// Sets the severity of protan, deutan and tritan vision, 0 (normal vision) … 1.
    pub fn severity(mut self, severity: f64) -> Self {
        self.severity = severity;
        self
    }

    /// Sets the screen that the page is viewed on.
    pub fn screen(mut self, screen: Screen) -> Self {
        self.screen = screen;
        self
    }

    /// Allows stopping the work.
    pub fn cancel(mut self, cancel: &Cancel) -> Self {
        self.cancel = cancel.clone();
        self
    }
}

/// The files that [`pair`] writes.
#[must_use]
pub fn planned_pair_files() -> [&'static str; 3] {
    [PICTURE_FILE, HTML_FILE, REPORT_FILE]
}

/// What [`pair`] found, and what was left out.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Paired {
    /// The report, as in `report.json`.
    pub report: PairReport,
    /// The stages that failed and were left out of a team's picture.
    pub left_out: Vec<LeftOut>,
}

/// Compares two teams into `outputs`: all files appear, or none.
///
/// # Errors
/// A figure without a region in its photo, a screen on which a figure would be too large, or what stopped the work.
pub fn pair(
    sides: &[Side<'_>; 2],
    options: &PairOptions,
    outputs: &dyn Outputs,
) -> Result<Paired, Error> {
    let stances = [Stance::of(sides[0].job)?, Stance::of(sides[1].job)?];
    for (side, stance) in sides.iter().zip(&stances) {
        check_screen(&options.screen, side.job, stance)?;
    }
    let inputs = sides.each_ref().map(|side| side.job.inputs()).concat();
    let files = outputs.open(&planned_pair_files().map(str::to_owned), &inputs)?;
    let close_up = close_up_scale(&stances, drawn::CLOSE_UP_WIDE);
    let working = working_scale(&stances, close_up, &options.screen);
    let render = |index: usize| {
        let run = Run::new(sides[index].job, &options.cancel);
        let team = Team::rendered(&run, sides[index].scheme, stances[index], working)?;
        Ok::<_, Error>((team, run.left_out()))
    };
    let ((first, mut left_out), (second, more)) = (render(0)?, render(1)?);
    let teams = [first, second];
    for one in more {
        if !left_out.contains(&one) {
            left_out.push(one);
        }
    }
    go_on(options)?;
    let report = compared(sides, &teams, close_up, options);
    go_on(options)?;
    let pictures = Pictures::new(&teams, close_up, &options.screen, options.severity);
    go_on(options)?;
    let page = drawn::page(&report, &pictures);
    let page = write_picture(Vec::new(), &page).map_err(|error| error.at(PICTURE_FILE))?;
    files.write(PICTURE_FILE, &page)?;
    files.write(HTML_FILE, html::page(&report, &pictures)?.as_bytes())?;
    files.write(REPORT_FILE, pair_to_json(&report)?.as_bytes())?;
    go_on(options)?;
    files.commit()?;
    Ok(Paired { report, left_out })
}

/// Stops between two pieces of the work if somebody asked for it.
fn go_on(options: &PairOptions) -> Result<(), Error> {
    match options.cancel.is_stopped() {
        true => Err(Error::Cancelled),
        false => Ok(()),
    }
}

/// All numbers of a pair.
fn compared(
    sides: &[Side<'_>; 2],
    teams: &[Team; 2],
    close_up: f64,
    options: &PairOptions,
) -> PairReport {
    let near = teams.each_ref().map(|team| team.means());
    let groups = [0, 1].map(|index: usize| dominant(&teams[index].parts, &near[index]));
    let view = |distance_mm: Option<f64>, means: &[Vec<Linear>; 2]| ViewReport {
        distance_mm,
        blur_mm: distance_mm.map(arc_minute_mm),
        true_size_share: distance_mm.and_then(|distance_mm| {
            let stances = teams.each_ref().map(|team| team.stance);
            let share = table_scale(&stances, &options.screen, distance_mm)
                / options.screen.px_per_mm(distance_mm);
            (share < 1.0).then_some(Ratio(share))
        }),
        eyes: Sight::ALL
            .into_iter()
            .map(|sight| eye_report(sight, teams, means, &groups, options.severity))
            .collect(),
    };
    let far: Vec<ViewReport> = DISTANCES_MM
        .into_par_iter()
        .map(|distance_mm| {
            let means = teams.each_ref().map(|team| team.means_from(distance_mm));
            view(Some(distance_mm), &means)
        })
        .collect();
    let mut views = vec![view(None, &near)];
    views.extend(far);
    let warnings = sides.iter().flat_map(|side| &side.job.warnings);
    PairReport {
        verdict: verdict(&views),
        teams: [0, 1].map(|index: usize| {
            team_report(&sides[index], &teams[index], &near[index], &groups[index])
        }),
        scale: ScaleReport {
            close_up_px_per_mm: Hundredths(close_up),
            screen_ppi: options.screen.ppi,
            screen_distance_mm: Hundredths(options.screen.distance_mm),
        },
        severity: Ratio(options.severity),
        views,
        warnings: warnings.cloned().collect(),
    }
}

/// One arc-minute from a distance, in mm: the full width at half height of the blur.
fn arc_minute_mm(distance_mm: f64) -> Hundredths {
    let full_width = (8.0 * std::f64::consts::LN_2).sqrt();
    Hundredths(arc_minute_sigma_px(distance_mm, 1.0) * full_width)
}

fn eye_report(
    sight: Sight,
    teams: &[Team; 2],
    means: &[Vec<Linear>; 2],
    groups: &[Vec<usize>; 2],
    severity: f64,
) -> EyeReport {
    let eye = sight.eye(severity);
    let colours =
        [0, 1].map(|index: usize| mixed(&teams[index].parts, &means[index], &groups[index]));
    let apart = difference(&eye, colours);
    let (grade, by) = grade(&apart);
    let parts = teams.each_ref().map(|team| team.parts.as_slice());
    let near = nearest(&eye, parts, means.each_ref().map(Vec::as_slice));
    EyeReport {
        sight,
        eye: sight.label(),
        dominant_srgb: colours.map(|colour| seen(&eye, colour).encoded()),
        delta_e: Hundredths(apart.delta_e),
        hue_and_chroma: Hundredths(apart.hue_and_chroma),
        lightness_difference: Hundredths(apart.lightness),
        michelson: Ratio(apart.michelson),
        grade,
        by,
        nearest: near
            .into_iter()
            .map(|near| NearReport {
                first: parts[0][near.parts[0]].name.clone(),
                second: parts[1][near.parts[1]].name.clone(),
                delta_e: Hundredths(near.delta_e),
            })
            .collect(),
    }
}

fn team_report(side: &Side<'_>, team: &Team, means: &[Linear], group: &[usize]) -> TeamReport {
    let figure = &side.job.figure;
    let scheme = &side.job.schemes[side.scheme];
    let colour = mixed(&team.parts, means, group);
    TeamReport {
        figure: figure.name.clone(),
        team: scheme.team.clone(),
        scheme: scheme.name.clone(),
        height_mm: figure.height_mm,
        count: figure.count,
        undercoat: undercoat_phrase(scheme.undercoat, figure.undercoat.kind.value).to_owned(),
        finish: word_for(&VARNISHES, &scheme.finish).to_owned(),
        photo_px_per_mm: Hundredths(team.stance.photo_px_per_mm),
        dominant: DominantReport {
            regions: group
                .iter()
                .map(|index| team.parts[*index].name.clone())
                .collect(),
            share: Ratio(group.iter().map(|index| team.parts[*index].share).sum()),
            srgb: colour.encoded(),
            lab: LabMean(colour.lab().0),
            luminance: Ratio(luminance(colour)),
        },
        regions: team
            .parts
            .iter()
            .zip(means)
            .map(|(part, mean)| PartReport {
                name: part.name.clone(),
                share: Ratio(part.share),
                mean_srgb: mean.encoded(),
                mean_lab: LabMean(mean.lab().0),
                luminance: Ratio(luminance(*mean)),
                basis: part.basis.to_string(),
            })
            .collect(),
    }
}
