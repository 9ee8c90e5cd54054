//! `velatura explore`: schemes worth trying, from owned paints.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Args, ValueEnum};
use velatura::{DiskFiles, Error, Job, JobFiles, PairOptions, Session, Side};
use velatura_document::{Diagnostic, one_line};
use velatura_pair::{Grade, compare};
use velatura_pipeline::figure::{SimulatedUndercoat, guesses, parts};
use velatura_pipeline::optics::mixture::Mix;
use velatura_pipeline::scheme::matching::MAX_PARTS;
use velatura_pipeline::scheme::{
    Exploration, Exploring, Mood, Rival, explore_watched, schemes_text,
};

use super::proposals::{Answer, PartColours};
use super::scheme_named::{self, Named};
use crate::attached::{PluginArgs, Purpose, session};
use crate::chips::Chips;
use crate::format::Format;
use crate::long_search::watched;
use crate::messages::{done, out, out_with_colours, print_message, warn};
use crate::outputs::{Existing, OutputPlace, place, two_files, write_whole};
use crate::paints::{each_of, paints_options};
use crate::picture::PictureArg;
use crate::signals;

/// Propose schemes from owned paints that differ from each other
///
/// Each proposal uses few paints, has a dominant, a secondary and an accent colour on about 60, 30 and 10 % of the parts that
/// carry the scheme, and keeps neighbouring parts distinct. Skin, hair, leather, wood, metal and other parts that are something get a
/// colour that such things have, if any mix of the paints does. What a region is follows from `is` in the figure file or from its name;
/// `same_as` gives two regions one mix, and `natural = false` allows any colour. The result is a schemes file that you can render, edit and render again. Up to 3000
/// schemes are composed to choose from. Composing ends after thirty million colours, which takes seconds for any number of
/// paints, and says so.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  velatura explore demo_images/lamplighter/figure.toml --count 10 --out tried.toml\n  velatura render demo_images/lamplighter/figure.toml --schemes tried.toml --out out"
)]
pub(crate) struct Explore {
    /// Figure file: names the photo, mask, undercoat and regions
    #[arg(value_name = "FIGURE.toml")]
    figure: PathBuf,
    /// Read paints from FILE (repeatable: the files join) [default: paints.toml in the figure's folder]
    #[arg(long, value_name = "FILE")]
    paints: Vec<PathBuf>,
    /// Propose N schemes
    #[arg(long, value_name = "N", default_value_t = 10, value_parser = clap::value_parser!(u32).range(1..=100))]
    count: u32,
    /// Random seed; the same seed gives the same schemes
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = seed)]
    seed: u64,
    /// Use at most N paints on the parts that carry the scheme; every other part may add one
    #[arg(long, value_name = "N", default_value_t = 4, value_parser = clap::value_parser!(u32).range(1..=20))]
    most_paints: u32,
    /// Use at most N parts in a mix, medium included
    #[arg(long, value_name = "N", default_value_t = MAX_PARTS, value_parser = clap::value_parser!(u32).range(1..=20))]
    max_parts: u32,
    /// Keep to a mood: choose from the brightest, darkest or most muted third of all schemes
    #[arg(long, value_enum)]
    mood: Option<Wish>,
    /// Keep the mix of a region, such as "hood=Oil Amber:3,medium:7" (repeatable); wins over `keep` in the figure file
    #[arg(long, value_name = "REGION=MIX")]
    keep: Vec<String>,
    /// Differ from a rival team's scheme; its paints are read from its figure's folder
    #[arg(long, value_name = "FIGURE.toml:SCHEME")]
    against: Option<String>,
    /// Propose schemes for this undercoat
    #[arg(long, value_name = "WORD", default_value = "as-photographed", value_parser = scheme_named::undercoat)]
    undercoat: SimulatedUndercoat,
    /// Write this team name into the schemes
    #[arg(long, value_name = "NAME", default_value = "")]
    team: String,
    /// Write the schemes file here [default: standard output]
    #[arg(long, value_name = "FILE")]
    out: Option<String>,
    /// Overwrite an existing file
    #[arg(long, requires = "out")]
    force: bool,
    #[command(flatten)]
    picture: PictureArg,
    #[command(flatten)]
    plugins: PluginArgs,
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

/// With a rival, so many times as many schemes are composed as are proposed.
const SPARE: usize = 2;

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Wish {
    /// Light colours
    Bright,
    /// Deep colours
    Dark,
    /// Greyed colours
    Muted,
}

fn seed(text: &str) -> Result<u64, String> {
    text.parse()
        .map_err(|_| format!("expected a whole number from 0 to {}", u64::MAX))
}

impl Explore {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let mut files = JobFiles::next_to(&self.figure);
        if !self.paints.is_empty() {
            files.paints.clone_from(&self.paints);
        }
        let rival = self
            .against
            .as_deref()
            .map(scheme_named::parted)
            .transpose()?;
        let figures: Vec<&Path> = std::iter::once(&*self.figure)
            .chain(rival.map(|(figure, _)| Path::new(figure)))
            .collect();
        let session = session(&self.plugins, &figures, self.format, Purpose::Work)?.build()?;
        let (target, inputs) = self.target(&session, &files)?;
        let picture = self.picture.planned(&inputs)?;
        if let (Some(target), Some(picture)) = (&target, &picture) {
            two_files(target, picture.place(), "--picture")?;
        }
        let job = session.load_figure(&DiskFiles, &files)?;
        for warning in &job.warnings {
            warn(warning, self.format);
        }
        let rival = self
            .against
            .as_deref()
            .map(|named| scheme_named::load(&session, named))
            .transpose()?;
        let mut left_out = job.left_out();
        let rival_job = rival;
        if let Some(rival) = &rival_job {
            let more = rival.job.left_out().into_iter();
            left_out.extend(more.filter(|one| one.stage.is_some()));
        }
        let rival = rival_job.as_ref().map(rival_colours);
        let ground = job.ground();
        let kept = self.kept(&job, &files.paints_name())?;
        let known = parts(&job.figure);
        if let Some(guesses) = guesses(&job.figure).filter(|_| self.format == Format::Text) {
            print_message(&format!(
                "{guesses}. To correct a guess, write what the part is into its region in the figure file, such as `is = \"metal\"`\n"
            ));
        }
        // Some of them may turn out to be too like the rival: others then take their place.
        let spare = match rival {
            Some(_) => SPARE,
            None => 1,
        };
        let wish = Exploring {
            paints: &job.paints,
            ground: &ground,
            undercoat: self.undercoat,
            team: &self.team,
            count: spare * self.count as usize,
            seed: self.seed,
            most_paints: self.most_paints as usize,
            max_parts: self.max_parts,
            parts: &known,
            mood: self.mood.map(|wish| match wish {
                Wish::Bright => Mood::Bright,
                Wish::Dark => Mood::Dark,
                Wish::Muted => Mood::Muted,
            }),
            kept: &kept,
            against: rival.as_ref(),
        };
        let found = match watched("exploring", |watch| explore_watched(&wish, watch))? {
            Ok(found) => found,
            Err(stopped) => return Ok(stopped),
        };
        if found.proposals.is_empty() {
            let expected = format!(
                "owned paints in {} that give neighbouring parts distinct colours",
                files.paints_name()
            );
            return Err(Error::refused(
                "",
                "no scheme satisfies all constraints",
                &expected,
                "add paints that you own, raise --most-paints, or keep fewer mixes",
            ));
        }
        let (job, found, against) = match (&rival_job, self.against.as_deref()) {
            (Some(rival), Some(named)) => {
                let count = self.count as usize;
                let (job, confusable) = compared(job, &found, rival, named, count)?;
                let distinct: Vec<bool> = confusable.iter().map(Option::is_none).collect();
                // What could be confused is proposed only where everything could be.
                let (stays, lines, dropped) = match distinct.contains(&true) {
                    true => {
                        let dropped = distinct.iter().filter(|distinct| !**distinct).count();
                        (distinct, Vec::new(), dropped)
                    }
                    false => {
                        let first = confusable.into_iter().flatten().take(count).collect();
                        (vec![true; count], first, 0)
                    }
                };
                (
                    job,
                    found.only(&stays, &ground),
                    Some(Compared { lines, dropped }),
                )
            }
            _ => (job, found, None),
        };
        let proposed = found.written(&ground);
        let head = [format!(
            "Proposed for \"{}\" from {} with seed {}. Coats are listed in painting order, light to dark.",
            job.figure.name,
            each_of(&files.paints),
            self.seed
        )];
        let text = schemes_text(&proposed, &job.paints, &head);
        let colours = PartColours::new(&found, &ground);
        let picture = picture.map(|picture| {
            let heading = format!(
                "Proposed for \"{}\", mean colours as they dry",
                job.figure.name
            );
            picture.write(&heading, colours.rows(&found))
        });
        let picture = picture.transpose()?.unwrap_or_default();
        if let Some(target) = target {
            write_whole(&[(target, text.clone().into_bytes())], &inputs)?;
        }
        let regions: Vec<String> = ground
            .summary
            .regions
            .iter()
            .map(|one| one.name.clone())
            .collect();
        let confusable = against.as_ref().map(|against| &*against.lines);
        for warning in warnings(&found, &regions, confusable) {
            warn(&warning, self.format);
        }
        let dropped = against.map_or(0, |against| against.dropped);
        let answer = Answer {
            found: &found,
            colours: &colours,
            dropped,
        };
        self.print(&answer, &text, &picture)?;
        Ok(done(&left_out, self.format))
    }

    /// Where the schemes file goes, checked before any work, and the input files that must not be overwritten.
    fn target(
        &self,
        session: &Session,
        files: &JobFiles,
    ) -> Result<(Option<OutputPlace>, Vec<PathBuf>), Error> {
        let mut inputs = vec![files.figure.clone()];
        inputs.extend(files.paints.clone());
        inputs.extend(session.attached_files());
        let target = self
            .out
            .as_deref()
            .map(|path| place(path, &inputs, Existing::unless(self.force)))
            .transpose()?;
        Ok((target, inputs))
    }

    fn kept(&self, job: &Job, paints_name: &str) -> Result<Vec<(usize, Mix)>, Error> {
        let regions = &job.underpainting.subject.regions;
        let mut kept = self
            .keep
            .iter()
            .map(|text| scheme_named::kept_mix(text, regions, &job.paints, paints_name))
            .collect::<Result<Vec<_>, Error>>()?;
        let asked: Vec<usize> = kept.iter().map(|(region, _)| *region).collect();
        let in_file = job.kept_mixes().map_err(Error::inputs)?;
        kept.extend(
            in_file
                .into_iter()
                .filter(|(region, _)| !asked.contains(region)),
        );
        Ok(kept)
    }

    fn print(&self, answer: &Answer<'_>, text: &str, picture: &str) -> Result<(), Error> {
        if self.format == Format::Json {
            return out(&(answer.json_form(text)?.to_string() + "\n"));
        }
        let summary = answer.summary(self.count as usize);
        match &self.out {
            Some(path) => {
                out(&summary)?;
                out_with_colours(&answer.text(Chips::of_standard_output()))?;
                out(&format!(
                    "{picture}written to {path}; to see them, run: velatura render {} --schemes {path}{} --out DIR\n",
                    self.figure.display(),
                    paints_options(&self.paints)
                ))
            }
            None => {
                print_message(&(summary + picture));
                out(text)
            }
        }
    }
}

/// A rival's colours as they dry on the rival's own figure.
fn rival_colours(Named { job, scheme }: &Named) -> Rival {
    let ground = job.ground();
    let scheme = &job.schemes[*scheme];
    let regions = ground.summary.regions.iter().enumerate();
    Rival {
        regions: regions
            .map(|(index, region)| {
                let coats = &scheme.regions[index].coats;
                (
                    region.area,
                    ground.dried(index, scheme.undercoat, coats).lab(),
                )
            })
            .collect(),
    }
}

/// How the proposals compare with the rival.
struct Compared {
    /// The verdicts on those that could be confused, if all could be.
    lines: Vec<String>,
    /// How many were left out because they could be confused.
    dropped: usize,
}

/// For each proposal the verdict of `velatura pair` on it and the rival, if that does not call them distinct in every colour
/// vision; and the job, with the proposals as its schemes. Ends as soon as `count` of them are distinct.
fn compared(
    mut job: Job,
    found: &Exploration,
    rival: &Named,
    named: &str,
    count: usize,
) -> Result<(Job, Vec<Option<String>>), Error> {
    let schemes = found
        .proposals
        .iter()
        .map(|proposal| proposal.scheme.clone());
    job.schemes = schemes.collect();
    let options = PairOptions::default().cancel(&signals::cancel());
    let (mut confusable, mut distinct) = (Vec::new(), 0);
    for scheme in 0..job.schemes.len() {
        if distinct == count {
            break;
        }
        let theirs = Side {
            job: &rival.job,
            scheme: rival.scheme,
        };
        let sides = [Side { job: &job, scheme }, theirs];
        let name = &job.schemes[scheme].name;
        match compare(&sides, &options) {
            Ok(paired) if paired.report.verdict.worst == Grade::Apart => {
                distinct += 1;
                confusable.push(None);
            }
            Ok(paired) => {
                let rival = &rival.job.schemes[rival.scheme].name;
                let line = paired.report.verdict.line;
                confusable.push(Some(format!("\"{name}\" and \"{rival}\" {line}")));
            }
            Err(Error::Cancelled) => return Err(Error::Cancelled),
            Err(error) => {
                let why = one_line(&error.to_string());
                confusable.push(Some(format!(
                    "\"{name}\" and {named} cannot be compared: {why}"
                )));
            }
        }
    }
    Ok((job, confusable))
}

/// What the proposals are not, although it was asked for.
fn warnings(
    found: &Exploration,
    regions: &[String],
    confusable: Option<&[String]>,
) -> Vec<Diagnostic> {
    let mut warnings: Vec<Diagnostic> = found
        .unnatural
        .iter()
        .map(|(region, material, off)| {
            let found = format!(
                "no mix of these paints is a natural colour of {} for region \"{}\": the nearest is {off:.0} units of CIELAB off",
                material.word(),
                regions[*region]
            );
            let help = "add a paint for it, keep a mix with --keep, or write `natural = false` in the region";
            Diagnostic::warning("", found).help(help)
        })
        .collect();
    for line in confusable.unwrap_or_default() {
        let warning = Diagnostic::warning(
            "",
            format!("a proposal could be confused with the rival: {line}"),
        );
        let help = "no proposal from these paints stands apart from the rival for everybody; add paints, raise --most-paints, or try another --seed";
        warnings.push(warning.help(help));
    }
    warnings
}
