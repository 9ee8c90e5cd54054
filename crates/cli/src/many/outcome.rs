//! What became of each figure, printed as soon as it is known and again in the end.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use serde_json::{Value, json};
use velatura::Error;
use velatura_document::counted;

use super::figures::Named;
use super::made_from::MadeFrom;
use crate::format::Format;
use crate::messages::{LEFT_OUT, json as as_json, out};

/// What became of a figure.
#[derive(Debug, Clone)]
pub(crate) struct Outcome {
    /// The figure's name, if it could be read.
    pub(super) figure: Option<String>,
    pub(super) schemes: usize,
    pub(super) done: Done,
}

#[derive(Debug, Clone)]
pub(super) enum Done {
    /// Its results are new; `left_out` if a stage failed.
    Rendered { left_out: bool },
    /// Its results were complete and current.
    Current,
    /// It has no new results. The first problem, and the exit status for it.
    Failed { problem: String, status: ExitCode },
}

impl Outcome {
    pub(super) fn rendered(record: &MadeFrom, left_out: bool) -> Self {
        Self {
            figure: Some(record.figure.clone()),
            schemes: record.schemes,
            done: Done::Rendered { left_out },
        }
    }

    pub(super) fn current(record: &MadeFrom) -> Self {
        Self {
            figure: Some(record.figure.clone()),
            schemes: record.schemes,
            done: Done::Current,
        }
    }

    pub(super) fn failed(error: &Error, status: ExitCode) -> Self {
        let first = error.diagnostics().first();
        Self {
            figure: None,
            schemes: 0,
            done: Done::Failed {
                problem: first.map_or_else(|| error.to_string(), |one| one.found.clone()),
                status,
            },
        }
    }

    fn word(&self) -> &'static str {
        match self.done {
            Done::Rendered { .. } => "rendered",
            Done::Current => "current",
            Done::Failed { .. } => "failed",
        }
    }
}

/// All outcomes, in the order of the figures.
#[derive(Debug)]
pub(crate) struct Summary {
    format: Format,
    out: PathBuf,
    lines: Vec<(Named, Outcome)>,
}

impl Summary {
    pub(super) fn new(format: Format, out: &Path) -> Self {
        Self {
            format,
            out: out.to_owned(),
            lines: Vec::new(),
        }
    }

    pub(super) fn lines(&self) -> impl Iterator<Item = &(Named, Outcome)> {
        self.lines.iter()
    }

    /// Adds a figure and prints its line.
    pub(super) fn add(&mut self, named: &Named, outcome: Outcome) {
        if self.format == Format::Text {
            let folder = match outcome.done {
                // What is there is of an earlier call.
                Done::Failed { .. } => String::new(),
                _ => format!("  {}", self.out.join(&named.folder).display()),
            };
            // If nobody reads this, the results are still there.
            let _ = out(&format!(
                "{:<9} {}{folder}\n",
                outcome.word(),
                named.figure.display()
            ));
        }
        self.lines.push((named.clone(), outcome));
    }

    fn count(&self, which: fn(&Done) -> bool) -> usize {
        let lines = self.lines.iter();
        lines.filter(|(_, outcome)| which(&outcome.done)).count()
    }

    /// Prints the counts, or everything as JSON. `over_all` are the files about all figures.
    ///
    /// # Errors
    /// Standard output cannot be written.
    pub(crate) fn print(&self, over_all: &[&str]) -> Result<(), Error> {
        let counts = [
            self.count(|done| matches!(done, Done::Rendered { .. })),
            self.count(|done| matches!(done, Done::Current)),
            self.count(|done| matches!(done, Done::Failed { .. })),
        ];
        if self.format == Format::Json {
            let figures: Vec<Value> = self
                .lines
                .iter()
                .map(|(named, outcome)| {
                    json!({
                        "figure": named.figure,
                        "out": self.out.join(&named.folder),
                        "outcome": outcome.word(),
                        "problem": match &outcome.done {
                            Done::Failed { problem, .. } => Some(problem),
                            _ => None,
                        },
                    })
                })
                .collect();
            return out(&as_json(&json!({
                "format": "velatura-render-many/1",
                "figures": figures,
                "rendered": counts[0],
                "current": counts[1],
                "failed": counts[2],
            }))?);
        }
        let mut text = format!(
            "{}: {} rendered, {} current, {} failed\n",
            counted(self.lines.len(), "figure"),
            counts[0],
            counts[1],
            counts[2]
        );
        for file in over_all {
            text += &format!("over all  {}\n", self.out.join(file).display());
        }
        out(&text)
    }

    /// That of the first figure that failed, otherwise 4 if a stage failed.
    pub(crate) fn status(&self) -> ExitCode {
        let failed = self
            .lines
            .iter()
            .find_map(|(_, outcome)| match &outcome.done {
                Done::Failed { status, .. } => Some(*status),
                _ => None,
            });
        let left_out = self.count(|done| matches!(done, Done::Rendered { left_out: true })) > 0;
        failed.unwrap_or(match left_out {
            true => ExitCode::from(LEFT_OUT),
            false => ExitCode::SUCCESS,
        })
    }
}
