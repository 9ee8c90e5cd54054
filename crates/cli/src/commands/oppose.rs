//! `velatura oppose`: the opposite of a scheme, matched with owned paints.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, ValueEnum};
use serde_json::{Value, json};
use velatura::{DiskFiles, Error, Job, JobFiles, Session};
use velatura_pipeline::figure::{guesses, parts};
use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::optics::colour::Encoded;
use velatura_pipeline::scheme::matching::{Grid, MAX_PAINTS, MAX_PARTS};
use velatura_pipeline::scheme::{
    DistinctOpposite, Helpful, HueSpace, Opposed, OpposedRegion, Opposing, Proposed, Stays,
    Undercoat, Way, brush_coats, distinct_opposite, mix_text, painting_order, schemes_text, shown,
};

use super::opposed_pair::{Against, too_far, with_opposite};
use super::scheme_named;
use crate::attached::{PluginArgs, Purpose, job_files, session};
use crate::fits::what_would_fit;
use crate::format::Format;
use crate::long_search::watched;
use crate::messages::{done, json_value, out, print_message, warn};
use crate::outputs::{Existing, OutputPlace, place, write_whole};
use crate::paints::{paints_options, read_paints};

/// Turn a scheme into its opposite, matched with owned paints
///
/// Inverts the dried colour of each region on the figure and finds the nearest mix of owned paints. Regions that share a
/// paint share one in the opposite too. A region whose colour is natural for what it is keeps that colour: skin stays skin,
/// but green skin is inverted. What a region is follows from `is` in the figure file or from its name. The undercoat is flipped as
/// well unless --undercoat says otherwise. The result is a schemes file, and the verdict of `velatura pair` on the two teams.
/// All mixes are tried up to twelve million colours for all regions together. Beyond that the search is thinned
/// out, takes seconds for any number of paints, and says so.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  velatura oppose demo_images/lamplighter/figure.toml --scheme Foglight --paints demo_images/lamplighter/paints.toml --out opposite.toml\n  velatura render demo_images/lamplighter/figure.toml --schemes opposite.toml --out out"
)]
pub(crate) struct Oppose {
    /// Figure file: names the photo, mask, undercoat and regions
    #[arg(value_name = "FIGURE.toml")]
    figure: PathBuf,
    /// Scheme to invert
    #[arg(long, value_name = "NAME")]
    scheme: String,
    /// Match with the paints in FILE (repeatable: the files join) [default: paints.toml in the figure's folder]
    #[arg(long, value_name = "FILE")]
    paints: Vec<PathBuf>,
    /// Paints that the scheme is mixed from (repeatable) [default: paints.toml in the figure's folder]
    #[arg(long, value_name = "FILE")]
    scheme_paints: Vec<PathBuf>,
    /// Read schemes from FILE [default: schemes.toml in the figure's folder]
    #[arg(long, value_name = "FILE")]
    schemes: Option<PathBuf>,
    /// How to invert the colours [default: negative, or the first other way if the teams could be confused]
    #[arg(long, value_enum)]
    way: Option<Turn>,
    /// Colour space to turn the hue in, for --way hue and both
    #[arg(long, value_enum, default_value_t = Space::Cielab)]
    hue_space: Space,
    /// Undercoat: "flip" for the other way of priming, "keep" for the scheme's own, or a word from schemes.toml
    #[arg(long, value_name = "WORD", default_value = "flip", value_parser = undercoat)]
    undercoat: Undercoat,
    /// Invert every region, also those with the natural colour of what they are
    #[arg(long)]
    all_parts: bool,
    /// Keep the colour of a region, such as "hood" (repeatable), besides those with `keep` in the figure file
    #[arg(long, value_name = "REGION")]
    keep: Vec<String>,
    /// Use at most N paints in a mix
    #[arg(long, value_name = "N", default_value_t = MAX_PAINTS, value_parser = max_paints)]
    max_paints: usize,
    /// Use at most N parts in a mix, medium included
    #[arg(long, value_name = "N", default_value_t = MAX_PARTS, value_parser = clap::value_parser!(u32).range(1..=20))]
    max_parts: u32,
    /// Write this team name into the opposite scheme
    #[arg(long, value_name = "NAME", default_value = "")]
    team: String,
    /// Write the schemes file here [default: standard output]
    #[arg(long, value_name = "FILE")]
    out: Option<String>,
    /// Overwrite an existing file
    #[arg(long, requires = "out")]
    force: bool,
    #[command(flatten)]
    plugins: PluginArgs,
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Turn {
    /// Photographic negative of each dried colour in sRGB
    Negative,
    /// Opposite hue, same lightness and chroma
    Hue,
    /// Mirrored lightness, same hue
    Lightness,
    /// Opposite hue and mirrored lightness
    Both,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Space {
    /// CIELAB
    Cielab,
    #[value(help = "OKLCh")]
    Oklch,
}

fn undercoat(word: &str) -> Result<Undercoat, String> {
    match word {
        "flip" => Ok(Undercoat::Flipped),
        "keep" => Ok(Undercoat::Kept),
        word => scheme_named::undercoat(word)
            .map(Undercoat::As)
            .map_err(|expected| format!("{expected}, flip or keep")),
    }
}

/// The same limit as in `velatura match`.
fn max_paints(text: &str) -> Result<usize, String> {
    let count = text.parse().ok().filter(|count| (1..=6).contains(count));
    count.ok_or_else(|| "expected a whole number from 1 to 6".to_owned())
}

impl Oppose {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let session =
            session(&self.plugins, &[&self.figure], self.format, Purpose::Work)?.build()?;
        let files = self.files(&session);
        let (target, inputs) = self.target(&session, &files)?;
        let job = session.load_files(&DiskFiles, &files)?;
        for warning in &job.warnings {
            warn(warning, self.format);
        }
        let scheme = &job.schemes[scheme_named::index_of(&job, "--scheme", Some(&self.scheme))?];
        let other = self.matched_with(&files)?;
        let paints = &other.unwrap_or_else(|| job.paints.clone());
        let ground = job.ground();
        let all_parts = parts(&job.figure);
        let kept = self.kept(&job)?;
        let opposing = Opposing {
            scheme,
            scheme_paints: &job.paints,
            ground: &ground,
            paints,
            grid: Grid {
                max_paints: self.max_paints,
                max_parts: self.max_parts,
                ..Grid::of_owned(paints)
            },
            way: self.way(),
            undercoat: self.undercoat,
            parts: if self.all_parts { &[] } else { &all_parts },
            kept: &kept,
        };
        let others = self.other_ways();
        let searched = watched("matching", |watch| {
            distinct_opposite(&opposing, &others, watch)
        });
        let DistinctOpposite {
            mut opposed,
            way,
            confusable,
        } = match searched? {
            Ok(found) => found,
            Err(stopped) => return Ok(stopped),
        };
        if opposed.regions.is_empty() {
            let help = if paints.paints.iter().any(|paint| paint.owned) {
                "give the scheme a coat"
            } else {
                "remove `owned = false` from the paints that you have"
            };
            let found = "there is nothing to match: the scheme has no coat, or you own no paint";
            return Err(Error::refused("", found, "", help));
        }
        opposed.scheme.team.clone_from(&self.team);
        let lines: Vec<String> = opposed
            .regions
            .iter()
            .map(|region| line(region, &opposed, &job, paints))
            .collect();
        let head = [format!(
            "The opposite of \"{}\" on \"{}\". Coats are listed in painting order, light to dark.",
            scheme.name, job.figure.name
        )];
        if self.format == Format::Text
            && !self.all_parts
            && let Some(guesses) = guesses(&job.figure)
        {
            print_message(&format!(
                "{guesses}; write `is` in the figure file to correct it\n"
            ));
        }
        let ways = opposed
            .thinned
            .then(|| what_would_fit(&opposing.grid, opposed.colours_each).join(", or "));
        let (job, against) = with_opposite(job, &self.scheme, &opposed)?;
        for warning in too_far(&opposed, &job, &against) {
            warn(&warning, self.format);
        }
        let mut notes = notes(&opposed, &job, ways.as_deref());
        notes.extend(other_way(way, self.way(), confusable));
        notes.push(against.sentence());
        let proposed = Proposed {
            order: painting_order(&opposed.scheme, &ground),
            remarks: lines.iter().cloned().chain(notes.clone()).collect(),
            scheme: opposed.scheme.clone(),
        };
        let text = schemes_text(&[proposed], paints, &head);
        if let Some(target) = target {
            write_whole(&[(target, text.clone().into_bytes())], &inputs)?;
        }
        let found = Found {
            opposed: &opposed,
            job: &job,
            paints,
            lines: &lines,
            notes: &notes,
            against: &against,
        };
        self.print(&found, &text)?;
        Ok(done(&job.left_out(), self.format))
    }

    /// The scheme's own files. If the figure's folder has no paints.toml, --paints is used for the scheme too.
    fn files(&self, session: &Session) -> JobFiles {
        let usual = JobFiles::next_to(&self.figure);
        let are_there = usual.paints.iter().all(|path| path.is_file());
        let own = match (&*self.scheme_paints, &*self.paints) {
            ([], []) => &usual.paints,
            ([], paints) if !are_there => paints,
            ([], _) => &usual.paints,
            (paints, _) => paints,
        };
        job_files(session, &self.figure, own, self.schemes.as_ref())
    }

    /// Where the schemes file goes, checked before any work, and the input files that must not be overwritten.
    fn target(
        &self,
        session: &Session,
        files: &JobFiles,
    ) -> Result<(Option<OutputPlace>, Vec<PathBuf>), Error> {
        let inputs: Vec<PathBuf> = std::iter::once(&files.figure)
            .chain(&files.paints)
            .chain(&files.schemes)
            .chain(&self.paints)
            .cloned()
            .chain(session.attached_files())
            .collect();
        let target = self
            .out
            .as_deref()
            .map(|path| place(path, &inputs, Existing::unless(self.force)))
            .transpose()?;
        Ok((target, inputs))
    }

    /// The paints to match with, if they are not the scheme's own.
    fn matched_with(&self, files: &JobFiles) -> Result<Option<PaintBox>, Error> {
        if self.paints.is_empty() || self.paints == files.paints {
            return Ok(None);
        }
        Ok(Some(read_paints(&self.paints, self.format)?.0))
    }

    fn way(&self) -> Way {
        self.turned(self.way.unwrap_or(Turn::Negative))
    }

    fn turned(&self, turn: Turn) -> Way {
        let space = match self.hue_space {
            Space::Cielab => HueSpace::Cielab,
            Space::Oklch => HueSpace::Oklch,
        };
        match turn {
            Turn::Negative => Way::Negative,
            Turn::Hue => Way::Hue(space),
            Turn::Lightness => Way::Lightness,
            Turn::Both => Way::Both(space),
        }
    }

    /// The ways to try where the usual one leaves two teams that could be confused; none if the way was asked for.
    fn other_ways(&self) -> Vec<Way> {
        match self.way {
            Some(_) => Vec::new(),
            None => [Turn::Both, Turn::Lightness, Turn::Hue]
                .map(|turn| self.turned(turn))
                .to_vec(),
        }
    }

    /// The regions named by --keep, and those with `keep` in the figure file.
    fn kept(&self, job: &Job) -> Result<Vec<usize>, Error> {
        let regions = &job.underpainting.subject.regions;
        let in_file = job.figure.regions.iter().enumerate();
        in_file
            .filter(|(_, region)| region.keep.is_some())
            .map(|(index, _)| Ok(index))
            .chain(
                self.keep
                    .iter()
                    .map(|name| scheme_named::region(name, regions)),
            )
            .collect()
    }

    fn print(&self, found: &Found<'_>, text: &str) -> Result<(), Error> {
        if self.format == Format::Json {
            return out(&(to_json(found, text)?.to_string() + "\n"));
        }
        let mut summary = format!("{}\n", found.opposed.scheme.name);
        for line in found.lines.iter().chain(found.notes) {
            summary += &format!("  {line}\n");
        }
        match &self.out {
            Some(path) => out(&format!(
                "{summary}written to {path}; to see it, run: velatura render {} --schemes {path}{} --out DIR\n",
                self.figure.display(),
                paints_options(&self.paints)
            )),
            None => {
                print_message(&summary);
                out(text)
            }
        }
    }
}

/// What was found, for printing.
struct Found<'a> {
    opposed: &'a Opposed,
    job: &'a Job,
    paints: &'a PaintBox,
    lines: &'a [String],
    notes: &'a [String],
    against: &'a Against,
}

/// "hood: #6b4a18 → target #94b5e7 → #8fb0d8, Harbour Dusk:2,Gull White:3 film 1 (ΔE 2.1, drawdown+tint)".
fn line(region: &OpposedRegion, opposed: &Opposed, job: &Job, paints: &PaintBox) -> String {
    let stack = &opposed.scheme.regions[region.region];
    let (wanted, in_gamut) = shown(region.target);
    let outside = if in_gamut { "" } else { " (outside sRGB)" };
    let reach = if region.out_of_reach() {
        "; out of reach of these paints"
    } else {
        ""
    };
    let mix = stack
        .mixes
        .first()
        .map_or(String::new(), |mix| mix_text(mix, paints));
    let target = match region.stays {
        None => format!("→ target {wanted}{outside} "),
        Some(Stays::Natural(material)) => {
            format!("stays, a natural colour of {} ", material.word())
        }
        Some(Stays::Asked) => "stays ".to_owned(),
    };
    let film = stack.coats.first().map_or(1.0, |coat| coat.film);
    format!(
        "{}: {} {target}→ {}, {mix}, {} (film {film}; ΔE {:.1} left, {}){reach}",
        job.underpainting.subject.regions[region.region],
        region.dried.encoded(),
        region.matched.encoded(),
        brush_coats(film),
        region.delta_e,
        region.trust.basis
    )
}

/// That another way was taken than the usual one, and why.
fn other_way(way: Way, usual: Way, confusable: bool) -> Option<String> {
    let word = match way {
        Way::Negative => "negative",
        Way::Hue(_) => "hue",
        Way::Lightness => "lightness",
        Way::Both(_) => "both",
    };
    (way != usual).then(|| match confusable {
        true => format!(
            "no way to invert the colours keeps the two teams clearly apart for everybody; --way {word} comes nearest"
        ),
        false => format!(
            "inverted with --way {word}: with --way negative the two teams could be confused"
        ),
    })
}

/// Undercoat, missing paint and unused paints, one line each.
fn notes(opposed: &Opposed, job: &Job, ways_to_try_all: Option<&str>) -> Vec<String> {
    use velatura_pipeline::scheme::{UNDERCOATS, word_for};
    let mut notes = vec![format!(
        "undercoat: {}, {}",
        word_for(&UNDERCOATS, &opposed.scheme.undercoat),
        opposed.undercoat_reason
    )];
    if let Some(ways) = ways_to_try_all {
        notes.push(format!(
            "there were too many mixes to try them all: nearer ones may have been missed; to try them all, {ways}"
        ));
    }
    if let Some(helpful) = &opposed.helpful {
        let colour: Encoded = helpful.paint.over_white.encoded();
        notes.push(format!(
            "most useful new paint: one that dries to {colour} over white with a contrast ratio of {:.2} (brings {} up to ΔE {:.1} nearer)",
            helpful.paint.contrast_ratio(), job.underpainting.subject.regions[helpful.region], helpful.saves
        ));
    }
    if !opposed.unused.is_empty() {
        notes.push(format!(
            "not used by the scheme, so not inverted: {}",
            opposed.unused.join(", ")
        ));
    }
    notes
}

fn to_json(found: &Found<'_>, text: &str) -> Result<Value, Error> {
    let Found {
        opposed,
        job,
        paints,
        against,
        ..
    } = found;
    let region = |region: &OpposedRegion| -> Result<Value, Error> {
        let stack = &opposed.scheme.regions[region.region];
        let (target, in_gamut) = shown(region.target);
        Ok(json!({
            "region": job.underpainting.subject.regions[region.region],
            "dried_srgb": region.dried.encoded(),
            "target_srgb": target,
            "target_lab": json_value(&region.target.0)?,
            "target_in_gamut": in_gamut,
            "srgb": region.matched.encoded(),
            "mix": stack.mixes.first().map(|mix| mix_text(mix, paints)),
            "film": stack.coats.first().map(|coat| coat.film),
            "coats": stack.coats.first().map(|coat| brush_coats(coat.film)),
            "delta_e": json_value(&region.delta_e)?,
            "reachable_delta_e": json_value(&region.reachable)?,
            "out_of_reach": region.out_of_reach(),
            "stays": region.stays.map(|stays| match stays {
                Stays::Natural(material) => material.word(),
                Stays::Asked => "asked",
            }),
            "basis": region.trust.basis,
            "estimated_error": json_value(&region.trust.delta_e)?,
        }))
    };
    let regions: Vec<Value> = opposed
        .regions
        .iter()
        .map(region)
        .collect::<Result<_, _>>()?;
    let helpful = |helpful: &Helpful| -> Result<Value, Error> {
        Ok(json!({
            "over_white": helpful.paint.over_white.encoded(),
            "contrast_ratio": json_value(&helpful.paint.contrast_ratio())?,
            "region": job.underpainting.subject.regions[helpful.region],
            "saves_delta_e": json_value(&helpful.saves)?,
        }))
    };
    let helpful = opposed.helpful.as_ref().map(helpful).transpose()?;
    Ok(json!({
        "format": "velatura-oppose/1",
        "scheme": opposed.scheme.name,
        "regions": regions,
        "undercoat_reason": opposed.undercoat_reason,
        "helpful_paint": helpful,
        "unused": opposed.unused,
        "thinned": opposed.thinned,
        "verdict": against.verdict.as_ref().ok().map(json_value).transpose()?,
        "schemes_toml": text,
    }))
}
