//! `velatura render`: every scheme on the figure.

use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;

use clap::{Args, ValueEnum};
use velatura::{
    BackendChoice, Cancel, DiskFiles, Error, Extent, Job, Kept as Drawn, OutputFolder,
    PreviewFormat, RenderOptions, Report, TOGETHER_FILE, render, running_clock,
};
use velatura_document::counted;
use velatura_report::{PAGE_FILE, to_json};

use super::changes::add_changed;
use super::keep_best::Kept;
use super::scheme_named::index_of;
use super::wanted_adapter;
use super::watch::watch;
use crate::attached::{PluginArgs, Purpose, job_files, session};
use crate::format::Format;
use crate::many::{Many, Shard, all_of, are_many};
use crate::messages::{done, out, warn};
use crate::progress::Bar;
use crate::signals;

/// Render every scheme on the figure: sheet.png, previews/*, index.html and report.json
///
/// FIGURE.toml names the photo, the mask and the undercoat. paints.toml and schemes.toml are read from the same folder.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  velatura render demo_images/lamplighter/figure.toml --out out\n  velatura render demo_images/lamplighter demo_images/reedwarden --previews none --out out\n  velatura render demo_images/lamplighter/figure.toml --set \"Foglight.hood=Oil Amber:2,medium:3\" --keep-best \"Foglight (changed)\" --into best.toml --out out"
)]
pub(crate) struct Render {
    /// Figure files, folders that hold some, or lists of them (.txt, one file in each line)
    ///
    /// A figure file names the photo, mask, undercoat and regions. With more than one figure, each has its own folder in DIR, named
    /// for the folder of its figure file; `index.html` there shows all of them. A figure that fails does not stop the others.
    #[arg(value_name = "FIGURE.toml", required = true)]
    figures: Vec<PathBuf>,
    /// Write the results to this folder; create it if needed
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Read paints from FILE (repeatable: the files join) [default: paints.toml in the figure's folder]
    #[arg(long, value_name = "FILE")]
    paints: Vec<PathBuf>,
    /// Read schemes from FILE [default: schemes.toml in the figure's folder]
    #[arg(long, value_name = "FILE")]
    schemes: Option<PathBuf>,
    /// Render only these schemes, in the order of the file
    #[arg(long, value_name = "NAME", num_args = 1..)]
    only: Vec<String>,
    /// Show other mixes for a part next to the scheme they change: SCHEME.PART=MIX (repeatable)
    ///
    /// For the second coat of a part write SCHEME.PART.2=MIX; end with "; film 0.5" for another film. Without --only, only these schemes
    /// and their changed copies are rendered.
    #[arg(long = "set", value_name = "SCHEME.PART=MIX")]
    set: Vec<String>,
    /// Copy these schemes, changed ones included, into the file of --into
    #[arg(long, value_name = "NAME", num_args = 1.., requires = "into")]
    keep_best: Vec<String>,
    /// Add the schemes of --keep-best to this schemes file; create it if needed
    #[arg(long, value_name = "FILE", requires = "keep_best")]
    into: Option<PathBuf>,
    /// Render only figures whose results are missing, or were made from other files, options or another version
    #[arg(long)]
    resume: bool,
    /// Also write together.png: a row for each scheme, a column for each figure
    #[arg(long, conflicts_with = "shard")]
    together: bool,
    /// Render only the Kth of N equal shares of the figures, such as 3/40
    ///
    /// For many machines at once: each renders its own share into the same folder. In the end, run once more with --resume and
    /// without --shard: it renders what is missing and writes the page over all figures.
    #[arg(long, value_name = "K/N", value_parser = Shard::parse)]
    shard: Option<Shard>,
    /// Render again whenever a file of the figure is saved, until you press Ctrl-C
    #[arg(long, conflicts_with = "keep_best")]
    watch: bool,
    /// Choose where to compute
    #[arg(long, value_enum, default_value_t = BackendArg::Auto)]
    backend: BackendArg,
    /// Arrange the sheet in N columns [default: chosen to fit]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1000))]
    columns: Option<u32>,
    /// Make the longer edge of the sheet PX pixels long
    #[arg(long, value_name = "PX", value_parser = clap::value_parser!(u32).range(64..=65535))]
    long_edge: Option<u32>,
    /// Choose the file format of the previews, the pictures at the photo's size
    #[arg(long, value_enum, default_value_t = PreviewsArg::Png)]
    previews: PreviewsArg,
    /// Write only sheet.png and report.json, computed at the sheet's own scale
    #[arg(long, conflicts_with = "previews")]
    sheet_only: bool,
    #[command(flatten)]
    plugins: PluginArgs,
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
    /// What was drawn last, while files are watched.
    #[arg(skip)]
    drawn: Arc<Drawn>,
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

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum PreviewsArg {
    /// Every pixel as computed, written fastest
    Png,
    /// Every pixel as computed, in smaller files
    Webp,
    /// Nearly as computed, in the smallest files
    Jpeg,
    /// No previews: the page and the sheet are enough
    None,
}

impl From<PreviewsArg> for Option<PreviewFormat> {
    fn from(previews: PreviewsArg) -> Self {
        match previews {
            PreviewsArg::Png => Some(PreviewFormat::Png),
            PreviewsArg::Webp => Some(PreviewFormat::Webp),
            PreviewsArg::Jpeg => Some(PreviewFormat::Jpeg),
            PreviewsArg::None => None,
        }
    }
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
        let several = self.resume || self.together || self.shard.is_some();
        let [figure] = &self.figures[..] else {
            return self.render_many(backend, &cancel);
        };
        if several || are_many(&self.figures) {
            return self.render_many(backend, &cancel);
        }
        let session = session(&self.plugins, &[figure], self.format, Purpose::Work)?
            .backend(backend)
            .clock(running_clock())
            .build()?;
        let files = job_files(&session, figure, &self.paints, self.schemes.as_ref());
        let mut job = session.load_files(&DiskFiles, &files)?;
        let (report, kept) = match self.rendered(&mut job, &cancel) {
            Err(Error::Cancelled) => return Ok(signals::exit_code(&cancel)),
            other => other?,
        };
        self.print(&report, kept)?;
        let status = done(&report.left_out, self.format);
        if !self.watch {
            return Ok(status);
        }
        watch(&session, &mut job, &cancel, self.format, |job, changed| {
            // Other paints and other pictures change every scheme.
            if changed
                .iter()
                .any(|path| Some(path) != job.files.schemes.as_ref())
            {
                self.drawn.clear();
            }
            let (report, kept) = self.rendered(job, &cancel)?;
            done(&report.left_out, self.format);
            self.print(&report, kept)
        });
        Ok(ExitCode::SUCCESS)
    }

    /// Renders every figure into a folder of its own.
    fn render_many(&self, backend: velatura::Backend, cancel: &Cancel) -> Result<ExitCode, Error> {
        for (given, option) in [
            (!self.set.is_empty(), "--set"),
            (self.into.is_some(), "--keep-best"),
            (self.watch, "--watch"),
        ] {
            if given {
                let found = format!("{option} works on one figure");
                let help = "name one figure file, without --resume, --together and --shard";
                return Err(Error::refused(option, found, "one figure", help));
            }
        }
        let mut figures = all_of(&self.figures)?;
        if let Some(shard) = self.shard {
            figures = shard.of(figures);
        }
        let many = Many {
            figures,
            out: &self.out,
            paints: &self.paints,
            schemes: self.schemes.as_ref(),
            plugins: &self.plugins,
            backend,
            format: self.format,
            resume: self.resume,
            together: self.together,
            share: self.shard.is_some(),
            options_text: self.options_text(),
            options: self.options(cancel).only(self.only.clone()),
            cancel: cancel.clone(),
        };
        let summary = match many.run() {
            Err(Error::Cancelled) => return Ok(signals::exit_code(cancel)),
            other => other?,
        };
        let page = self.shard.is_none().then_some(PAGE_FILE);
        let sheet = self.together.then_some(TOGETHER_FILE);
        let over_all: Vec<&str> = page.into_iter().chain(sheet).collect();
        summary.print(&over_all)?;
        Ok(summary.status())
    }

    /// The options that change results, for the record of what they were made from.
    fn options_text(&self) -> String {
        format!(
            "only {:?}, previews {:?}, columns {:?}, long edge {:?}, sheet only {}, paints {:?}, schemes {:?}",
            self.only,
            self.previews,
            self.columns,
            self.long_edge,
            self.sheet_only,
            self.paints,
            self.schemes
        )
    }

    /// Renders a job with the changes that were asked for; also gives how many schemes were copied.
    fn rendered(&self, job: &mut Job, cancel: &Cancel) -> Result<(Report, usize), Error> {
        for warning in &job.warnings {
            warn(warning, self.format);
        }
        let paints_name = job.files.paints_name();
        let changed = add_changed(job, &self.set, &paints_name)?;
        for name in &self.only {
            index_of(job, "--only", Some(name))?;
        }
        let kept = match &self.into {
            Some(into) => Some(Kept::planned(job, &self.keep_best, into)?),
            None => None,
        };
        let only = match self.only.is_empty() {
            true => changed,
            false => [self.only.clone(), changed].concat(),
        };
        let bar = Bar::new("rendering");
        let shown = bar.clone();
        let progress = move |done| shown.set(done);
        let mut options = self.options(cancel).only(only).progress(progress);
        if self.watch {
            options = options.keep(&self.drawn);
        }
        let report = render(job, &options, &OutputFolder::new(&self.out));
        bar.clear();
        let report = report?;
        let count = kept.map_or(Ok(0), |kept| kept.write(job))?;
        Ok((report, count))
    }

    fn options(&self, cancel: &Cancel) -> RenderOptions {
        let mut options = RenderOptions::default()
            .extent(if self.sheet_only {
                Extent::SheetOnly
            } else {
                Extent::Everything
            })
            .previews(self.previews.into())
            .cancel(cancel);
        if let Some(columns) = self.columns {
            options = options.columns(columns);
        }
        if let Some(pixels) = self.long_edge {
            options = options.long_edge(pixels);
        }
        options
    }

    fn print(&self, report: &Report, kept: usize) -> Result<(), Error> {
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
        if !self.sheet_only && self.previews != PreviewsArg::None {
            text += &format!("previews  {}\n", shown("previews"));
        }
        if !self.sheet_only {
            text += &format!("page      {}\n", shown("index.html"));
        }
        text += &format!("report    {}\n", shown("report.json"));
        if let Some(into) = &self.into {
            let kept = counted(kept, "scheme");
            text += &format!("kept      {kept} in {}\n", into.display());
        }
        out(&text)
    }
}
