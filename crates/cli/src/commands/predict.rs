//! `velatura predict`: the colour that coats dry to.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;
use velatura::colours::{PredictReport, read_coats};
use velatura_document::{counted, for_terminal};
use velatura_pipeline::Error;
use velatura_pipeline::optics::colour::{Encoded, luminance};
use velatura_pipeline::optics::film::Film;
use velatura_pipeline::optics::spectrum::BANDS;
use velatura_pipeline::scheme::{Predicted, Substrate, THICKEST_FILM, predicted};
use velatura_sheet::ChartRow;

use crate::chips::Chips;
use crate::format::Format;
use crate::messages::{json, out, out_with_colours, rounded, usual_error};
use crate::paints::read_paints;
use crate::picture::PictureArg;
use crate::undercoat::read_overs;

/// Predict the colour that coats dry to, over one or more undercoats
///
/// Each --over colour is read in the convention of the paint cards (with or without the surface's own reflection), and the
/// dried colours follow the same convention. Over a spectrum, they follow the convention that its file states. `medium` is
/// always available and changes no colour. The last column shows the basis of the prediction, that of the weakest paint:
/// spectrum, drawdown (with or without +tint) or chip, or as-photographed where there is no paint.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  velatura predict --paints demo_images/lamplighter/paints.toml \\
      --coat \"Oil Amber:3,medium:7\" --over \"#808080\"
  add a second, thinner coat, over two greys:
  velatura predict --paints demo_images/lamplighter/paints.toml \\
      --coat \"Oil Amber:3,medium:7\" --film 1 --coat \"Lantern Red:1,medium:4\" --film 0.5 \\
      --over \"#808080\" --over \"#e0e0e0\"

A file for --over spectrum:FILE, in percent or as fractions:
  start_nm = 400
  step_nm = 10
  specular = \"included\"      # or \"excluded\": does it include the surface's own reflection?
  reflectance = [ 4.1, 4.3 ]  # and so on, up to at least 680 nm")]
pub(crate) struct Predict {
    /// Read paints from FILE (repeatable: the files join) [default: paints.toml in the current folder]
    #[arg(long, value_name = "FILE")]
    paints: Vec<PathBuf>,
    /// Add a coat: paints or medium with their parts by volume (repeatable, lowest coat first)
    #[arg(long = "coat", value_name = "NAME:PARTS,…", required = true)]
    coats: Vec<String>,
    /// Film thickness, 1 = as thick as the drawdown: once for all coats or once per coat [default: 1]
    #[arg(long = "film", value_name = "F", value_parser = film)]
    films: Vec<f64>,
    /// Undercoat below the coats: a colour or spectrum:FILE (repeatable)
    #[arg(long, value_name = "#RRGGBB", required = true)]
    over: Vec<String>,
    #[command(flatten)]
    picture: PictureArg,
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

/// A film thickness from the command line.
pub(super) fn film(text: &str) -> Result<f64, String> {
    text.parse()
        .ok()
        .filter(|film| (0.0..=THICKEST_FILM).contains(film))
        .ok_or_else(|| {
            format!("a film is a thickness of 0 to {THICKEST_FILM}; 1 = as thick as the drawdown")
        })
}

impl Predict {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let films = self.film_per_coat()?;
        let (paints, paints_name) = read_paints(&self.paints, self.format)?;
        let texts = self.coats.iter().map(String::as_str).zip(films);
        let coats = read_coats(texts, &paints, &paints_name, "--coat")?;
        let picture = self.picture.planned(&self.paints)?;
        let substrates = read_overs(&self.over, paints.cards.specular, self.format)?;
        let results: Vec<(&str, Predicted, Substrate)> = self
            .over
            .iter()
            .zip(substrates)
            .map(|(over, substrate)| {
                let dried = predicted(&paints, &coats, &substrate);
                (over.as_str(), dried, substrate)
            })
            .collect();
        let picture = match picture {
            Some(picture) => picture.write(&self.heading(), rows(&results))?,
            None => String::new(),
        };
        if self.format == Format::Json {
            let dried = results.iter().map(|(over, dried, _)| (*over, dried));
            out(&json(&PredictReport::new(dried))?)?;
        } else {
            out_with_colours(&table(&results, Chips::of_standard_output()))?;
            out(&picture)?;
        }
        Ok(ExitCode::SUCCESS)
    }

    /// The coats in the words of the call.
    fn heading(&self) -> String {
        let films = self.films.iter().map(f64::to_string);
        let films = films.collect::<Vec<_>>().join(", ");
        let film = match films.as_str() {
            "" => "film 1".to_owned(),
            films => format!("film {films}"),
        };
        format!("{}; {film}", self.coats.join("; then "))
    }

    fn film_per_coat(&self) -> Result<Vec<f64>, Error> {
        match (self.films.as_slice(), self.coats.len()) {
            ([], coats) => Ok(vec![1.0; coats]),
            ([film], coats) => Ok(vec![*film; coats]),
            (films, coats) if films.len() == coats => Ok(films.to_vec()),
            (films, coats) => Err(Error::refused(
                "",
                format!(
                    "{} for {}",
                    counted(films.len(), "--film option"),
                    counted(coats, "coat")
                ),
                "--film once for all coats, or once per coat",
                "",
            )),
        }
    }
}

/// Rows of a chart: each undercoat, bare and coated.
fn rows(results: &[(&str, Predicted, Substrate)]) -> Vec<ChartRow> {
    results
        .iter()
        .map(|(over, dried, substrate)| {
            let code = dried.colour.encoded();
            ChartRow {
                title: format!("over {over}"),
                note: match dried.colour.in_gamut() {
                    true => String::new(),
                    false => "More vivid than sRGB can show.".to_owned(),
                },
                chips: vec![
                    (seen_bare(substrate), "undercoat".to_owned()),
                    (code, format!("dries to {code}")),
                ],
            }
        })
        .collect()
}

fn seen_bare(substrate: &Substrate) -> Encoded {
    substrate.seen_through(&[Film::NONE; BANDS]).encoded()
}

fn table(results: &[(&str, Predicted, Substrate)], chips: Chips) -> String {
    let results: Vec<_> = results
        .iter()
        .map(|(over, dried, substrate)| (for_terminal(over), dried, substrate))
        .collect();
    let wide = results
        .iter()
        .map(|(over, _, _)| over.chars().count())
        .fold(4, usize::max);
    let blank = chips.blank();
    let mut text = format!(
        "{blank}{:wide$}  {blank}dries to      L*     a*     b*      Y    ± ΔE  basis\n",
        "over"
    );
    for (over, dried, substrate) in results {
        let below = seen_bare(substrate);
        let code = dried.colour.encoded();
        let [l, a, b] = dried.colour.lab().0.map(|part| rounded(part, 1));
        let y = luminance(dried.colour);
        text += &format!(
            "{}{over:wide$}  {}{code}   {l:6.1} {a:6.1} {b:6.1}  {y:5.3}  {:>5}  {}",
            chips.chip(below),
            chips.chip(code),
            usual_error(dried.trust),
            dried.trust.basis
        );
        if !dried.colour.in_gamut() {
            text += "; more vivid than sRGB can show";
        }
        text += "\n";
    }
    text
}
