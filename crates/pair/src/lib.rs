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

pub use grade::{NearestPair, Verdict};
pub use report::{
    DominantReport, EyeReport, NearReport, PAIR_FORMAT, PairReport, PartReport, ScaleReport,
    TeamReport, ViewReport, pair_to_json,
};
pub use scale::Screen;
pub use team::Side;
pub use velatura_pipeline::scheme::apart::{Cue, Grade};

use figures::{NEAREST, Near, Sight, areas, difference, look, nearest, risk, seen};
use pictures::Pictures;
use scale::{DISTANCES_MM, Stance, check_screen, close_up_scale, table_scale, working_scale};
use team::{Part, Seen, Team};
use velatura_output::Outputs;
use velatura_pipeline::scheme::apart::{Separation, dominant, mixed_light};
use velatura_pipeline::scheme::{VARNISHES, word_for};
use velatura_report::words::undercoat_phrase;
use velatura_report::{Hundredths, LabMean, REPORT_FILE, Ratio};
use velatura_sheet::write_picture;
use verdict::verdict;

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
    let stances = stances(sides, options)?;
    let inputs = sides.each_ref().map(|side| side.job.inputs()).concat();
    let files = outputs.open(&planned_pair_files().map(str::to_owned), &inputs)?;
    let Seated {
        teams,
        close_up,
        left_out,
    } = seated(sides, stances, options)?;
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

/// Compares two teams without any picture: the same report as [`pair`] makes.
///
/// # Errors
/// As [`pair`].
pub fn compare(sides: &[Side<'_>; 2], options: &PairOptions) -> Result<Paired, Error> {
    let stances = stances(sides, options)?;
    let Seated {
        teams,
        close_up,
        left_out,
    } = seated(sides, stances, options)?;
    go_on(options)?;
    Ok(Paired {
        report: compared(sides, &teams, close_up, options),
        left_out,
    })
}

fn stances(sides: &[Side<'_>; 2], options: &PairOptions) -> Result<[Stance; 2], Error> {
    let stances = [Stance::of(sides[0].job)?, Stance::of(sides[1].job)?];
    for (side, stance) in sides.iter().zip(&stances) {
        check_screen(&options.screen, side.job, stance)?;
    }
    Ok(stances)
}

/// Both teams, rendered at one scale.
struct Seated {
    teams: [Team; 2],
    /// Pixels per mm of the close-up.
    close_up: f64,
    left_out: Vec<LeftOut>,
}

fn seated(
    sides: &[Side<'_>; 2],
    stances: [Stance; 2],
    options: &PairOptions,
) -> Result<Seated, Error> {
    let close_up = close_up_scale(&stances, drawn::CLOSE_UP_WIDE);
    let working = working_scale(&stances, close_up, &options.screen);
    let render = |index: usize| {
        let run = Run::new(sides[index].job, &options.cancel);
        let team = Team::rendered(&run, sides[index].scheme, stances[index], working)?;
        Ok::<_, Error>((team, run.left_out()))
    };
    let ((first, mut left_out), (second, more)) = (render(0)?, render(1)?);
    for one in more {
        if !left_out.contains(&one) {
            left_out.push(one);
        }
    }
    Ok(Seated {
        teams: [first, second],
        close_up,
        left_out,
    })
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
    let near = teams.each_ref().map(Team::seen);
    let groups = [0, 1].map(|index: usize| {
        let areas = areas(&teams[index].parts, &near[index].means);
        dominant(&areas).map_or(Vec::new(), |dominant| dominant.areas)
    });
    let view = |distance_mm: Option<f64>, seen: &[Seen; 2]| ViewReport {
        distance_mm,
        blur_mm: distance_mm.map(arc_minute_mm),
        true_size_share: distance_mm.and_then(|distance_mm| {
            let stances = teams.each_ref().map(|team| team.stance);
            let share = table_scale(&stances, &options.screen, distance_mm)
                / options.screen.px_per_mm(distance_mm);
            (share < 1.0).then_some(Ratio(share))
        }),
        eyes: Sight::ALL
            .into_par_iter()
            .map(|sight| eye_report(sight, teams, seen, &groups, options.severity))
            .collect(),
    };
    let far: Vec<ViewReport> = DISTANCES_MM
        .into_par_iter()
        .map(|distance_mm| {
            let seen = teams.each_ref().map(|team| team.seen_blurred(distance_mm));
            view(Some(distance_mm), &seen)
        })
        .collect();
    let mut views = vec![view(None, &near)];
    views.extend(far);
    let warnings = sides.iter().flat_map(|side| &side.job.warnings);
    PairReport {
        verdict: verdict(&views),
        teams: [0, 1].map(|index: usize| {
            team_report(
                &sides[index],
                &teams[index],
                &near[index].means,
                &groups[index],
            )
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
    views: &[Seen; 2],
    groups: &[Vec<usize>; 2],
    severity: f64,
) -> EyeReport {
    let eye = sight.eye(severity);
    let areas = [0, 1].map(|index: usize| areas(&teams[index].parts, &views[index].means));
    let colours = [0, 1].map(|index: usize| mixed_light(&areas[index], &groups[index]));
    let looks = [0, 1].map(|index: usize| {
        let share = groups[index].iter().map(|part| areas[index][*part].share);
        look(&eye, &views[index], colours[index], share.sum())
    });
    let apart = Separation::between(&looks[0], &looks[1]);
    let dominant = difference(&eye, colours);
    let parts = teams.each_ref().map(|team| team.parts.as_slice());
    let near = nearest(
        &eye,
        parts,
        views.each_ref().map(|seen| seen.means.as_slice()),
    );
    let mix_up = near.iter().max_by(|a, b| risk(a).total_cmp(&risk(b)));
    EyeReport {
        sight,
        eye: sight.label(),
        distance: Hundredths(apart.distance),
        distance_hue_and_chroma: Hundredths(apart.hue_and_chroma),
        distance_lightness: Hundredths(apart.lightness),
        same_dominant: apart.same_dominant,
        dominant_srgb: colours.map(|colour| seen(&eye, colour).encoded()),
        delta_e: Hundredths(dominant.delta_e),
        hue_and_chroma: Hundredths(dominant.hue_and_chroma),
        lightness_difference: Hundredths(dominant.lightness),
        michelson: Ratio(dominant.michelson),
        grade: apart.grade(),
        by: apart.cues(),
        nearest: near
            .iter()
            .take(NEAREST)
            .map(|near| near_report(near, parts))
            .collect(),
        mix_up: mix_up
            .filter(|near| risk(near) > 0.0)
            .map(|near| near_report(near, parts)),
    }
}

fn near_report(near: &Near, parts: [&[Part]; 2]) -> NearReport {
    NearReport {
        first: parts[0][near.parts[0]].name.clone(),
        second: parts[1][near.parts[1]].name.clone(),
        delta_e: Hundredths(near.delta_e),
        share: Ratio(near.share),
    }
}

fn team_report(side: &Side<'_>, team: &Team, means: &[Linear], group: &[usize]) -> TeamReport {
    let figure = &side.job.figure;
    let scheme = &side.job.schemes[side.scheme];
    let colour = mixed_light(&areas(&team.parts, means), group);
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
