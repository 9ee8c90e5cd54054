//! `velatura check`: says whether files are right, all their problems at once.

use std::collections::BTreeMap;
use std::process::ExitCode;

use clap::Args;
use velatura_document::StageTable;
use velatura_document::{At, SourceText, counted};
use velatura_document::{Diagnostic, nearest};
use velatura_photo::{DecodeLimits, decode_photo};
use velatura_pipeline::figure::{
    FigureFile, detail_checks, named_in, plate, read_figure_file, underpainting,
};
use velatura_pipeline::optics::calibrate::calibrate;
use velatura_pipeline::optics::paint_report::{PaintReport, paint_reports};
use velatura_pipeline::optics::paints_file::read_paints_file;
use velatura_pipeline::scheme::{Scheme, read_schemes_file, resolve};
use velatura_pipeline::{Error, JobFiles, Registry, StageTables};
use velatura_swatch::read_layout_file;

use super::Format;
use super::paint_table::paint_table;
use crate::attached::{PluginArgs, Purpose, registry};
use crate::files::read_file;
use crate::hints::all_with_options;
use crate::messages::{json, out, warn};

const FORMATS: [&str; 4] = [
    "velatura-figure/1",
    "velatura-paints/1",
    "velatura-schemes/1",
    "velatura-layout/1",
];

/// Check input files: list every problem, and what would make the colours more reliable
///
/// For a figure file, the photo and the mask are checked too. Names in a schemes file are looked up in figure.toml and
/// paints.toml in the same folder. For each paint the report shows its basis (what it is known from), masstone, undertone
/// (a film of 0.25, a quarter of the drawdown, over the white card), contrast ratio (ISO 6504-3: Y over black divided by
/// Y over white, from the data given) and what data is missing. With --format json the output is a list of problems; with
/// --paints as well it is an object with `problems` and `paints`.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  velatura check demo_images/lamplighter/*.toml\n  \
    velatura check --paints demo_images/lamplighter/paints.toml --format json"
)]
pub(crate) struct Check {
    /// Files to check: figure, paints, schemes or layout files
    #[arg(value_name = "FILE", required_unless_present = "paints")]
    files: Vec<String>,
    /// Report these paints and check the schemes against them [default: paints.toml in the schemes' folder]
    #[arg(long, value_name = "FILE")]
    paints: Option<String>,
    #[command(flatten)]
    plugins: PluginArgs,
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

/// What was found out about one file.
#[derive(Default)]
struct Findings {
    problems: Vec<Diagnostic>,
    paints: Vec<PaintReport>,
}

impl Check {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let mut all = Findings::default();
        let mut attached = Attached::new(&self.plugins, self.format);
        let named = self.paints.iter().chain(&self.files);
        for file in named {
            let found = self.check(file, &mut attached);
            if self.format == Format::Text {
                self.tell(file, &found)?;
            }
            all.problems.extend(found.problems);
            all.paints.extend(found.paints);
        }
        if self.format == Format::Json {
            let problems = all_with_options(&all.problems);
            let text = if self.paints.is_some() {
                json(&serde_json::json!({
                    "format": "velatura-check/1",
                    "problems": problems,
                    "paints": all.paints,
                }))
            } else {
                json(&problems)
            };
            out(&text?)?;
        }
        Ok(if all.problems.iter().any(Diagnostic::is_error) {
            ExitCode::from(1)
        } else {
            ExitCode::SUCCESS
        })
    }

    fn tell(&self, file: &str, found: &Findings) -> Result<(), Error> {
        let problems = &found.problems;
        problems
            .iter()
            .for_each(|problem| warn(problem, self.format));
        let errors = problems.iter().filter(|one| one.is_error()).count();
        let verdict = match (errors, problems.len() - errors) {
            (0, 0) => "OK".to_owned(),
            (0, warnings) => format!("OK, {}", counted(warnings, "warning")),
            (errors, 0) => counted(errors, "error"),
            (errors, warnings) => {
                format!(
                    "{}, {}",
                    counted(errors, "error"),
                    counted(warnings, "warning")
                )
            }
        };
        out(&format!(
            "{file}: {verdict}\n{}",
            paint_table(&found.paints)
        ))
    }

    /// All problems of one file, and what is known of its paints.
    fn check(&self, file: &str, attached: &mut Attached<'_>) -> Findings {
        let source = match read_file(file).and_then(|bytes| SourceText::from_bytes(file, bytes)) {
            Ok(source) => source,
            Err(problem) => return problem.into(),
        };
        let is = |format: &str| source.text().contains(format);
        if self.paints.as_deref() == Some(file) || is("velatura-paints/") {
            check_paints(&source)
        } else if is("velatura-figure/") {
            check_figure(&source, attached).into()
        } else if is("velatura-layout/") {
            read_layout_file(&source).1.into()
        } else if is("velatura-schemes/") {
            self.check_schemes(&source, attached).into()
        } else {
            unknown_kind(&source).into()
        }
    }

    fn check_schemes(&self, source: &SourceText, attached: &mut Attached<'_>) -> Vec<Diagnostic> {
        let (file, mut found) = read_schemes_file(source);
        let beside = JobFiles::beside(source.name());
        let (figure_name, paints_name) = (
            beside.in_figure_folder("figure.toml"),
            self.paints.clone().unwrap_or(beside.paints),
        );
        let text = |name: &str| {
            read_file(name)
                .and_then(|bytes| SourceText::from_bytes(name, bytes))
                .ok()
        };
        let figure = text(&figure_name).and_then(|source| read_figure_file(&source).0);
        let paints = text(&paints_name).and_then(|source| read_paints_file(&source).0);
        if let (Some(file), Some(figure), Some(paints)) = (file, figure, paints) {
            let regions: Vec<String> = figure
                .regions
                .iter()
                .map(|region| region.name.value.clone())
                .collect();
            let paints = calibrate(&paints).0;
            match resolve(&file, &regions, &figure_name, &paints, &paints_name) {
                Ok(schemes) => {
                    found.extend(attached.problems(&figure_name, &[], &file.stages, &schemes));
                }
                Err(problems) => found.extend(problems),
            }
        }
        found
    }
}

impl From<Vec<Diagnostic>> for Findings {
    fn from(problems: Vec<Diagnostic>) -> Self {
        Self {
            problems,
            paints: Vec::new(),
        }
    }
}

impl From<Diagnostic> for Findings {
    fn from(problem: Diagnostic) -> Self {
        vec![problem].into()
    }
}

/// The stages of the figures that are looked at, attached once for each.
struct Attached<'a> {
    plugins: &'a PluginArgs,
    format: Format,
    by_figure: BTreeMap<String, Option<Registry>>,
}

impl<'a> Attached<'a> {
    fn new(plugins: &'a PluginArgs, format: Format) -> Self {
        Self {
            plugins,
            format,
            by_figure: BTreeMap::new(),
        }
    }

    /// What is wrong with the tables of stages in a file; `figure` is the figure file that names plugins. What is wrong with the
    /// plugins themselves is told once.
    fn problems(
        &mut self,
        figure: &str,
        in_figure: &[StageTable],
        in_schemes: &[StageTable],
        schemes: &[Scheme],
    ) -> Vec<Diagnostic> {
        let mut problems = Vec::new();
        let registry = self.by_figure.entry(figure.to_owned()).or_insert_with(|| {
            match registry(self.plugins, &[figure], self.format, Purpose::Look) {
                Ok(registry) => {
                    let unattached = registry.left_out().into_iter();
                    problems.extend(unattached.flat_map(|left_out| left_out.problems));
                    Some(registry)
                }
                Err(Error::Input(found)) => {
                    problems.extend(found);
                    None
                }
                Err(error) => {
                    problems.push(Diagnostic::error(figure, error.to_string()));
                    None
                }
            }
        });
        if let Some(registry) = registry {
            let tables = StageTables::new(in_figure, in_schemes, schemes);
            problems.extend(tables.problems(registry, schemes));
        }
        problems
    }
}

fn check_figure(source: &SourceText, attached: &mut Attached<'_>) -> Vec<Diagnostic> {
    let (figure, mut found) = read_figure_file(source);
    if let Some(figure) = figure {
        found.extend(attached.problems(source.name(), &figure.stages, &[], &[]));
        found.extend(check_pictures(&figure, &JobFiles::beside(source.name())));
    }
    found
}

fn unknown_kind(source: &SourceText) -> Diagnostic {
    let written = source
        .text()
        .lines()
        .find_map(|line| line.trim().strip_prefix("format"))
        .unwrap_or_default();
    let near =
        nearest(written.trim_matches(|c: char| " =\"".contains(c)), FORMATS).unwrap_or(FORMATS[0]);
    Diagnostic::error(
        source.name(),
        "there is no `format` line that says what kind of file this is",
    )
    .expected(format!(
        "format = \"{}\", or the same with paints, schemes or layout",
        FORMATS[0]
    ))
    .help(format!("start the file with: format = \"{near}\""))
}

fn check_pictures(figure: &FigureFile, files: &JobFiles) -> Vec<Diagnostic> {
    let limits = DecodeLimits::default();
    let mut found = Vec::new();
    let mut picture =
        |path: &At<String>, key: &str| match read_file(&files.in_figure_folder(&path.value)) {
            Ok(bytes) => Some(bytes),
            Err(mut problem) => {
                problem.file.clone_from(&path.value);
                found.push(problem.within(named_in(figure, &path.at, key)));
                None
            }
        };
    let photo = picture(&figure.photo, "photo");
    let mask = picture(&figure.mask, "mask");
    // Without a light photo that is named the rest is judged all the same; one that cannot be read was told just now.
    let light_photo = figure.undercoat.light_photo.as_ref().and_then(|path| {
        let bytes = picture(path, "light_photo")?;
        Some((path, bytes))
    });
    let (Some(photo), Some(mask)) = (photo, mask) else {
        return found;
    };
    let plate = match plate(figure, &photo, &mask, &limits) {
        Ok((plate, warnings)) => {
            found.extend(warnings);
            plate
        }
        Err(problems) => {
            found.extend(problems);
            return found;
        }
    };
    let light_photo =
        light_photo.and_then(
            |(path, bytes)| match decode_photo(&path.value, &bytes, &limits) {
                Ok((photo, warnings)) => {
                    found.extend(warnings);
                    Some(photo)
                }
                Err(problem) => {
                    found.push(problem);
                    None
                }
            },
        );
    found.extend(detail_checks(&plate, figure));
    match underpainting(plate, figure, light_photo) {
        Ok((_, warnings)) => found.extend(warnings),
        Err(problem) => found.push(problem),
    }
    found
}

fn check_paints(source: &SourceText) -> Findings {
    let (file, mut problems) = read_paints_file(source);
    let mut paints = Vec::new();
    if let Some(file) = file {
        let (calibrated, warnings) = calibrate(&file);
        problems.extend(warnings);
        paints = paint_reports(&file, &calibrated);
    }
    Findings { problems, paints }
}
