//! `velatura render`: every scheme on the figure.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, ValueEnum};
use velatura::{
    BackendChoice, Cancel, DiskFiles, Error, Extent, OutputFolder, RenderOptions, Report, render,
    running_clock,
};
use velatura_document::counted;
use velatura_report::to_json;

use super::scheme_named::index_of;
use super::wanted_adapter;
use crate::attached::{PluginArgs, Purpose, job_files, session};
use crate::format::Format;
use crate::messages::{done, out, warn};
use crate::progress::Bar;
use crate::signals;

/// Render every scheme on the figure: sheet.png, previews/*.png, index.html and report.json
///
/// FIGURE.toml names the photo, the mask and the undercoat. paints.toml and schemes.toml are read from the same folder.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  velatura render demo_images/lamplighter/figure.toml --out out")]
pub(crate) struct Render {
    /// Figure file: names the photo, mask, undercoat and regions
    #[arg(value_name = "FIGURE.toml")]
    figure: PathBuf,
    /// Write the results to this folder; create it if needed
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Read paints from FILE [default: paints.toml in the figure's folder]
    #[arg(long, value_name = "FILE")]
    paints: Option<PathBuf>,
    /// Read schemes from FILE [default: schemes.toml in the figure's folder]
    #[arg(long, value_name = "FILE")]
    schemes: Option<PathBuf>,
    /// Render only these schemes, in the order of the file
    #[arg(long, value_name = "NAME", num_args = 1..)]
    only: Vec<String>,
    /// Choose where to compute
    #[arg(long, value_enum, default_value_t = BackendArg::Auto)]
    backend: BackendArg,
    /// Arrange the sheet in N columns [default: chosen to fit]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1000))]
    columns: Option<u32>,
    /// Make the longer edge of the sheet PX pixels long
    #[arg(long, value_name = "PX", value_parser = clap::value_parser!(u32).range(64..=65535))]
    long_edge: Option<u32>,
    /// Write only sheet.png and report.json, computed at the sheet's own scale
    #[arg(long)]
    sheet_only: bool,
    #[command(flatten)]
    plugins: PluginArgs,
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum BackendArg {
    /// Use a graphics card if there is one and the job is large enough, otherwise the processor
    Auto,
    /// Use a graphics card (list them with `velatura devices`; `VELATURA_ADAPTER` chooses one by part of its name)
    Gpu,
    /// Use the processor
    Cpu,
}

impl From<BackendArg> for BackendChoice {
    fn from(backend: BackendArg) -> Self {
        match backend {
            BackendArg::Auto => Self::Auto,
            BackendArg::Gpu => Self::Gpu,
            BackendArg::Cpu => Self::Cpu,
        }
    }
}

impl Render {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let cancel = signals::cancel();
        let backend = velatura::Backend::new(self.backend.into(), wanted_adapter());
        let session = session(&self.plugins, &[&self.figure], self.format, Purpose::Work)?
            .backend(backend)
            .clock(running_clock())
            .build()?;
        let files = job_files(
            &session,
            &self.figure,
            self.paints.as_ref(),
            self.schemes.as_ref(),
        );
        let job = session.load_files(&DiskFiles, &files)?;
        for warning in &job.warnings {
            warn(warning, self.format);
        }
        for name in &self.only {
            index_of(&job, "--only", Some(name))?;
        }
        let bar = Bar::new("rendering");
        let report = render(
            &job,
            &self.options(&cancel, &bar),
            &OutputFolder::new(&self.out),
        );
        bar.clear();
        match report {
            Ok(report) => {
                self.print(&report)?;
                Ok(done(&report.left_out, self.format))
            }
            Err(Error::Cancelled) => Ok(signals::exit_code(&cancel)),
            Err(error) => Err(error),
        }
    }

    fn options(&self, cancel: &Cancel, bar: &Bar) -> RenderOptions {
        let bar = bar.clone();
        let mut options = RenderOptions::default()
            .only(self.only.iter().cloned())
            .extent(if self.sheet_only {
                Extent::SheetOnly
            } else {
                Extent::Everything
            })
            .cancel(cancel)
            .progress(move |done| bar.set(done));
        if let Some(columns) = self.columns {
            options = options.columns(columns);
        }
        if let Some(pixels) = self.long_edge {
            options = options.long_edge(pixels);
        }
        options
    }

    fn print(&self, report: &Report) -> Result<(), Error> {
        if self.format == Format::Json {
            return out(&to_json(report)?);
        }
        let shown = |file: &str| self.out.join(file).display().to_string();
        let mut text = format!(
            "{} on \"{}\"\nsheet     {}\n",
            counted(report.schemes.len(), "scheme"),
            report.figure,
            shown("sheet.png")
        );
        if !self.sheet_only {
            text += &format!("previews  {}\n", shown("previews"));
            text += &format!("page      {}\n", shown("index.html"));
        }
        text += &format!("report    {}\n", shown("report.json"));
        out(&text)
    }
}
