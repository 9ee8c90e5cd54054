//! `velatura render` for many figures: each has a folder of its own, the next is read while one is rendered, and one that fails
//! does not stop the others.

mod figures;
mod made_from;
mod outcome;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use velatura::{
    Backend, Cancel, Error, Job, OutputFolder, Outputs, RenderOptions, Session, TOGETHER_FILE,
    Together, made_ahead, planned_files, render, running_clock,
};
use velatura_document::{Files, LARGEST_PICTURE_BYTES};
use velatura_report::{FigureEntry, PAGE_FILE, figures_page};

use figures::Named;
pub(crate) use figures::{Shard, all_of, are_many};
use made_from::{MadeFrom, NotedFiles, Results};
pub(crate) use outcome::Summary;
use outcome::{Done, Outcome};

use crate::attached::{PluginArgs, Purpose, job_files, named_plugins, session};
use crate::format::Format;
use crate::messages::{report as print_error, warn};
use crate::progress::Bar;

/// A call for many figures.
pub(crate) struct Many<'a> {
    pub(crate) figures: Vec<Named>,
    pub(crate) out: &'a Path,
    pub(crate) paints: &'a [PathBuf],
    pub(crate) schemes: Option<&'a PathBuf>,
    pub(crate) plugins: &'a PluginArgs,
    pub(crate) backend: Backend,
    pub(crate) format: Format,
    /// Leave out figures whose results are complete and current.
    pub(crate) resume: bool,
    /// Also make one sheet of the same schemes on all figures.
    pub(crate) together: bool,
    /// Only a share of the figures is rendered: no page over all of them.
    pub(crate) share: bool,
    /// The options that change the results, as text for the record.
    pub(crate) options_text: String,
    pub(crate) options: RenderOptions,
    pub(crate) cancel: Cancel,
}

/// A figure that has been read.
struct Ready {
    /// The record of its results, if they are current.
    current: Option<MadeFrom>,
    /// The job with the files it was read from; `None` if nothing has to be done with it.
    job: Option<Result<(Job, NotedFiles), Error>>,
}

impl Many<'_> {
    /// Renders all figures. Each one's outcome is printed as soon as it is known.
    ///
    /// # Errors
    /// Only what concerns all figures: the page over them cannot be written. [`Error::Cancelled`].
    pub(crate) fn run(&self) -> Result<Summary, Error> {
        let sessions = Sessions {
            many: self,
            by_plugins: Mutex::new(BTreeMap::new()),
        };
        let mut together = self.together.then(|| Together::of(self.figures.len()));
        let mut summary = Summary::new(self.format, self.out);
        let bar = Bar::new("rendering");
        made_ahead(
            &self.figures,
            |named| self.ready(named, &sessions),
            |named, ready| {
                if self.cancel.is_stopped() {
                    return false;
                }
                let outcome = self.outcome(named, ready, together.as_mut(), &bar, summary.len());
                let Ok(outcome) = outcome else {
                    return false;
                };
                bar.hidden(|| summary.add(named, outcome));
                true
            },
        );
        bar.clear();
        if self.cancel.is_stopped() {
            return Err(Error::Cancelled);
        }
        if !self.share {
            self.write_over_all(&summary, together.as_ref())?;
        }
        Ok(summary)
    }

    fn folder(&self, named: &Named) -> PathBuf {
        self.out.join(&named.folder)
    }

    fn ready(&self, named: &Named, sessions: &Sessions<'_>) -> Ready {
        let current = self
            .resume
            .then(|| MadeFrom::if_current(&self.folder(named), &self.options_text))
            .flatten();
        let needed = current.is_none() || self.together;
        Ready {
            current,
            job: needed.then(|| self.load(named, sessions)),
        }
    }

    fn load(&self, named: &Named, sessions: &Sessions<'_>) -> Result<(Job, NotedFiles), Error> {
        let noted = NotedFiles::default();
        let session = sessions.of(&named.figure)?;
        for plugin in session.attached_files() {
            // Errors were reported when it was attached.
            let _ = noted.read(&plugin, LARGEST_PICTURE_BYTES);
        }
        let files = job_files(&session, &named.figure, self.paints, self.schemes);
        let job = session.load_files(&noted, &files)?;
        Ok((job, noted))
    }

    /// Renders one figure. An error here means that the whole call was stopped.
    fn outcome(
        &self,
        named: &Named,
        ready: Ready,
        together: Option<&mut Together>,
        bar: &Bar,
        before: usize,
    ) -> Result<Outcome, Error> {
        let Ready { current, job } = ready;
        let rendered = match (current, job) {
            (Some(record), None) => return Ok(Outcome::current(&record)),
            (current, Some(Ok((job, noted)))) => {
                for warning in &job.warnings {
                    bar.hidden(|| warn(warning, self.format));
                }
                let added = together.map_or(Ok(()), |together| together.add(&job, &self.options));
                match (added, current) {
                    (Err(error), _) => Err(error),
                    (Ok(()), Some(record)) => return Ok(Outcome::current(&record)),
                    (Ok(()), None) => self.render(named, &job, &noted, bar, before),
                }
            }
            (_, Some(Err(error))) => Err(error),
            // Without a record there is always a job.
            (None, None) => Err(Error::Cancelled),
        };
        match rendered {
            Err(Error::Cancelled) => Err(Error::Cancelled),
            Err(error) => {
                let status = bar.hidden(|| print_error(&error, self.format));
                Ok(Outcome::failed(&error, status))
            }
            Ok(outcome) => Ok(outcome),
        }
    }

    fn render(
        &self,
        named: &Named,
        job: &Job,
        noted: &NotedFiles,
        bar: &Bar,
        before: usize,
    ) -> Result<Outcome, Error> {
        let folder = self.folder(named);
        #[allow(clippy::cast_precision_loss, reason = "nobody has 2^53 figures")]
        let (before, all) = (before as f64, self.figures.len() as f64);
        let shown = bar.clone();
        let options = self
            .options
            .clone()
            .progress(move |done| shown.set((before + done) / all));
        let report = render(job, &options, &OutputFolder::new(&folder))?;
        let files = planned_files(job, &options)?;
        let results = Results {
            folder: &folder,
            figure: &report.figure,
            schemes: report.schemes.len(),
            files: &files,
        };
        let record = MadeFrom::of(noted.noted(), &self.options_text, &results)?;
        // A stage that failed may work next time.
        if report.left_out.is_empty() {
            record.write(&folder, &job.inputs())?;
        }
        for problem in report.left_out.iter().flat_map(|one| &one.problems) {
            bar.hidden(|| warn(problem, self.format));
        }
        Ok(Outcome::rendered(&record, !report.left_out.is_empty()))
    }

    /// The page over all figures, and the sheet of all of them.
    fn write_over_all(&self, summary: &Summary, together: Option<&Together>) -> Result<(), Error> {
        let inputs: Vec<PathBuf> = self.figures.iter().map(|one| one.figure.clone()).collect();
        let sheet = match together {
            Some(together) => together.sheet(&self.options)?,
            None => None,
        };
        let mut planned = vec![PAGE_FILE.to_owned()];
        planned.extend(sheet.as_ref().map(|_| TOGETHER_FILE.to_owned()));
        let outputs = OutputFolder::new(self.out);
        let files = outputs.open(&planned, &inputs)?;
        if let Some(sheet) = &sheet {
            files.write(TOGETHER_FILE, sheet)?;
        }
        let entries: Vec<FigureEntry> = summary
            .lines()
            .map(|(named, outcome)| FigureEntry {
                name: outcome.figure.clone().unwrap_or(named.folder.clone()),
                folder: named.folder.clone(),
                has_page: self.folder(named).join(PAGE_FILE).is_file(),
                schemes: outcome.schemes,
                problem: match &outcome.done {
                    Done::Failed { problem, .. } => Some(problem.clone()),
                    Done::Rendered { .. } | Done::Current => None,
                },
            })
            .collect();
        let page = figures_page(&entries, sheet.is_some().then_some(TOGETHER_FILE));
        files.write(PAGE_FILE, page.as_bytes())?;
        files.commit()
    }
}

/// A session for each set of plugins: attaching them takes longer than most figures.
struct Sessions<'a> {
    many: &'a Many<'a>,
    by_plugins: Mutex<BTreeMap<Vec<String>, Session>>,
}

impl Sessions<'_> {
    fn of(&self, figure: &Path) -> Result<Session, Error> {
        let plugins = named_plugins(self.many.plugins, figure);
        let mut sessions = self
            .by_plugins
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        if let Some(session) = sessions.get(&plugins) {
            return Ok(session.clone());
        }
        let builder = session(
            self.many.plugins,
            &[figure],
            self.many.format,
            Purpose::Work,
        )?;
        let session = builder
            .backend(self.many.backend.clone())
            .clock(running_clock())
            .build()?;
        sessions.insert(plugins, session.clone());
        Ok(session)
    }
}
