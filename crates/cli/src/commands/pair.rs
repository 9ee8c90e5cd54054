//! `velatura pair`: two teams on one table.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Args;
use velatura::{
    DiskFiles, Error, Job, JobFiles, OutputFolder, PairOptions, PairReport, Session, Side, pair,
};
use velatura_document::Range;
use velatura_pair::{Screen, pair_to_json, planned_pair_files};

use super::scheme_named::{index_of, parted};
use crate::attached::{PluginArgs, Purpose, job_files, session};
use crate::format::Format;
use crate::messages::{done, out, warn};
use crate::number::number;
use crate::signals;

/// Compare two teams: close up, from across the table, in grey and with other colour vision
///
/// Writes pair.png, pair.html and report.json. Write each team as a figure file, a colon and the name of a scheme. You can
/// leave the name out if there is only one scheme. Everything after the first ".toml:" is the name, so it may contain
/// colons. paints.toml and schemes.toml are read from the folder of each figure.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  velatura pair demo_images/lamplighter/figure.toml:Foglight \\\n    \"demo_images/lamplighter/figure.toml:Wick & Ember\" --out out"
)]
pub(crate) struct Pair {
    /// First team
    #[arg(value_name = "A.toml:SCHEME")]
    first: String,
    /// Second team
    #[arg(value_name = "B.toml:SCHEME")]
    second: String,
    /// Write the results to this folder; create it if needed
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Read the first team's paints from FILE (repeatable) [default: paints.toml in its figure's folder]
    #[arg(long, value_name = "FILE")]
    first_paints: Vec<PathBuf>,
    /// Read the first team's schemes from FILE [default: schemes.toml in its figure's folder]
    #[arg(long, value_name = "FILE")]
    first_schemes: Option<PathBuf>,
    /// Read the second team's paints from FILE (repeatable) [default: paints.toml in its figure's folder]
    #[arg(long, value_name = "FILE")]
    second_paints: Vec<PathBuf>,
    /// Read the second team's schemes from FILE [default: schemes.toml in its figure's folder]
    #[arg(long, value_name = "FILE")]
    second_schemes: Option<PathBuf>,
    /// Severity of the simulated protan, deutan and tritan vision: 0 = none, 1 = complete
    #[arg(long, value_name = "0…1", default_value_t = 1.0, value_parser = severity)]
    severity: f64,
    /// Pixels per inch of the screen you view the page on
    #[arg(long, value_name = "PPI", default_value_t = 96.0, value_parser = ppi)]
    screen_ppi: f64,
    /// Distance from your eyes to that screen in mm [default: 711, an arm's length]
    #[arg(long, value_name = "MM", value_parser = screen_distance)]
    screen_distance_mm: Option<f64>,
    #[command(flatten)]
    plugins: PluginArgs,
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

impl Pair {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let cancel = signals::cancel();
        let (first, first_scheme) = parted(&self.first)?;
        let (second, second_scheme) = parted(&self.second)?;
        let figures = [first, second].map(Path::new);
        let session = session(&self.plugins, &figures, self.format, Purpose::Work)?.build()?;
        let files = [
            job_files(
                &session,
                figures[0],
                &self.first_paints,
                self.first_schemes.as_ref(),
            ),
            job_files(
                &session,
                figures[1],
                &self.second_paints,
                self.second_schemes.as_ref(),
            ),
        ];
        let one = self.loaded(&session, &files[0])?;
        // Two schemes of one figure: read once, with each warning once.
        let other = match files[0] == files[1] {
            true => None,
            false => Some(self.loaded(&session, &files[1])?),
        };
        let jobs = [&one, other.as_ref().unwrap_or(&one)];
        let sides = [
            side(jobs[0], &self.first, first_scheme)?,
            side(jobs[1], &self.second, second_scheme)?,
        ];
        let options = PairOptions::default()
            .severity(self.severity)
            .screen(Screen {
                ppi: self.screen_ppi,
                distance_mm: self
                    .screen_distance_mm
                    .unwrap_or(Screen::default().distance_mm),
            })
            .cancel(&cancel);
        match pair(&sides, &options, &OutputFolder::new(&self.out)) {
            Ok(paired) => {
                self.print(&paired.report)?;
                Ok(done(&paired.left_out, self.format))
            }
            Err(Error::Cancelled) => Ok(signals::exit_code(&cancel)),
            Err(error) => Err(error),
        }
    }

    fn loaded(&self, session: &Session, files: &JobFiles) -> Result<Job, Error> {
        let job = session.load_files(&DiskFiles, files)?;
        for warning in &job.warnings {
            warn(warning, self.format);
        }
        Ok(job)
    }

    fn print(&self, report: &PairReport) -> Result<(), Error> {
        if self.format == Format::Json {
            return out(&pair_to_json(report)?);
        }
        let [first, second] = report.teams.each_ref().map(|team| &team.scheme);
        let shown = |file: &str| self.out.join(file).display().to_string();
        let [picture, page, data] = planned_pair_files().map(shown);
        out(&format!(
            "\"{first}\" and \"{second}\" {}\npicture   {picture}\npage      {page}\nreport    {data}\n",
            report.verdict.line
        ))
    }
}

/// The scheme of a team; `team` is the text that the user wrote.
fn side<'a>(job: &'a Job, team: &str, wanted: Option<&str>) -> Result<Side<'a>, Error> {
    let scheme = index_of(job, team, wanted)?;
    Ok(Side { job, scheme })
}

fn severity(text: &str) -> Result<f64, String> {
    number(text, Range::new(0.0, 1.0))
}

fn ppi(text: &str) -> Result<f64, String> {
    number(text, Range::new(30.0, 1200.0))
}

fn screen_distance(text: &str) -> Result<f64, String> {
    number(text, Range::new(100.0, 5000.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_team_is_a_file_and_a_name_that_may_hold_colons() {
        let parts = |team| parted(team).unwrap();
        assert_eq!(
            parts("a/figure.toml:Foglight"),
            ("a/figure.toml", Some("Foglight"))
        );
        assert_eq!(
            parts("C:\\a\\F.TOML:Fog: late.toml: x"),
            ("C:\\a\\F.TOML", Some("Fog: late.toml: x"))
        );
        assert_eq!(parts("figure.toml"), ("figure.toml", None));
        assert_eq!(parts("figure.toml:"), ("figure.toml", Some("")));
        let message = parted("figure:Foglight").unwrap_err().to_string();
        assert!(
            message.contains("expected: FIGURE.toml:SCHEME"),
            "{message}"
        );
    }

    #[test]
    fn numbers_out_of_range_are_refused() {
        assert_eq!(severity("0.6"), Ok(0.6));
        for wrong in ["1.01", "-0.1", "NaN", "much"] {
            assert!(severity(wrong).is_err(), "{wrong}");
        }
    }
}
