//! `velatura check`: checks files and lists all their problems at once.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Args;
use velatura::{DiskFiles, Error, JobFiles, Session, SessionBuilder, Warned};
use velatura_document::{Diagnostic, SourceText, counted, nearest};
use velatura_pipeline::optics::calibrate::calibrate;
use velatura_pipeline::optics::paint_report::{PaintReport, paint_reports};
use velatura_pipeline::optics::paints_file::read_paints_files;
use velatura_swatch::read_layout_file;

use super::paint_table::{chart_rows, paint_table};
use crate::attached::{PluginArgs, Purpose, session};
use crate::chips::Chips;
use crate::files::read_text;
use crate::format::Format;
use crate::hints::all_with_options;
use crate::messages::{json, json_value, out, out_with_colours, warn};
use crate::picture::PictureArg;

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
    files: Vec<PathBuf>,
    /// Report these paints and check the schemes against them (repeatable: the files join) [default: paints.toml in the schemes' folder]
    #[arg(long, value_name = "FILE")]
    paints: Vec<PathBuf>,
    #[command(flatten)]
    picture: PictureArg,
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
        let mut sessions = Sessions::new(&self.plugins, self.format);
        let inputs: Vec<PathBuf> = self.paints.iter().chain(&self.files).cloned().collect();
        let picture = self.picture.planned(&inputs)?;
        let mut add = |file: &Path, found: Findings| -> Result<(), Error> {
            if self.format == Format::Text {
                self.print(file, &found)?;
            }
            all.problems.extend(found.problems);
            all.paints.extend(found.paints);
            Ok(())
        };
        for (file, found) in self.paints.iter().zip(check_paints(&self.paints)) {
            add(file, found)?;
        }
        for file in &self.files {
            add(file, self.check(file, &mut sessions)?)?;
        }
        if let Some(picture) = picture {
            if all.paints.is_empty() {
                let found = "none of these files has a paint that could be read";
                return Err(Error::refused("--picture", found, "a paints file", ""));
            }
            let written = picture.write("Paints", chart_rows(&all.paints))?;
            if self.format == Format::Text {
                out(&written)?;
            }
        }
        if self.format == Format::Json {
            let problems = all_with_options(&all.problems);
            let text = if !self.paints.is_empty() {
                json(&serde_json::json!({
                    "format": "velatura-check/1",
                    "problems": problems,
                    "paints": json_value(&all.paints)?,
                }))
            } else {
                json(&problems)
            };
            out(&text?)?;
        }
        Ok(if all.problems.iter().any(Diagnostic::is_shortage) {
            // Nothing is known about the files.
            ExitCode::from(3)
        } else if all.problems.iter().any(Diagnostic::is_error) {
            ExitCode::from(1)
        } else {
            ExitCode::SUCCESS
        })
    }

    fn print(&self, file: &Path, found: &Findings) -> Result<(), Error> {
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
        out(&format!("{}: {verdict}\n", file.display()))?;
        out_with_colours(&paint_table(&found.paints, Chips::of_standard_output()))
    }

    /// All problems of one file, and what is known about its paints.
    fn check(&self, file: &Path, sessions: &mut Sessions<'_>) -> Result<Findings, Error> {
        let source = match read_text(file) {
            Ok(source) => source,
            Err(problem) => return Ok(problem.into()),
        };
        let paints = match &*self.paints {
            [] => JobFiles::next_to(file).paints,
            named => named.to_vec(),
        };
        Ok(match Kind::of(file, &source) {
            Some(Kind::Paints) => check_joined(&[source]).remove(0),
            Some(Kind::Layout) => {
                let read = read_layout_file(&source);
                read.map_or_else(|problems| problems, |layout| layout.warnings)
                    .into()
            }
            Some(Kind::Figure) => {
                let files = JobFiles {
                    figure: file.to_owned(),
                    paints,
                    schemes: None,
                };
                let (mut problems, session) = sessions.of(file);
                if let Some(session) = session {
                    problems.extend(session.check(&DiskFiles, &files)?.figure);
                }
                problems.into()
            }
            Some(Kind::Schemes) => {
                let figure = file.with_file_name("figure.toml");
                let (mut problems, session) = sessions.of(&figure);
                let files = JobFiles {
                    figure,
                    paints,
                    schemes: Some(file.to_owned()),
                };
                if let Some(session) = session {
                    problems.extend(session.check_schemes(&DiskFiles, &files)?);
                }
                problems.into()
            }
            None => unknown_kind(&source).into(),
        })
    }
}

/// The kind of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Figure,
    Paints,
    Schemes,
    Layout,
}

impl Kind {
    /// The kind from the file's `format` line, otherwise from its name.
    fn of(file: &Path, source: &SourceText) -> Option<Self> {
        let says = |format: &str| source.text().contains(format);
        let named = |name: &str| file.file_name().is_some_and(|own| own == name);
        if says("velatura-paints/") {
            Some(Self::Paints)
        } else if says("velatura-figure/") {
            Some(Self::Figure)
        } else if says("velatura-layout/") {
            Some(Self::Layout)
        } else if says("velatura-schemes/") {
            Some(Self::Schemes)
        } else if named("figure.toml") {
            Some(Self::Figure)
        } else if named("paints.toml") {
            Some(Self::Paints)
        } else if named("schemes.toml") {
            Some(Self::Schemes)
        } else {
            None
        }
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

/// The session of each checked figure. A session attaches the figure's plugins, so each is made once.
struct Sessions<'a> {
    plugins: &'a PluginArgs,
    format: Format,
    by_figure: BTreeMap<PathBuf, Option<Session>>,
}

impl<'a> Sessions<'a> {
    fn new(plugins: &'a PluginArgs, format: Format) -> Self {
        Self {
            plugins,
            format,
            by_figure: BTreeMap::new(),
        }
    }

    /// The session of a figure, and, the first time, the problems of its plugins.
    fn of(&mut self, figure: &Path) -> (Vec<Diagnostic>, Option<&Session>) {
        let mut problems = Vec::new();
        let made = self.by_figure.entry(figure.to_owned()).or_insert_with(|| {
            let builder = session(self.plugins, &[figure], self.format, Purpose::Look);
            match builder.and_then(SessionBuilder::build) {
                Ok(session) => {
                    let unattached = session.unattached().iter();
                    problems.extend(unattached.flat_map(|one| one.problems.iter().cloned()));
                    Some(session)
                }
                Err(error) => {
                    problems.extend(error.diagnostics().iter().cloned());
                    None
                }
            }
        });
        (problems, made.as_ref())
    }
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

/// Checks paints files that join. The findings are those of each file, in the same order.
fn check_paints(names: &[PathBuf]) -> Vec<Findings> {
    let read: Vec<Result<SourceText, Diagnostic>> = names.iter().map(read_text).collect();
    let sources: Vec<SourceText> = read.iter().flatten().cloned().collect();
    let mut joined = check_joined(&sources).into_iter();
    read.into_iter()
        .map(|read| match read {
            Ok(_) => joined.next().unwrap_or_default(),
            Err(problem) => problem.into(),
        })
        .collect()
}

fn check_joined(sources: &[SourceText]) -> Vec<Findings> {
    let mut all: Vec<Findings> = sources.iter().map(|_| Findings::default()).collect();
    let of = |name: &str| sources.iter().position(|source| source.name() == name);
    let mut problems = Vec::new();
    if let Some(file) = Warned::if_read(read_paints_files(sources), &mut problems) {
        let calibrated = calibrate(&file).into_value(&mut problems);
        let reports = paint_reports(&file, &calibrated);
        for (entry, report) in file.paints.iter().zip(reports) {
            all[of(entry.source.name()).unwrap_or(0)]
                .paints
                .push(report);
        }
    }
    for problem in problems {
        if let Some(found) = all.get_mut(of(&problem.file).unwrap_or(0)) {
            found.problems.push(problem);
        }
    }
    all
}
