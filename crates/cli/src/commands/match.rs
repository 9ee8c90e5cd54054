//! `velatura match`: the mixes of owned paints that dry closest to a target colour.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;
use velatura::DiskFiles;
use velatura::colours::{MixRequest, MixesFound, MixesReport, Target, read_target};
use velatura_document::for_terminal;
use velatura_pipeline::Error;
use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::scheme::matching::{
    BestAt, Grid, Match as Found, THINNED_WITHIN, WHOLE_UP_TO,
};
use velatura_pipeline::scheme::{brush_coats, mix_text};
use velatura_sheet::ChartRow;

use crate::chips::Chips;
use crate::fits::what_would_fit;
use crate::format::Format;
use crate::long_search::watched;
use crate::messages::{after_warnings, json, out, out_with_colours, usual_error};
use crate::paints::read_paints;
use crate::picture::PictureArg;
use crate::undercoat::read_overs;

/// Find the mixes of owned paints that dry closest to a target colour
///
/// Tries every mix of up to --max-paints owned paints in whole parts, with or without medium. --max-parts limits the parts of
/// a mix, medium included. Each mix is tried at film thicknesses of 0.5, 1, 1.5 and 2 (1 = as thick as the drawdown), or only
/// at those given with --film, and is listed once, at its best thickness. The nearest mix (smallest ΔE, CIEDE2000) comes
/// first. Among equals (to a millionth of ΔE) the one with fewer paints comes first, then the one with fewer parts. With the
/// usual limits all mixes of up to 24 paints are tried. Beyond three million colours the search is thinned out, takes
/// seconds for any number of paints, and says so.
///
/// "One part off" is the largest change of the dried colour (ΔE) if you use one part too many or too few of one component.
/// Small mixes are easy to spoil.
///
/// If no mix comes within ΔE 2, in whole parts or not, the output says so and describes a single paint that would give the
/// colour in one coat of film 1: the most transparent paint that would. Above ΔE 5 (CIEDE2000 is meant for small differences)
/// it also shows the nearest mix by plain CIELAB distance.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  velatura match --paints demo_images/lamplighter/paints.toml --target \"#5fa8a0\" --over \"#e0e0e0\"
  match one paint of the file with the others:
  velatura match --paints demo_images/lamplighter/paints.toml --target \"Skin Ochre\" --over \"#b0b0b0\"
  match a patch of a photo, 40 pixels wide and 30 high, 300 from the left edge and 180 from the top:
  velatura match --paints demo_images/lamplighter/paints.toml --over \"#b0b0b0\" \\
      --target demo_images/lamplighter/sheet.jpg@300,180,40,30")]
pub(crate) struct Match {
    /// Read paints from FILE (repeatable: the files join) [default: paints.toml in the current folder]
    #[arg(long, value_name = "FILE")]
    paints: Vec<PathBuf>,
    /// Dried colour to match: a code, PHOTO@LEFT,TOP,WIDTH,HEIGHT or the name of a paint
    ///
    /// Colours are read in the convention of the cards. PHOTO@LEFT,TOP,WIDTH,HEIGHT means the average of those pixels in linear
    /// light. The name of a paint means the colour of that paint over the same undercoat at film 1; the paint itself is then
    /// left out of the mixes.
    #[arg(long, value_name = "COLOUR")]
    target: String,
    /// Undercoat below the mix: a colour or spectrum:FILE
    #[arg(long, value_name = "#RRGGBB")]
    over: String,
    /// Use at most N paints in a mix
    #[arg(long, value_name = "N", default_value_t = 3, value_parser = clap::value_parser!(u8).range(1..=6))]
    max_paints: u8,
    /// Use at most N parts in a mix, medium included
    #[arg(long, value_name = "N", default_value_t = 10, value_parser = clap::value_parser!(u32).range(1..=100))]
    max_parts: u32,
    /// Show N mixes
    #[arg(long, value_name = "N", default_value_t = 5, value_parser = clap::value_parser!(u16).range(1..=1000))]
    count: u16,
    /// Try only this film thickness (repeatable)
    #[arg(long = "film", value_name = "F", value_parser = visible_film)]
    films: Vec<f64>,
    #[command(flatten)]
    picture: PictureArg,
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

/// A film above 0: with a film of 0 all mixes would look the same.
fn visible_film(text: &str) -> Result<f64, String> {
    super::predict::film(text).and_then(|film| {
        let thin = "a film of 0 shows nothing of the mix".to_owned();
        if film > 0.0 { Ok(film) } else { Err(thin) }
    })
}

impl Match {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let (paints, paints_name) = read_paints(&self.paints, self.format)?;
        let picture = self.picture.planned(&self.paints)?;
        let over = std::slice::from_ref(&self.over);
        let substrate = read_overs(over, paints.cards.specular, self.format)?.remove(0);
        let target = read_target(&DiskFiles, &self.target, &paints, &paints_name, &substrate)
            .map_err(|error| error.within_call("--target"))?;
        let target = after_warnings(target, self.format);
        let request = MixRequest {
            target,
            substrate,
            count: self.count.into(),
            max_paints: self.max_paints.into(),
            max_parts: self.max_parts,
            films: self.films.clone(),
        };
        let searched = watched("matching", |watch| {
            request.find(&paints, &paints_name, watch)
        });
        let found = match searched? {
            Ok(found) => found,
            Err(stopped) => return Ok(stopped),
        };
        let answer = Answer {
            paints: &paints,
            target,
            found: &found,
        };
        let picture = match picture {
            Some(picture) => {
                let heading = format!("Mixes for {} over {}", self.target, self.over);
                picture.write(&heading, answer.rows())?
            }
            None => String::new(),
        };
        if self.format == Format::Json {
            out(&json(&MixesReport::new(
                &self.over, target, &found, &paints,
            ))?)?;
        } else {
            out_with_colours(&self.table(&answer, Chips::of_standard_output()))?;
            out(&picture)?;
        }
        Ok(ExitCode::SUCCESS)
    }

    fn table(&self, answer: &Answer<'_>, chips: Chips) -> String {
        let code = answer.target.colour.encoded();
        let over = for_terminal(&self.over);
        let mut text = format!("target {}{code} over {over}\n\n", chips.chip(code));
        let rows: Vec<Row> = answer
            .found
            .mixes
            .iter()
            .map(|(found, best_at)| Row::new(found, best_at, answer.paints))
            .collect();
        let wide = rows
            .iter()
            .map(|row| row.mix.chars().count())
            .fold(3, usize::max);
        let basis = rows.iter().map(|row| row.basis().chars().count());
        let wide_basis = basis.fold(5, usize::max);
        let coats = rows.iter().map(|row| row.coats().chars().count());
        let wide_coats = coats.fold(5, usize::max);
        text += &format!(
            "   ΔE  {}dries to  {:wide$}  film  {:wide_coats$}  one part off   ± ΔE  {:wide_basis$}  best at\n",
            chips.blank(),
            "mix",
            "brush",
            "basis"
        );
        for row in &rows {
            text += &row.line([wide, wide_coats, wide_basis], chips);
        }
        if answer.found.thinned {
            let grid = &answer.found.grid;
            text += &format!(
                "\nThese paints make {} colours, too many to try them all: a nearer mix may have been missed (by at most ΔE {THINNED_WITHIN} in tests).\n\
                 To try them all, {}.\n",
                millions(grid.size()),
                ways_to_try_all(grid)
            );
        }
        let reach = &answer.found.reach;
        if let Some(helpful) = &reach.helpful {
            let code = helpful.over_white.encoded();
            text += &format!(
                "\nOut of reach: in any amounts, the nearest mix of these paints is ΔE {:.1} away.\n\
                 A single paint would give this colour in one coat if its drawdown dries to {}{code} over white, with a contrast ratio of {:.2}.\n",
                reach.best,
                chips.chip(code),
                helpful.contrast_ratio()
            );
        }
        if let Some(straight) = &reach.straight {
            text += &format!(
                "At this distance CIEDE2000 says little. The nearest mix by plain CIELAB distance:\n{}",
                Row::new(straight, &[], answer.paints).line([wide, wide_coats, wide_basis], chips)
            );
        }
        text
    }
}

/// One line of the table.
struct Row<'a> {
    found: &'a Found,
    best_at: &'a [BestAt],
    mix: String,
}

impl<'a> Row<'a> {
    fn new(found: &'a Found, best_at: &'a [BestAt], paints: &PaintBox) -> Self {
        Self {
            found,
            best_at,
            mix: for_terminal(&mix_text(&found.mix, paints)).into_owned(),
        }
    }

    fn basis(&self) -> String {
        self.found.trust.basis.to_string()
    }

    /// The film as a brush knows it.
    fn coats(&self) -> String {
        brush_coats(self.found.film)
    }

    /// `widths` are those of the mix, of the film in words and of the basis.
    fn line(&self, [wide, wide_coats, wide_basis]: [usize; 3], chips: Chips) -> String {
        let Self {
            found,
            best_at,
            mix,
        } = self;
        let best_at: Vec<&str> = best_at.iter().map(|one| one.words()).collect();
        let code = found.colours[0].encoded();
        let line = format!(
            "{:5.2}  {}{code}   {mix:wide$}  {:4}  {:wide_coats$}  {:>12.1}  {:>5}  {:wide_basis$}  {}",
            found.delta_e,
            chips.chip(code),
            found.film,
            self.coats(),
            found.worst_slip(),
            usual_error(found.trust),
            self.basis(),
            best_at.join(", ")
        );
        format!("{}\n", line.trim_end())
    }
}

/// What was found, for the table and the picture.
struct Answer<'a> {
    paints: &'a PaintBox,
    target: Target,
    found: &'a MixesFound,
}

impl Answer<'_> {
    /// Rows of a chart: each mix next to the target.
    fn rows(&self) -> Vec<ChartRow> {
        let target = self.target.colour.encoded();
        self.found
            .mixes
            .iter()
            .map(|(found, best_at)| {
                let dried = found.colours[0].encoded();
                let words = best_at.iter().map(|one| one.words());
                let words = words.collect::<Vec<_>>().join(", ");
                ChartRow {
                    title: mix_text(&found.mix, self.paints),
                    note: format!("film {}, ΔE {:.2}. {words}", found.film, found.delta_e),
                    chips: vec![
                        (target, format!("target {target}")),
                        (dried, format!("dries to {dried}")),
                    ],
                }
            })
            .collect()
    }
}

/// "use 17 of the 40 paints, or --max-parts 7, or one --film": what would bring the search down to mixes that are all tried.
fn ways_to_try_all(grid: &Grid) -> String {
    let mut ways = what_would_fit(grid, WHOLE_UP_TO);
    let one_film = Grid {
        films: vec![1.0],
        ..grid.clone()
    };
    if grid.films.len() > 1 && one_film.size() <= WHOLE_UP_TO {
        ways.push("one --film".to_owned());
    }
    ways.join(", or ")
}

/// "25.5 million".
fn millions(count: u64) -> String {
    match count {
        0..1_000_000_000 => {
            let tenths = count / 100_000;
            format!("{}.{} million", tenths / 10, tenths % 10)
        }
        _ => "more than a thousand million".to_owned(),
    }
}
