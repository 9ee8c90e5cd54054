//! `velatura import`: a paints file from instruments, spreadsheets and palettes.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::builder::PossibleValuesParser;
use clap::{Args, ValueEnum};
use velatura_document::{Diagnostic, SourceText, counted};
use velatura_pipeline::Error;
use velatura_pipeline::optics::colour::Encoded;
use velatura_pipeline::optics::import::{ImportOptions, Imported, import};
use velatura_pipeline::optics::paints_file;
use velatura_pipeline::optics::paints_file::OPACITY_WORDS;
use velatura_pipeline::optics::surface::Specular;

use crate::files::read_text;
use crate::format::Format;
use crate::hints::all_with_options;
use crate::messages::{json, out, warn};
use crate::outputs::{Existing, OutputPlace, place, write_whole};

/// Means standard output in place of a file name.
const STANDARD_OUTPUT: &str = "-";

const NAMES: &str = "\
Files:
  CGATS.17 text (ISO 28178) with columns such as SAMPLE_NAME and SPECTRAL_NM400
  CSV, separated by tab, ; or comma: a row per sample, columns name and 400, 410 … 700;
    or a column per sample, wavelengths down the first; or the columns name and colour
  Palettes (.gpl)
  File types are detected from the content.

Sample names show which rows belong together:
  card / black, card / white               the bare cards below the drawdowns
  Oil Amber / black, Oil Amber / white     a paint brushed over them
  Oil Amber 1 + Gull White 9 / black       a tint: both paints with their parts by volume
  Old Rope / semi-opaque, Old Rope / 0.62  a chip (only a colour) with its opacity or contrast ratio

Contrast ratio of each opacity word (from memory, not from a standard):
  transparent 0.10, semi-transparent 0.35, semi-opaque 0.70, opaque 0.97

Example:
  velatura import drawdowns.txt --specular included --out paints.toml
  velatura import palette.gpl --opacity semi-transparent --out chips.toml";

/// Make a paints file from measured spectra (CGATS.17, CSV) or palettes (.gpl)
///
/// Measured values are kept as they are. If the files leave something open, the error message names the option to add. The
/// paints file is complete, or not written. Existing files are kept unless you add --force.
#[derive(Debug, Args)]
#[command(after_help = NAMES)]
pub(crate) struct Import {
    /// Measured data or palettes, in any combination
    #[arg(value_name = "FILE", required = true)]
    files: Vec<String>,
    /// Write the paints file here; - for standard output
    #[arg(long, value_name = "FILE")]
    out: String,
    /// Whether the values include the surface's own reflection, about 4 % (SCI or SCE on the instrument)
    #[arg(long, value_enum, value_name = "WORD")]
    specular: Option<SpecularWord>,
    /// Unit of the spectra [default: detected from the largest value]
    #[arg(long, value_enum, value_name = "WORD")]
    unit: Option<UnitWord>,
    /// Opacity of all chips that do not state their own
    #[arg(long, value_name = "WORD", value_parser = PossibleValuesParser::new(OPACITY_WORDS.map(|choice| choice.word)))]
    opacity: Option<String>,
    /// Colour of the bare black card, if no row has it
    #[arg(long, value_name = "COLOUR", requires = "white_card")]
    black_card: Option<Encoded>,
    /// Colour of the bare white card, if no row has it
    #[arg(long, value_name = "COLOUR", requires = "black_card")]
    white_card: Option<Encoded>,
    /// Overwrite an existing file
    #[arg(long)]
    force: bool,
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum SpecularWord {
    /// Sphere with the gloss trap closed (SCI)
    Included,
    /// Sphere with the gloss trap open (SCE), or 45/0
    Excluded,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum UnitWord {
    /// 0 to 100
    Percent,
    /// 0 to 1
    Fraction,
}

impl Import {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let target = self.target()?;
        let sources = self.sources()?;
        let imported = import(&sources, &self.options(), &self.out).map_err(Error::inputs)?;
        for warning in &imported.warnings {
            warn(warning, self.format);
        }
        match target {
            None => out(&imported.text)?,
            Some(target) => {
                write_whole(
                    &[(target, imported.text.clone().into_bytes())],
                    &self.inputs(),
                )?;
                self.print(&imported)?;
            }
        }
        Ok(ExitCode::SUCCESS)
    }

    /// Where to write, `None` for standard output; refused before any work if a file would be lost.
    fn target(&self) -> Result<Option<OutputPlace>, Error> {
        if self.out == STANDARD_OUTPUT {
            return match self.format {
                Format::Text => Ok(None),
                Format::Json => Err(Error::call(
                    Diagnostic::error("", "the paints file itself goes to standard output")
                        .within("--out -")
                        .expected("only one result on standard output")
                        .help("remove --format json, or write to a file"),
                )),
            };
        }
        place(&self.out, &self.inputs(), Existing::unless(self.force)).map(Some)
    }

    fn inputs(&self) -> Vec<PathBuf> {
        self.files.iter().map(PathBuf::from).collect()
    }

    fn sources(&self) -> Result<Vec<SourceText>, Error> {
        let mut sources = Vec::new();
        let mut problems = Vec::new();
        for file in &self.files {
            match read_text(file) {
                Ok(source) => sources.push(source),
                Err(mut problem) => {
                    let is_toml = |expected: &String| expected.contains("TOML");
                    if problem.expected.as_ref().is_some_and(is_toml) {
                        problem = problem.expected("text, saved as UTF-8");
                    }
                    problems.push(problem);
                }
            }
        }
        if problems.is_empty() {
            Ok(sources)
        } else {
            Err(Error::inputs(problems))
        }
    }

    fn options(&self) -> ImportOptions {
        let opacity = self.opacity.as_deref();
        ImportOptions {
            specular: self.specular.map(|word| match word {
                SpecularWord::Included => Specular::Included,
                SpecularWord::Excluded => Specular::Excluded,
            }),
            unit: self.unit.map(|word| match word {
                UnitWord::Percent => paints_file::Unit::Percent,
                UnitWord::Fraction => paints_file::Unit::Fraction,
            }),
            opacity: opacity
                .and_then(|typed| OPACITY_WORDS.iter().find(|choice| choice.word == typed))
                .map(|choice| choice.word),
            black_card: self.black_card,
            white_card: self.white_card,
        }
    }

    fn print(&self, imported: &Imported) -> Result<(), Error> {
        if self.format == Format::Json {
            return out(&json(&serde_json::json!({
                "format": "velatura-import/1",
                "out": self.out,
                "paints": imported.paints,
                "tints": imported.tints,
                "chips": imported.chips,
                "warnings": all_with_options(&imported.warnings),
            }))?);
        }
        out(&format!(
            "{}, {}{}\nwritten   {}\nnext      velatura check --paints {}\n",
            counted(imported.paints, "paint"),
            counted(imported.tints, "tint"),
            match imported.chips {
                0 => String::new(),
                chips => format!("; {} known only from a chip", counted(chips, "paint")),
            },
            self.out,
            self.out
        ))
    }
}
