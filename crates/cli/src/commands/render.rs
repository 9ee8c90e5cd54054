//! `velatura render`: every scheme on the figure.

use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Instant;

use clap::{Args, ValueEnum};
use velatura::{Extent, RenderOptions, planned_files, render};
use velatura_document::{Diagnostic, counted, either, nearest};
use velatura_output::OutputFolder;
use velatura_pipeline::{BackendChoice, Clock, Error, Job, JobFiles, Registry, RunOptions, load};
use velatura_report::{Report, to_json};

use super::scheme_named::did_you_mean;
use super::{Format, wanted_adapter};
use crate::attached::{PluginArgs, Purpose, attached_files, job_files, registry};
use crate::files::read_file;
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
    figure: String,
    /// Write the results to this folder; create it if needed
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Read paints from FILE [default: paints.toml in the figure's folder]
    #[arg(long, value_name = "FILE")]
    paints: Option<String>,
    /// Read schemes from FILE [default: schemes.toml in the figure's folder]
    #[arg(long, value_name = "FILE")]
    schemes: Option<String>,
    /// Render only these schemes, in the order of the file
    #[arg(long, value_name = "NAME", num_args = 1..)]
    only: Vec<String>,
    /// Choose what does the computing
    #[arg(long, value_enum, default_value_t = Backend::Auto)]
    backend: Backend,
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
enum Backend {
    /// Use a graphics card if there is one and the job is large enough, else the processor
    Auto,
    /// Use a graphics card (list them with `velatura devices`; `VELATURA_ADAPTER` chooses one by part of its name)
    Gpu,
    /// Use the processor
    Cpu,
}

impl From<Backend> for BackendChoice {
    fn from(backend: Backend) -> Self {
        match backend {
            Backend::Auto => Self::Auto,
            Backend::Gpu => Self::Gpu,
            Backend::Cpu => Self::Cpu,
        }
    }
}

impl Render {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let cancel = signals::cancel_on_signal()?;
        let began = Instant::now();
        let tell = move || began.elapsed();
        let clock = Clock::new(&tell);
        let registry = registry(&self.plugins, &[&self.figure], self.format, Purpose::Work)?;
        let files = job_files(
            &registry,
            &self.figure,
            self.paints.as_ref(),
            self.schemes.as_ref(),
        );
        let job = load(&registry, &files, &read_file, &clock)?;
        for warning in &job.warnings {
            warn(warning, self.format);
        }
        let schemes = self.selected(&job)?;
        let backend = velatura_pipeline::Backend::choose(
            self.backend.into(),
            wanted_adapter().as_deref(),
            self.work(&job, schemes.len()),
        )?;
        let options = RenderOptions {
            schemes,
            extent: if self.sheet_only {
                Extent::SheetOnly
            } else {
                Extent::Everything
            },
            columns: self.columns,
            long_edge: self.long_edge,
            run: RunOptions {
                cancel: cancel.clone(),
                backend,
                ..RunOptions::default()
            },
        };
        let planned = planned_files(&registry, &job, &options)?;
        let planned: Vec<&str> = planned.iter().map(String::as_str).collect();
        let folder = OutputFolder::open(&self.out, &planned, &inputs(&registry, &files, &job))?;
        let bar = Bar::new();
        let report = render(&registry, &job, &folder, &options, &clock, &|done| {
            bar.set(done)
        });
        bar.clear();
        let report = report.and_then(|report| {
            if cancel.is_stopped() {
                Err(Error::Cancelled)
            } else {
                Ok(report)
            }
        });
        match report {
            Ok(report) => {
                folder.commit()?;
                self.tell(&report)?;
                Ok(done(&registry, self.format))
            }
            Err(Error::Cancelled) => {
                folder.abandon();
                Ok(signals::exit_code(&cancel))
            }
            Err(error) => Err(error),
        }
    }

    /// Pixels of all schemes; a sheet alone is far smaller than the photo, and never worth a device.
    fn work(&self, job: &Job, schemes: usize) -> u64 {
        if self.sheet_only {
            return 0;
        }
        let planes = &job.underpainting;
        u64::from(planes.width) * u64::from(planes.height) * schemes as u64
    }

    /// The schemes that are wanted, in the order of the file.
    fn selected(&self, job: &Job) -> Result<Vec<usize>, Error> {
        let names: Vec<&str> = job
            .schemes
            .iter()
            .map(|scheme| scheme.name.as_str())
            .collect();
        for wanted in &self.only {
            if !names.contains(&wanted.as_str()) {
                let quoted: Vec<String> = names.iter().map(|name| format!("\"{name}\"")).collect();
                let near = nearest(wanted, names.iter().copied());
                return Err(Error::call(
                    Diagnostic::error("", format!("no scheme is called \"{wanted}\""))
                        .within("--only")
                        .expected(either(&quoted))
                        .help(did_you_mean(near)),
                ));
            }
        }
        let wanted = |name: &str| self.only.is_empty() || self.only.iter().any(|only| only == name);
        Ok((0..names.len())
            .filter(|index| wanted(names[*index]))
            .collect())
    }

    fn tell(&self, report: &Report) -> Result<(), Error> {
        if self.format == Format::Json {
            return out(&to_json(report));
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

/// Every file that is read, so that none is written over.
pub(super) fn inputs(registry: &Registry, files: &JobFiles, job: &Job) -> Vec<PathBuf> {
    let figure = &job.figure;
    let pictures = [
        Some(&figure.photo),
        Some(&figure.mask),
        figure.undercoat.light_photo.as_ref(),
    ];
    let pictures = pictures
        .into_iter()
        .flatten()
        .map(|path| files.in_figure_folder(&path.value));
    [files.figure.clone(), files.paints.clone()]
        .into_iter()
        .chain(files.schemes.clone())
        .chain(pictures)
        .map(PathBuf::from)
        .chain(attached_files(registry))
        .collect()
}
